"""The sheet of a yard, typed on a keyboard: one row a colony, short words and numbers."""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.forms import LedgerForm, OnceForm
from apiary_ops.yards.compute import halves_from, halves_held, meant_by
from apiary_ops.yards.queries import WalkStop
from apiary_ops.yards.services import LookCorrection, LookDraft

GRID_FIELDS = ("below_halves", "above_halves", "lower_box", "patty", "sealed_halves", "queen", "note")
# What may be typed besides the word that is shown; the first is what a row opened again shows.
SPOKEN: dict[str, dict[str, tuple[Any, ...]]] = {
    "lower_box": {
        "empty": (_("empty"),),
        "few": (_("few"), _("a few")),
        "spilling": (_("spilling"), _("spilling down")),
        "brood": (_("brood"),),
    },
    "patty": {"gone": (_("gone"),), "half": (_("half"),), "plenty": (_("plenty"),)},
    "queen": {
        "seen": (_("ok"), _("seen"), _("eggs")),
        "none": (_("queenless"), _("none")),
        "spotty": (_("spotty"),),
        "drones": (_("drones"), _("drone layer")),
    },
}


class HalvesTextField(forms.CharField):
    """Frames typed as 5, 5.5, 5,5 or 5½, kept in halves; nothing typed is nothing counted."""

    def to_python(self, value: Any) -> int | None:
        text = super().to_python(value)
        if not text:
            return None
        halves = halves_from(text)
        if halves is None:
            raise ValidationError(_("“%(typed)s” is not in half frames. Type 5, 5.5 or 5½."), params={"typed": text})
        return halves

    def prepare_value(self, value: Any) -> Any:
        return f"{value // 2}{'.5' if value % 2 else ''}" if isinstance(value, int) else value


class WordField(forms.CharField):
    """A word of a short list, as much of it as is plain; nothing typed is not looked."""

    def __init__(self, *, spoken: Mapping[str, tuple[Any, ...]], **kwargs: Any) -> None:
        self.spoken = spoken
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> str:
        text = super().to_python(value)
        if not text:
            return ""
        found = meant_by(text, {value: [str(word) for word in words] for value, words in self.spoken.items()})
        if len(found) != 1:
            offered = ", ".join(str(self.spoken[value][0]) for value in found or self.spoken)
            raise ValidationError(
                _("“%(typed)s” is not plain. Type one of: %(words)s."), params={"typed": text, "words": offered}
            )
        return found[0]

    def prepare_value(self, value: Any) -> Any:
        return str(self.spoken[value][0]) if value in self.spoken else value


def _cell(field: type[forms.CharField], label: Any, size: int, **kwargs: Any) -> Any:
    attrs = {"autocomplete": "off", "size": size, "autocapitalize": "none"}
    return field(label=label, required=False, widget=forms.TextInput(attrs=attrs), **kwargs)


class GridHead(OnceForm):
    pass


class GridRow(LedgerForm):
    """One colony's row. `was` remembers the version and the words the row was opened with."""

    below_halves = _cell(HalvesTextField, _("Below"), 4)
    above_halves = _cell(HalvesTextField, _("Above"), 4)
    lower_box = _cell(WordField, _("Lower box"), 8, spoken=SPOKEN["lower_box"])
    patty = _cell(WordField, _("Patty"), 6, spoken=SPOKEN["patty"])
    sealed_halves = _cell(HalvesTextField, _("Sealed"), 4)
    queen = _cell(WordField, _("Queen"), 9, spoken=SPOKEN["queen"])
    note = _cell(forms.CharField, _("Note"), 18, max_length=300)
    was = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, stop: WalkStop, data: Any = None) -> None:
        self.stop = stop
        initial = {name: getattr(stop.look, name) for name in GRID_FIELDS} if stop.look else {}
        super().__init__(data, prefix=f"colony{stop.colony.pk}", initial=initial)
        self.initial["was"] = self._standing()
        for name in GRID_FIELDS:
            where = {"tag": stop.colony.tag, "what": self.fields[name].label}
            self.fields[name].widget.attrs["aria-label"] = _now("%(tag)s, %(what)s") % where

    def _standing(self) -> str:
        """The version and the words of the look as it stands; empty without one."""
        look = self.stop.look
        if look is None:
            return ""
        words = [str(self.fields[name].prepare_value(getattr(look, name)) or "") for name in GRID_FIELDS]
        return "|".join([str(look.version), *words])

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        held = halves_held(self.stop.colony.boxes + bool(self.stop.look and self.stop.look.lower_box_off))
        for name in GRID_FIELDS:
            if name.endswith("_halves") and (values.get(name) or 0) > held:
                self.add_error(name, _now("At most %(most)s frames fit its boxes.") % {"most": held // 2})
        if not self.errors and self.is_typed_over:
            self._ask(values)
        return values

    @property
    def is_touched(self) -> bool:
        """Whether the row says something else than when it was opened."""
        opened = self.data.get(self.add_prefix("was"), "").split("|")[1:] or [""] * len(GRID_FIELDS)
        typed = [self.data.get(self.add_prefix(name), "").strip() for name in GRID_FIELDS]
        return typed != opened

    @property
    def is_typed_over(self) -> bool:
        """Whether somebody else's look would be typed over."""
        return self.is_touched and self.data.get(self.add_prefix("was"), "") != self._standing()

    def _ask(self, values: dict[str, Any]) -> None:
        """Say what stands now beside each cell that differs; sent again, what was typed is kept."""
        for name in GRID_FIELDS:
            standing = getattr(self.stop.look, name) if self.stop.look else None
            if (standing or None) != (values[name] or None):
                words = self.fields[name].prepare_value(standing)
                self.add_error(name, _now("Now stands as: %(value)s") % {"value": words or "–"})
        if self.errors:
            self.data = self.data.copy()
            self.data[self.add_prefix("was")] = self._standing()

    @property
    def facts(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in GRID_FIELDS}

    @property
    def cells(self) -> list[Any]:
        return [self[name] for name in GRID_FIELDS]


class Grid:
    """The whole sheet: its once-key and a row for each colony in walking order."""

    def __init__(self, stops: Sequence[WalkStop], data: Any = None) -> None:
        self.is_bound = data is not None
        self.head = GridHead(data)
        self.rows = [GridRow(stop, data) for stop in stops]

    def is_valid(self) -> bool:
        """Whether every row is understood; all are read, so that all errors show at once."""
        checked = [form.is_valid() for form in (self.head, *self.rows)]
        return self.is_bound and all(checked)

    def add_error(self, words: str) -> None:
        self.head.add_error(None, words)

    @property
    def refused(self) -> list[GridRow]:
        return [row for row in self.rows if row.errors]

    @property
    def errors(self) -> bool:
        return bool(self.head.errors or self.refused)

    @property
    def drafts(self) -> list[LookDraft]:
        """Looks of colonies that had none."""
        return [
            LookDraft(colony_id=row.stop.colony.pk, **row.facts)
            for row in self.rows
            if row.stop.look is None and any(value not in (None, "") for value in row.facts.values())
        ]

    @property
    def corrections(self) -> list[LookCorrection]:
        """Looks that a row was typed over."""
        return [
            LookCorrection(row.stop.look.pk, row.stop.look.version, row.facts)
            for row in self.rows
            if row.stop.look is not None and row.is_touched
        ]
