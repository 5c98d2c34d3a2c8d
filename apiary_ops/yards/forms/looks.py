"""A look, filled by taps without a keyboard."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.forms import LedgerForm, OnceForm, VersionedForm
from apiary_ops.core.templatetags.ledger import halves as as_frames
from apiary_ops.core.versions import StaleRecord
from apiary_ops.yards.models import PATTIES, Look, Visit
from apiary_ops.yards.services import LookDraft

MOST_TAPPED = 20  # half frames on the grid: one full box


def _frame_choices(most: int) -> list[tuple[str, str]]:
    return [(str(halves), as_frames(halves)) for halves in range(most + 1)] + [("", str(_("not counted")))]


class HalvesField(forms.TypedChoiceField):
    """Frames on a grid of taps, kept in halves; nothing tapped is None."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("choices", _frame_choices(MOST_TAPPED))
        super().__init__(coerce=int, empty_value=None, required=False, widget=forms.RadioSelect, **kwargs)

    def prepare_value(self, value: Any) -> Any:
        return "" if value is None else str(value)


def _taps(label: Any, choices: Any, none: Any) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=label, required=False, choices=[*choices, ("", none)], initial="", widget=forms.RadioSelect
    )


class _LookFields(LedgerForm):
    below_halves = HalvesField(label=_("Frames from below"))
    above_halves = HalvesField(label=_("Frames from above"))
    lower_box = _taps(_("Lower box"), Look.LowerBox.choices, _("not looked"))
    patty = _taps(_("Patty left"), PATTIES, _("not looked"))
    queen = _taps(_("Queen"), [choice for choice in Look.Queen.choices if choice[0]], _("not looked"))
    cells = _taps(_("Queen cells"), [choice for choice in Look.Cells.choices if choice[0]], _("not looked"))
    heft = _taps(_("Heft"), [choice for choice in Look.Heft.choices if choice[0]], _("not lifted"))
    sealed_halves = HalvesField(label=_("Frames of sealed brood"))
    strips_pulled = forms.BooleanField(label=_("strips pulled"), required=False)
    lower_box_off = forms.BooleanField(label=_("lower box off"), required=False)
    patty_given = forms.BooleanField(label=_("patty given"), required=False)
    broken_frame = forms.BooleanField(label=_("broken frame"), required=False)
    flying = forms.BooleanField(label=_("bees flying"), required=False)
    suspect_disease = forms.BooleanField(label=_("disease?"), required=False)
    note = forms.CharField(label=_("Note"), required=False, max_length=300)

    def __init__(self, *args: Any, view: str = Visit.View.BELOW, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.view = view
        for name in ("below_halves", "above_halves", "sealed_halves"):
            standing = self.initial.get(name)
            if standing is not None and standing > MOST_TAPPED:  # a count over several boxes stays choosable
                self.fields[name].choices = _frame_choices(standing)

    @property
    def first_count(self) -> Any:
        """The count this visit goes by, on the big grid; the other one is further down."""
        return self["above_halves"] if self.view == Visit.View.ABOVE else self["below_halves"]

    @property
    def other_count(self) -> Any:
        return self["below_halves"] if self.view == Visit.View.ABOVE else self["above_halves"]

    @property
    def shows_both(self) -> bool:
        return self.view == Visit.View.BOTH or self.other_count.value() not in (None, "")

    @property
    def done_here(self) -> list[Any]:
        """Taps for what was done while the lid was off, and what else went on."""
        return [self[name] for name in ("strips_pulled", "lower_box_off", "patty_given", "broken_frame", "flying")]

    @property
    def says_more(self) -> bool:
        """Whether something beyond a plain look is filled in, so that it stands open."""
        return any(self[name].value() not in (None, "") for name in ("heft", "sealed_halves", "note"))

    @property
    def facts(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in LOOK_FIELDS}


# What "same as last" takes over: what a plain look says. Nothing that nobody looked at today is made up.
SAME_AS_LAST = ("below_halves", "above_halves", "lower_box", "patty")

LOOK_FIELDS = tuple(_LookFields.base_fields)


def same_as_last(form: "RecordLook | CorrectLook", last: Look) -> dict[str, Any]:
    """What the form shows next: what was tapped already, and of a plain look what the last one said."""
    tapped = {name: form.data[name] for name in form.fields if form.data.get(name)}
    return {name: getattr(last, name) for name in SAME_AS_LAST} | tapped


class RecordLook(OnceForm, _LookFields):
    def draft(self, colony_id: int) -> LookDraft:
        return LookDraft(colony_id=colony_id, **self.facts)


class CorrectLook(VersionedForm, _LookFields):
    def show_stale(self, refusal: StaleRecord) -> None:
        """Frames that stand now are said in frames, not in halves."""
        tapped = {name: self.cleaned_data.get(name) for name in LOOK_FIELDS if name.endswith("_halves")}
        kept = {name: self.fields.pop(name) for name in tapped}
        super().show_stale(refusal)
        self.fields |= kept
        for name, value in tapped.items():
            standing = getattr(refusal.current, name)
            if standing != value:
                shown = as_frames(standing) or _("not counted")
                self.add_error(name, _("Now stands as: %(value)s") % {"value": shown})
