from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.forms import LedgerForm, VersionedForm

KIND_FIELDS = (
    "name",
    "frames",
    "make_up_bees",
    "make_up_brood",
    "make_up_food",
    "make_up_combs",
    "sale_covered",
    "sale_brood",
    "sale_food",
    "weeks_to_sale",
    "keeps_days",
    "queen_laying_rate",
    "source",
)


def _frames(label: Any, **options: Any) -> forms.DecimalField:
    return forms.DecimalField(label=label, min_value=0, max_value=20, max_digits=4, decimal_places=1, **options)


class _Kind(LedgerForm):
    name = forms.CharField(label=_("Name"), max_length=60)
    frames = forms.IntegerField(label=_("Frames in the box"), min_value=1, max_value=10)
    make_up_bees = _frames(_("Make-up: frames of bees"))
    make_up_brood = _frames(_("Make-up: frames mostly sealed brood"))
    make_up_food = _frames(_("Make-up: food frames"))
    make_up_combs = _frames(_("Make-up: drawn combs"))
    sale_covered = _frames(_("At sale: frames covered"))
    sale_brood = _frames(_("At sale: frames with brood of its own queen"))
    sale_food = _frames(_("At sale: food frames"))
    weeks_to_sale = forms.IntegerField(
        label=_("Weeks from make-up to sale"), min_value=1, max_value=20, help_text=_("3 to 5: common practice.")
    )
    keeps_days = forms.IntegerField(
        label=_("Days a ready nuc keeps"), min_value=1, max_value=60, help_text=_("7 to 14 in May: common practice.")
    )
    queen_laying_rate = forms.DecimalField(
        label=_("Share of introduced queens still laying at sale"),
        min_value=Decimal("0.001"),
        max_value=1,
        max_digits=4,
        decimal_places=3,
        help_text=_("0.80 to 0.87 for caged mated queens: common practice."),
    )
    source = forms.CharField(
        label=_("Where the standard comes from"),
        max_length=200,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


class AddKind(_Kind):
    code = forms.SlugField(label=_("Code"), max_length=20, help_text=_("Short, for addresses: spring-5."))
    field_order = ["code", *KIND_FIELDS]


class EditKind(VersionedForm, _Kind):
    pass
