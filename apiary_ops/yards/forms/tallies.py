"""A tally: one number for each grade."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.forms import LedgerForm, OnceForm, VersionedForm
from apiary_ops.core.versions import StaleRecord

MOST = 999
GRADE = "grade_"


def _count(label: Any) -> forms.IntegerField:
    return forms.IntegerField(label=label, required=False, min_value=0, max_value=MOST)


class _TallyFields(LedgerForm):
    """`grades` are those of the rules in force on the day, best first; nothing typed is none."""

    dead = _count(_("Dead"))

    def __init__(self, *args: Any, grades: Sequence[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.grades = list(grades)
        self.fields = {GRADE + str(place): _count(capfirst(grade)) for place, grade in enumerate(grades)} | self.fields

    @property
    def counts(self) -> dict[str, int]:
        return {grade: self.cleaned_data[GRADE + str(place)] or 0 for place, grade in enumerate(self.grades)}

    def clean_dead(self) -> int:
        return self.cleaned_data["dead"] or 0


class RecordTally(OnceForm, _TallyFields):
    pass


class CorrectTally(VersionedForm, _TallyFields):
    def __init__(self, *args: Any, grades: Sequence[str], counted: dict[str, int], **kwargs: Any) -> None:
        super().__init__(*args, grades=grades, **kwargs)
        for place, grade in enumerate(self.grades):
            self.initial[GRADE + str(place)] = counted.get(grade, 0)

    def show_stale(self, refusal: StaleRecord) -> None:
        """Each grade says what stands now, beside what was typed."""
        typed = self.counts
        super().show_stale(refusal)
        standing = dict(refusal.current.counts.values_list("grade", "colonies"))
        for place, grade in enumerate(self.grades):
            if (now := standing.get(grade, 0)) != typed[grade]:
                self.add_error(GRADE + str(place), _("Now stands as: %(value)s") % {"value": now})
