"""The land a yard stands on: days to stay away, inspectors' certificates, walks round the bear fence."""

from datetime import date
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from apiary_ops.core import once
from apiary_ops.core.history import sign
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards.compute import FenceWalk
from apiary_ops.yards.models import Certificate, FenceCheck, NoGo, Yard

from .days import refuse_future
from .holds import ReasonMissing


class EndsBeforeStart(RuleBroken):
    pass


class ImpossibleVolts(RuleBroken):
    pass


class CertificateTwice(RuleBroken):
    pass


MOST_METERED_VOLTS = 20_000  # beyond what any meter for fences reads


@transaction.atomic
def add_no_go(
    *, yard_id: int, starts_on: date, ends_on: date, reason: str, actor: User, once_key: UUID | None = None
) -> NoGo:
    """Days on which nobody may drive to a yard, the last one included. Raises EndsBeforeStart, ReasonMissing."""
    claimed = once.claim(once_key, "no-go")
    yard = Yard.objects.select_for_update(no_key=True).get(pk=yard_id)
    if ends_on < starts_on:
        raise EndsBeforeStart(_("The last day cannot come before the first."))
    if not reason.strip():
        raise ReasonMissing(_("Say why nobody may come, so that the next person knows."))
    no_go = NoGo(yard=yard, starts_on=starts_on, ends_on=ends_on, reason=reason.strip())
    no_go.full_clean()
    sign(no_go, actor)
    no_go.save()
    once.settle(claimed, f"no-go:{no_go.pk}")
    return no_go


@transaction.atomic
def remove_no_go(*, no_go_id: int, actor: User) -> NoGo:
    """Take back days to stay away: the road is free again, or the days were wrong. History keeps them."""
    no_go = NoGo.objects.select_for_update().get(pk=no_go_id)
    sign(no_go, actor)
    no_go.delete()
    return no_go


@transaction.atomic
def record_certificate(
    *,
    yard_id: int,
    number: str,
    inspector: str,
    issued_on: date,
    expires_on: date,
    today: date,
    actor: User,
    once_key: UUID | None = None,
) -> Certificate:
    """What an inspector certified of a yard, good until `expires_on` with that day.

    Raises FutureDay, EndsBeforeStart, CertificateTwice.
    """
    claimed = once.claim(once_key, "certificate")
    yard = Yard.objects.select_for_update(no_key=True).get(pk=yard_id)
    certificate = Certificate(
        yard=yard, number=number.strip(), inspector=inspector.strip(), issued_on=issued_on, expires_on=expires_on
    )
    _save_certificate(certificate, today, actor)
    once.settle(claimed, f"certificate:{certificate.pk}")
    return certificate


@transaction.atomic
def correct_certificate(
    *, certificate_id: int, number: str, inspector: str, issued_on: date, expires_on: date, today: date, actor: User
) -> Certificate:
    """Put a slip of the pen right; a new certificate is recorded beside the old one instead.

    Raises FutureDay, EndsBeforeStart, CertificateTwice.
    """
    certificate = (
        Certificate.objects.select_for_update(no_key=True, of=("self",)).select_related("yard").get(pk=certificate_id)
    )
    certificate.number, certificate.inspector = number.strip(), inspector.strip()
    certificate.issued_on, certificate.expires_on = issued_on, expires_on
    _save_certificate(certificate, today, actor)
    return certificate


def _save_certificate(certificate: Certificate, today: date, actor: User) -> None:
    refuse_future(certificate.issued_on, today, _("A certificate"))
    if certificate.expires_on < certificate.issued_on:
        raise EndsBeforeStart(_("A certificate cannot run out before it is issued."))
    twice = CertificateTwice(
        _("Certificate %(number)s of %(yard)s is already recorded.")
        % {"number": certificate.number, "yard": certificate.yard}
    )
    others = Certificate.objects.filter(yard=certificate.yard_id, number=certificate.number).exclude(pk=certificate.pk)
    if others.exists():
        raise twice
    certificate.full_clean(validate_unique=False)
    sign(certificate, actor)
    try:
        with transaction.atomic():
            certificate.save()
    except IntegrityError:
        raise twice from None


@transaction.atomic
def check_fence(
    *,
    yard_id: int,
    on: date,
    walk: FenceWalk,
    note: str = "",
    today: date,
    actor: User,
    once_key: UUID | None = None,
) -> FenceCheck:
    """What a walk round the bear fence found; a later walk replaces it. Raises FutureDay, ImpossibleVolts."""
    claimed = once.claim(once_key, "fence-check")
    yard = Yard.objects.select_for_update(no_key=True).get(pk=yard_id)
    refuse_future(on, today, _("A walk round the fence"))
    if walk.volts is not None and not 0 <= walk.volts <= MOST_METERED_VOLTS:
        raise ImpossibleVolts(_("A fence carries at most 20,000 volts. Read the meter again."))
    check = FenceCheck(
        yard=yard,
        on=on,
        volts=walk.volts,
        wires_tight=walk.wires_tight,
        earth_good=walk.earth_good,
        growth_clear=walk.growth_clear,
        charger_works=walk.charger_works,
        signs_up=walk.signs_up,
        note=note.strip(),
        checked_by=actor,
    )
    check.full_clean()
    sign(check, actor)
    check.save()
    once.settle(claimed, f"fence-check:{check.pk}")
    return check
