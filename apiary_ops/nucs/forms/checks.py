from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms
from django.forms.boundfield import BoundField
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField
from apiary_ops.core.forms import LedgerForm, OnceForm
from apiary_ops.core.templatetags.ledger import halves
from apiary_ops.nucs.models import Check, Nuc
from apiary_ops.nucs.services import CheckDraft, CheckRefused

from .acts import PastDayForm

NOT_LOOKED = ("", _("–"))


def _counted(label: Any, frames: int) -> forms.TypedChoiceField:
    """Frames in halves, from none to all the box holds."""
    choices = [NOT_LOOKED, *((half, halves(half)) for half in range(2 * frames + 1))]
    return forms.TypedChoiceField(label=label, choices=choices, coerce=int, required=False, empty_value=None)


def _either(label: Any, yes: Any, no: Any) -> forms.TypedChoiceField:
    choices = [NOT_LOOKED, ("yes", yes), ("no", no)]
    return forms.TypedChoiceField(
        label=label, choices=choices, coerce=lambda value: value == "yes", required=False, empty_value=None
    )


class Seen(LedgerForm):
    """What was seen of one nuc; a dash means: not looked."""

    queen = forms.ChoiceField(
        label=_("Queen"), choices=[NOT_LOOKED, *[c for c in Check.Queen.choices if c[0]]], required=False
    )
    note = forms.CharField(label=_("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, frames: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        note = self.fields.pop("note")
        self.fields["covered_halves"] = _counted(_("Covered"), frames)
        self.fields["brood_halves"] = _counted(_("Brood"), frames)
        self.fields["food_halves"] = _counted(_("Food"), frames)
        self.fields["own_sealed_brood"] = _either(_("Own sealed brood"), _("seen"), _("none seen"))
        self.fields["queen_cells"] = _either(_("Queen cells"), _("found"), _("none"))
        self.fields["disease_clear"] = _either(_("Disease"), _("looks clear"), _("not clear"))
        self.fields["note"] = note


class SeenOfNuc(Seen):
    """A row of the sheet: ticked, it takes what is the same for all where it says nothing else."""

    looked = forms.BooleanField(label=_("Looked at"), required=False)

    def __init__(self, *args: Any, nuc: Nuc, **kwargs: Any) -> None:
        super().__init__(*args, frames=nuc.kind.frames, **kwargs)
        self.nuc = nuc

    @property
    def seen_fields(self) -> list[BoundField]:
        """The fields beside the tick."""
        return [field for field in self.visible_fields() if field.name != "looked"]

    def draft(self, same: dict[str, Any]) -> CheckDraft | None:
        """What was recorded of this nuc, or nothing."""
        values = dict(self.cleaned_data)
        ticked = values.pop("looked")
        if not ticked and all(value in (None, "") for value in values.values()):
            return None
        return CheckDraft(
            self.nuc.pk, **{name: same[name] if value in (None, "") else value for name, value in values.items()}
        )


class SheetHead(OnceForm, PastDayForm):
    on = DayField(label=_("Checked on"))


class CheckSheet:
    """One round of checks: the day, what is the same for all, and a row for each nuc."""

    def __init__(self, data: Any, *, nucs: Sequence[Nuc], today: date) -> None:
        most_frames = max((nuc.kind.frames for nuc in nucs), default=0)
        self.head = SheetHead(data, today=today)
        self.same = Seen(data, prefix="all", frames=most_frames)
        self.rows = [SeenOfNuc(data, prefix=f"nuc{nuc.pk}", nuc=nuc) for nuc in nucs]

    @property
    def is_bound(self) -> bool:
        return self.head.is_bound

    def is_valid(self) -> bool:
        """Whether every part is well formed and something was recorded."""
        parts = [form.is_valid() for form in (self.head, self.same, *self.rows)]
        if not all(parts):
            self.head.add_error(None, _("Some of it needs mending: it says what beside each."))
            return False
        if not self.drafts:
            self.head.add_error(None, _("Nothing is recorded yet. Tick the nucs you looked at."))
            return False
        return True

    @property
    def drafts(self) -> list[CheckDraft]:
        same = self.same.cleaned_data
        found = [row.draft(same) for row in self.rows]
        return [draft for draft in found if draft is not None]

    def refuse(self, refusal: CheckRefused) -> None:
        """Say above the sheet and in its row what cannot be."""
        self.head.add_error(None, str(refusal))
        for row in self.rows:
            if row.nuc.pk == refusal.nuc_id:
                row.add_error("looked", str(refusal))
