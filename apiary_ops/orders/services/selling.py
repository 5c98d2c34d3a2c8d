from datetime import date
from typing import Any

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from apiary_ops.business import stamps
from apiary_ops.core.history import sign
from apiary_ops.core.versions import save_changes
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.orders.models import Line, Price, Round
from apiary_ops.people.models import User


class RoundNotInWeeks(RuleBroken):
    """A round starts or ends on another day than a Monday, or ends before it starts."""


class RoundExists(RuleBroken):
    """The season has a round of that name."""


class RoundHasOrders(RuleBroken):
    """Buyers were told these weeks."""


class PriceOfNothing(RuleBroken):
    """A price of zero or below: nothing could be invoiced, so the nuc could never be handed over."""


@transaction.atomic
def open_round(*, season_id: int, name: str, starts_on: date, ends_before: date, actor: User | None) -> Round:
    """A round of a season, from a Monday up to a later Monday. Raises RoundNotInWeeks, RoundExists."""
    _check_weeks(starts_on, ends_before)
    round_ = Round(season_id=season_id, name=name.strip(), starts_on=starts_on, ends_before=ends_before)
    sign(round_, actor)
    try:
        with transaction.atomic():
            round_.save(force_insert=True)
    except IntegrityError:
        raise RoundExists(_name_taken(name)) from None
    stamps.bump(season_id, "orders")
    return round_


@transaction.atomic
def edit_round(*, round_id: int, version: int, changes: dict[str, Any], actor: User) -> Round:
    """Rename a round, or move its weeks while nothing stands promised in it. Raises RoundHasOrders, StaleRecord..."""
    round_ = Round.objects.select_for_update(no_key=True).get(pk=round_id)
    starts_on = changes.get("starts_on", round_.starts_on)
    ends_before = changes.get("ends_before", round_.ends_before)
    _check_weeks(starts_on, ends_before)
    is_moved = (starts_on, ends_before) != (round_.starts_on, round_.ends_before)
    if is_moved and Line.objects.filter(round=round_, state__in=Line.OWED_STATES).exists():
        raise RoundHasOrders(_("Buyers were promised these weeks. Open another round and move them there."))
    name = changes.get("name", round_.name)
    if Round.objects.filter(season_id=round_.season_id, name=name).exclude(pk=round_.pk).exists():
        raise RoundExists(_name_taken(name))
    sign(round_, actor)
    if save_changes(round_, version, changes):
        stamps.bump(round_.season_id, "orders")
    return round_


def _check_weeks(starts_on: date, ends_before: date) -> None:
    if starts_on.weekday() or ends_before.weekday():
        raise RoundNotInWeeks(_("A round starts on a Monday and ends before a Monday. Choose Mondays."))
    if ends_before <= starts_on:
        raise RoundNotInWeeks(_("A round ends after it starts. Choose a later Monday for its end."))


def _name_taken(name: str) -> str:
    return _("This season already has a round called %(name)s. Choose another name.") % {"name": name}


@transaction.atomic
def set_price(
    *, season_id: int, kind_id: int, cents: int, valid_from: date, tax_category_id: int, tier: str = "", actor: User
) -> Price:
    """What a kind costs from a day on, before tax, for a tier ("" for everyone).

    Set again for the same day it replaces the price; orders already taken keep theirs. Raises PriceOfNothing.
    """
    if cents <= 0:
        raise PriceOfNothing(_("A nuc costs something. Enter a price above zero."))
    price, _created = Price.objects.update_or_create(
        season_id=season_id,
        kind_id=kind_id,
        tier=tier,
        valid_from=valid_from,
        defaults={"cents": cents, "tax_category_id": tax_category_id},
    )
    return price
