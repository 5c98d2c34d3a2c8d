"""Own factors taken over: what the grower's pairs of counts speak for."""

from datetime import date
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.capacity import queries
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards import services as yards
from apiary_ops.yards.models import Factor


class NoLongerOffered(RuleBroken):
    """Own pairs say something else by now, or too few are left."""


@transaction.atomic
def accept_own_factor(
    *, season_id: int, view: str, warmer_than_c: Decimal, factor: Decimal, today: date, actor: User
) -> Factor:
    """Take the factor that own pairs speak for, from today on; `factor` is the one that was shown.

    Raises NoLongerOffered, and what `state_factor` refuses.
    """
    for own in queries.own_factors(season_id, today):
        if (own.view, own.warmer_than_c) == (view, warmer_than_c) and own.is_offered and own.factor == factor:
            return yards.state_factor(
                view=view,
                warmer_than_c=warmer_than_c,
                factor=factor,
                valid_from=today,
                source=own.source,
                actor=actor,
            )
    raise NoLongerOffered(_("Your pairs of counts no longer speak for this factor. Look at what they say now."))
