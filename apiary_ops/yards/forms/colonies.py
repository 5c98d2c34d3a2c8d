"""Colonies: what each is, where it stands, what it is kept for, whom it joins, and the frames it gives."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField
from apiary_ops.core.forms import LedgerForm, OnceForm, VersionedForm
from apiary_ops.yards import queries
from apiary_ops.yards.models import LOSS_CAUSES, MOST_FRAMES_MOVED, TAG_FORM, Colony
from apiary_ops.yards.services import ColonyDraft

QUEEN_FIELDS = ("queen_year", "queen_origin", "queen_mark", "queen_lot")
MOST_POSITION = 9999


def _tag(label: Any) -> forms.CharField:
    return forms.CharField(label=label, max_length=20, help_text=_("As written on the lid, such as C0031."))


def _position(help_text: Any) -> forms.IntegerField:
    return forms.IntegerField(
        label=_("Position"), required=False, min_value=1, max_value=MOST_POSITION, help_text=help_text
    )


def _boxes(initial: int = 2) -> forms.IntegerField:
    return forms.IntegerField(label=_("Boxes"), min_value=1, max_value=6, initial=initial)


def _frames(label: Any) -> forms.IntegerField:
    return forms.IntegerField(label=label, required=False, min_value=0, max_value=MOST_FRAMES_MOVED, initial=0)


class _TagForm(LedgerForm):
    def clean_tag(self) -> str:
        tag = str(self.cleaned_data["tag"]).strip().upper()
        TAG_FORM(tag)
        return tag


class _QueenFields(LedgerForm):
    queen_year = forms.IntegerField(
        label=_("Queen's year"),
        required=False,
        validators=[MinValueValidator(2000), MaxValueValidator(2099)],
        help_text=_("Leave empty when it is not known."),
    )
    queen_origin = forms.CharField(
        label=_("Queen's origin"), required=False, max_length=80, help_text=_("A breeder, a line, own cells.")
    )
    queen_mark = forms.ChoiceField(label=_("Queen's mark"), required=False, choices=Colony.Mark.choices)
    queen_lot = forms.CharField(label=_("Queen's lot"), required=False, max_length=40)


class AddColony(OnceForm, _TagForm, _QueenFields):
    tag = _tag(_("Tag"))
    position = _position(_("Its place in walking order. Leave empty to put it after the last one."))
    boxes = _boxes()
    purpose = forms.ChoiceField(
        label=_("Kept for"), choices=Colony.Purpose.choices, help_text=_("Days can be given once it stands here.")
    )
    started_on = DayField(label=_("Stands here since"))

    field_order = ["tag", "position", "boxes", "purpose", "started_on", *QUEEN_FIELDS]


class EditColony(VersionedForm, _TagForm, _QueenFields):
    tag = _tag(_("Tag"))
    boxes = _boxes()

    field_order = ["tag", "boxes", *QUEEN_FIELDS]


COLONY_FIELDS = ("tag", "boxes", *QUEEN_FIELDS)


class _YardField(LedgerForm):
    yard = forms.ModelChoiceField(label=_("Yard"), queryset=None, empty_label=None)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["yard"].queryset = queries.yards().filter(is_active=True)


class MoveColony(_YardField):
    position = _position(_("Leave empty for the last place."))


class _NeighbourField(LedgerForm):
    """Another colony of the same yard, chosen from those in walking order."""

    other = forms.ModelChoiceField(label=_("Colony"), queryset=None, to_field_name="tag", empty_label=_("choose one"))

    def __init__(self, *args: Any, colony: Colony, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        neighbours = queries.standing_in(colony.yard_id).exclude(pk=colony.pk)
        self.fields["other"].queryset = neighbours
        self.fields["other"].label_from_instance = lambda row: f"{row.position} · {row.tag}"


class SwapColonies(_NeighbourField):
    pass


class SetPurpose(LedgerForm):
    purpose = forms.ChoiceField(label=_("Kept for"), choices=Colony.Purpose.choices, widget=forms.RadioSelect)
    starts_on = DayField(label=_("From"), required=False, help_text=_("Leave empty when it already holds."))
    ends_on = DayField(
        label=_("Until, with that day"),
        required=False,
        help_text=_("Leave empty when no end is known. Afterwards it counts for nucs again."),
    )

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        first, last = values.get("starts_on"), values.get("ends_on")
        if first and last and last < first:
            self.add_error("ends_on", _("The last day cannot come before the first."))
        return values


class CauseFields(LedgerForm):
    """Why a colony was lost: one of the common causes, or in other words. `cause` holds the answer."""

    common = forms.ChoiceField(
        label=_("Why"),
        required=False,
        choices=[*LOSS_CAUSES, ("", _("none of these"))],
        initial="",
        widget=forms.RadioSelect,
    )
    cause = forms.CharField(
        label=_("In other words, or where it went"),
        required=False,
        max_length=120,
        help_text=_("Such as sold as a colony. What is written here counts before the list."),
    )

    def clean_cause(self) -> str:
        return str(self.cleaned_data["cause"] or self.cleaned_data.get("common", "")).strip()


class EndColony(VersionedForm, CauseFields):
    state = forms.ChoiceField(
        label=_("What became of it"),
        choices=[(Colony.State.LOST, _("lost")), (Colony.State.SOLD, _("sold"))],
        widget=forms.RadioSelect,
    )
    on = DayField(label=_("Day"))

    field_order = ["state", "on", "common", "cause"]

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        values.pop("common", None)
        if not values.get("cause") and "cause" not in self.errors:
            self.add_error("cause", _("Choose why it ended, or write it down."))
        return values


class UniteColony(VersionedForm, _NeighbourField):
    on = DayField(label=_("Day"))
    because = forms.CharField(
        label=_("Why"), required=False, max_length=120, help_text=_("Such as queenless, too weak to grow.")
    )

    field_order = ["other", "on", "because"]


class SplitColony(OnceForm, _TagForm, _YardField, _QueenFields):
    tag = _tag(_("Tag of the new colony"))
    started_on = DayField(label=_("Made on"))
    position = _position(_("Leave empty to put it after the last one."))
    boxes = _boxes(initial=1)
    brood_frames = _frames(_("Frames of brood it was given"))
    food_frames = _frames(_("Frames of food it was given"))

    field_order = [
        "tag",
        "started_on",
        "yard",
        "position",
        "boxes",
        "brood_frames",
        "food_frames",
        *QUEEN_FIELDS,
    ]

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        return values | {name: values.get(name) or 0 for name in ("position", "brood_frames", "food_frames")}

    @property
    def values(self) -> dict[str, Any]:
        """What services.split_colony takes."""
        facts = self.cleaned_data
        drafted = ("tag", "started_on", "position", "boxes", *QUEEN_FIELDS)
        return {
            "colony": ColonyDraft(**{name: facts[name] for name in drafted}),
            "yard_id": facts["yard"].pk,
            "brood_frames": facts["brood_frames"],
            "food_frames": facts["food_frames"],
            "once_key": facts["once_key"],
        }


GAVE, TOOK = "gave", "took"


class MoveFrames(OnceForm):
    way = forms.ChoiceField(
        label=_("Which way"),
        choices=[(GAVE, _("it gave frames to")), (TOOK, _("it took frames from"))],
        initial=GAVE,
        widget=forms.RadioSelect,
    )
    other = _tag(_("The other colony"))
    on = DayField(label=_("Day"))
    brood_frames = _frames(_("Frames of brood"))
    food_frames = _frames(_("Frames of food"))
    with_bees = forms.BooleanField(label=_("With the bees on them"), required=False)

    def clean_other(self) -> Colony:
        tag = str(self.cleaned_data["other"]).strip().upper()
        found = queries.colony_by_tag(tag).first()
        if found is None:
            raise ValidationError(_("No colony has the tag %(tag)s. Read the lid again."), params={"tag": tag})
        return found

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        return values | {name: values.get(name) or 0 for name in ("brood_frames", "food_frames")}

    def values_for(self, colony: Colony) -> dict[str, Any]:
        """What services.move_frames takes, seen from this colony."""
        facts = dict(self.cleaned_data)
        way, other = facts.pop("way"), facts.pop("other")
        giver, taker = (colony, other) if way == GAVE else (other, colony)
        return facts | {"from_id": giver.pk, "to_id": taker.pk}


class StrikeFrameMove(LedgerForm):
    because = forms.CharField(
        label=_("What was wrong"), max_length=120, help_text=_("Such as recorded twice, the other way round.")
    )
