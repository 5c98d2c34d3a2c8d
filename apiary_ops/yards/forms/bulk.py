"""One act on the colonies ticked in a yard."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms
from django.utils.functional import cached_property
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField
from apiary_ops.core.forms import OnceForm
from apiary_ops.yards import queries
from apiary_ops.yards.models import Colony
from apiary_ops.yards.queries import GradedColony

from .colonies import CauseFields

KEEP, MOVE, TASK, BOX_ON, BOX_OFF, LOST = "keep", "move", "task", "box_on", "box_off", "lost"
ACTS = [
    (KEEP, _("Keep them for something")),
    (MOVE, _("Move them to another yard")),
    (TASK, _("Give each a task")),
    (BOX_ON, _("Put a box on")),
    (BOX_OFF, _("Take a box off")),
    (LOST, _("They were lost")),
]
# The fields each act asks for, and those it cannot do without.
ASKS: dict[str, tuple[str, ...]] = {
    KEEP: ("purpose", "starts_on", "ends_on"),
    MOVE: ("yard",),
    TASK: ("what", "due_on"),
    LOST: ("on", "common", "cause"),
}
NEEDS = {KEEP: ("purpose",), MOVE: ("yard",), TASK: ("what", "due_on"), LOST: ("on", "cause")}


@dataclass(frozen=True, slots=True)
class ActChoice:
    """One act to choose, with the fields it asks for."""

    choice: Any
    fields: list[Any]


@dataclass(frozen=True, slots=True)
class TickRow:
    """A colony with its box to tick."""

    tick: Any
    colony: GradedColony


class BulkAct(OnceForm, CauseFields):
    colonies = forms.MultipleChoiceField(
        label=_("Colonies"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Tick the colonies first.")},
    )
    act = forms.ChoiceField(
        label=_("What is done"),
        choices=ACTS,
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose what is done with them.")},
    )
    purpose = forms.ChoiceField(label=_("Kept for"), required=False, choices=Colony.Purpose.choices)
    starts_on = DayField(label=_("From"), required=False)
    ends_on = DayField(label=_("Until, with that day"), required=False)
    yard = forms.ModelChoiceField(label=_("Yard"), required=False, queryset=None, empty_label=_("choose one"))
    what = forms.CharField(label=_("What"), required=False, max_length=120)
    due_on = DayField(label=_("By"), required=False)
    on = DayField(label=_("Found dead on"), required=False)

    def __init__(self, *args: Any, graded: Sequence[GradedColony], yard_id: int, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.graded = graded
        self.fields["colonies"].choices = [(row.tag, row.tag) for row in graded]
        self.fields["yard"].queryset = queries.yards().filter(is_active=True).exclude(pk=yard_id)
        for name in ("due_on", "on"):
            self.fields[name].initial = today

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        act = values.get("act", "")
        for name in NEEDS.get(act, ()):
            if not values.get(name) and name not in self.errors:
                self.add_error(name, _("This is needed for what you chose."))
        return values

    @property
    def values(self) -> dict[str, Any]:
        """What the service of the chosen act takes."""
        facts = self.cleaned_data
        ids = {row.tag: row.colony_id for row in self.graded}
        taken: dict[str, Any] = {name: facts[name] for name in ASKS.get(facts["act"], ()) if name != "common"}
        if "yard" in taken:
            taken = {"yard_id": taken["yard"].pk}
        chosen = [ids[tag] for tag in facts["colonies"]]
        return taken | {"colony_ids": chosen, "once_key": facts["once_key"]}

    @property
    def said(self) -> str:
        """What was done, in words."""
        facts = self.cleaned_data
        said = {
            KEEP: gettext("Kept for %(purpose)s"),
            MOVE: gettext("Moved to %(yard)s"),
            TASK: gettext("Task noted, %(what)s"),
            BOX_ON: gettext("A box put on"),
            BOX_OFF: gettext("A box taken off"),
            LOST: gettext("Lost, %(cause)s"),
        }
        purpose = dict(Colony.Purpose.choices).get(facts["purpose"], "")
        return said[facts["act"]] % (facts | {"purpose": purpose})

    @cached_property
    def acts(self) -> list[ActChoice]:
        """The acts to choose from, each with its own fields."""
        return [
            ActChoice(choice, [self[name] for name in ASKS.get(act, ())])
            for (act, _label), choice in zip(ACTS, self["act"], strict=True)
        ]

    @cached_property
    def rows(self) -> list[TickRow]:
        """The colonies in walking order, each with its box to tick."""
        return [TickRow(tick, row) for tick, row in zip(self["colonies"], self.graded, strict=True)]
