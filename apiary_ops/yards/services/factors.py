"""Factors to the footing: dated, never changed."""

from datetime import date
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.core.days import spoken_day
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards import compute, queries
from apiary_ops.yards.models import Factor

from .days import bump_open_seasons


class FootingIsFixed(RuleBroken):
    pass


class FactorAlreadyDated(RuleBroken):
    pass


class FactorOutOfOrder(RuleBroken):
    pass


@transaction.atomic
def state_factor(
    *, view: str, warmer_than_c: Decimal, factor: Decimal, valid_from: date, source: str, actor: User
) -> Factor:
    """A factor of one view and band from a day on; earlier ones stay as they were.

    Raises FootingIsFixed for the band all others are brought to, FactorAlreadyDated, and FactorOutOfOrder where a
    warmer count would be multiplied by more than a cooler one.
    """
    standing = [one for one in queries.factor_table(valid_from) if one.view == view]
    if view == compute.BELOW and all(warmer_than_c <= one.warmer_than_c for one in standing):
        raise FootingIsFixed(_("Cool counts from below are the footing itself: their factor stays 1."))
    if Factor.objects.filter(view=view, warmer_than_c=warmer_than_c, valid_from=valid_from).exists():
        raise FactorAlreadyDated(
            _("A factor from %(day)s is already there and never changes. Take it from another day.")
            % {"day": spoken_day(valid_from)}
        )
    for one in standing:
        if (one.warmer_than_c < warmer_than_c and one.factor < factor) or (
            one.warmer_than_c > warmer_than_c and one.factor > factor
        ):
            raise FactorOutOfOrder(
                _(
                    "A warmer count cannot be multiplied by more than a cooler one: from %(band)s °C it is %(factor)s. "
                    "Accept that band's own pairs first, or count more pairs."
                )
                % {"band": f"{one.warmer_than_c:f}", "factor": f"{one.factor.normalize():f}"}
            )
    row = Factor(
        view=view, warmer_than_c=warmer_than_c, factor=factor, valid_from=valid_from, source=source, stated_by=actor
    )
    row.full_clean()
    row.save()
    bump_open_seasons()
    return row
