from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.forms.boundfield import BoundField
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField
from apiary_ops.core.forms import OnceForm
from apiary_ops.nucs.queries import Donor
from apiary_ops.nucs.services import DonationDraft
from apiary_ops.queens.models import Lot

from .acts import LotField, PastDayForm


@dataclass(frozen=True, slots=True)
class DonorRow:
    """A colony of the yard with its two boxes to fill in."""

    donor: Donor
    bees: BoundField
    brood: BoundField


def _frames(label: Any) -> forms.DecimalField:
    return forms.DecimalField(
        label=label,
        required=False,
        min_value=0,
        max_value=20,
        max_digits=4,
        decimal_places=1,
        step_size=Decimal("0.5"),
        widget=forms.NumberInput(attrs={"inputmode": "decimal", "step": "0.5", "min": "0", "max": "20"}),
    )


class MakeBatch(OnceForm, PastDayForm):
    """Nucs made together, with a row for each colony of the yard that may give frames."""

    day_field = "made_on"

    kind = forms.ModelChoiceField(label=_("Kind"), queryset=None, empty_label=_("choose a kind"))
    size = forms.IntegerField(label=_("Nucs"), min_value=1, max_value=500)
    made_on = DayField(label=_("Made up on"))
    stands_at = forms.ModelChoiceField(
        label=_("Stands at"),
        queryset=None,
        empty_label=None,
        help_text=_("Moved at least 5 km the same evening, else made a frame of bees stronger: common practice."),
    )
    lot = LotField(label=_("Queens of lot"), queryset=None, required=False, empty_label=_("not yet"))
    queen_in_on = DayField(
        label=_("Queens in on"), required=False, help_text=_("Leave empty when the queens go in later.")
    )

    def __init__(
        self,
        *args: Any,
        kinds: QuerySet[Any],
        yards: QuerySet[Any],
        lots: QuerySet[Lot],
        donors: Sequence[Donor],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.donors = donors
        self.fields["kind"].queryset = kinds
        self.fields["stands_at"].queryset = yards
        self.fields["lot"].queryset = lots
        self.batch_fields = list(self.fields)
        for donor in donors:
            self.fields[f"bees_{donor.colony_id}"] = _frames(_("Frames of bees, %(tag)s") % {"tag": donor.tag})
            self.fields[f"brood_{donor.colony_id}"] = _frames(_("Frames of brood, %(tag)s") % {"tag": donor.tag})

    def clean(self) -> dict[str, Any]:
        values = super().clean()
        queen_in_on = values.get("queen_in_on")
        if queen_in_on and queen_in_on > self.today:
            self.add_error("queen_in_on", _("That day is still to come."))
        if values.get("lot") and not queen_in_on and "queen_in_on" not in self.errors:
            self.add_error("queen_in_on", _("Enter the day the queens went in, or choose no lot yet."))
        return values

    @property
    def visible_batch_fields(self) -> list[BoundField]:
        return [self[name] for name in self.batch_fields if not self[name].is_hidden]

    @property
    def donor_rows(self) -> Iterator[DonorRow]:
        for donor in self.donors:
            yield DonorRow(donor, self[f"bees_{donor.colony_id}"], self[f"brood_{donor.colony_id}"])

    @property
    def donations(self) -> list[DonationDraft]:
        """What was entered beside the colonies; rows left empty are left out."""
        drafts = [
            DonationDraft(
                donor.colony_id,
                self.cleaned_data[f"bees_{donor.colony_id}"] or Decimal(0),
                self.cleaned_data[f"brood_{donor.colony_id}"] or Decimal(0),
            )
            for donor in self.donors
        ]
        return [draft for draft in drafts if draft.bees_frames or draft.brood_frames]
