"""Which two rounds of looks to put side by side."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.forms import LedgerForm
from apiary_ops.yards.queries import LookRound


class ChooseRounds(LedgerForm):
    """Two rounds by their first day; without a choice the last two."""

    then = forms.TypedChoiceField(label=_("Then"), coerce=int)
    now = forms.TypedChoiceField(label=_("Now"), coerce=int)

    def __init__(self, data: Any, rounds: Sequence[LookRound]) -> None:
        self.rounds = rounds
        chosen = {"then": "1", "now": "0"} | {name: data[name] for name in ("then", "now") if data.get(name)}
        super().__init__(chosen)
        choices = [(place, one.words) for place, one in enumerate(rounds)]
        self.fields["then"].choices = choices  # type: ignore[attr-defined]
        self.fields["now"].choices = choices  # type: ignore[attr-defined]

    @property
    def chosen(self) -> tuple[LookRound, LookRound]:
        """The earlier and the later of the rounds chosen; the last two where the choice makes no sense."""
        places = [self.cleaned_data["then"], self.cleaned_data["now"]] if self.is_valid() else [1, 0]
        later, earlier = sorted(places)
        return self.rounds[earlier], self.rounds[later]
