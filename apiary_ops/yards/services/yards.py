"""Yards: places where colonies stand."""

from decimal import Decimal
from typing import Any, TypedDict, Unpack
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from apiary_ops.core import once
from apiary_ops.core.history import sign
from apiary_ops.core.versions import save_changes
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards.models import Colony, Yard

from .days import bump_open_seasons


class CodeTaken(RuleBroken):
    pass


class YardStillUsed(RuleBroken):
    pass


class YardFacts(TypedDict, total=False):
    """What may be known of a yard besides its name; what is left out is not known."""

    place: str
    landowner: str
    landowner_phone: str
    rent: str
    access_notes: str
    gate_code: str
    hazards: str
    forage: str
    latitude: Decimal | None  # degrees of WGS 84; both or neither
    longitude: Decimal | None
    has_bears: bool
    round_trip_km: int
    is_pickup_yard: bool


@transaction.atomic
def add_yard(
    *, code: str, name: str, actor: User | None, once_key: UUID | None = None, **facts: Unpack[YardFacts]
) -> Yard:
    """A new yard. Its code stands in addresses and on papers and never changes. Raises CodeTaken."""
    claimed = once.claim(once_key, "yard")
    taken = CodeTaken(f"A yard with the code {code} is already there. Choose another code.")
    if Yard.objects.filter(code=code).exists():
        raise taken
    yard = Yard(code=code, name=name, **facts)
    yard.full_clean(validate_unique=False)
    sign(yard, actor)
    try:
        with transaction.atomic():
            yard.save()
    except IntegrityError:
        raise taken from None
    once.settle(claimed, f"yard:{yard.code}")
    bump_open_seasons()
    return yard


@transaction.atomic
def edit_yard(*, yard_id: int, version: int, changes: dict[str, Any], actor: User) -> Yard:
    """Change what is known of a yard, or put it out of use once nothing stands there. Raises YardStillUsed."""
    yard = Yard.objects.select_for_update(no_key=True).get(pk=yard_id)
    if changes.get("is_active") is False and yard.is_active:
        standing = Colony.objects.filter(yard=yard, state=Colony.State.LIVE).count()
        if standing:
            raise YardStillUsed(
                _("%(standing)s colonies stand in %(yard)s. Move or end them first.")
                % {"standing": standing, "yard": yard}
            )
    sign(yard, actor)
    if save_changes(yard, version, changes):
        bump_open_seasons()
    return yard
