"""What must be known before driving to a yard: days to stay away, its certificate, its bear fence."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Max, Prefetch, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apiary_ops.core.days import spoken_day
from apiary_ops.yards import compute
from apiary_ops.yards.models import Certificate, FenceCheck, NoGo, Yard

FAULT_WORDS = {
    compute.Fault.TOO_WEAK: gettext_lazy(
        "The wire carries too little: at least 6,000 volts. Look for growth, loose joints, a flat battery."
    ),
    compute.Fault.CHARGER: gettext_lazy("The charger or its battery does not work."),
    compute.Fault.EARTH: gettext_lazy("The earth is poor: three rods, deep and joined, or a bear feels nothing."),
    compute.Fault.WIRES: gettext_lazy("Wires are slack, dead or missing."),
    compute.Fault.GROWTH: gettext_lazy("Growth touches the wires and draws them down: mow under them."),
    compute.Fault.TOO_STRONG: gettext_lazy("The wire carries more than 10,000 volts: change the charger."),
    compute.Fault.SIGNS: gettext_lazy("Warning signs are missing."),
    compute.Fault.NOT_METERED: gettext_lazy("The voltage was not measured."),
}
TONES = {compute.Validity.GOOD: "good", compute.Validity.SOON: "mind", compute.Validity.OVER: "broken"}


@dataclass(frozen=True, slots=True)
class DaysAway:
    """Days to stay away from a yard, in words."""

    no_go: NoGo
    days: str
    is_now: bool


@dataclass(frozen=True, slots=True)
class CertificateState:
    """A certificate, and whether it still holds in a word and its tone."""

    certificate: Certificate
    words: str
    tone: str


@dataclass(frozen=True, slots=True)
class YardCertificate:
    """A yard and the certificate that holds longest there, if any."""

    yard: Yard
    certificate: Certificate | None
    words: str
    tone: str


@dataclass(frozen=True, slots=True)
class FenceState:
    """The last walk round a fence (None before the first), what it found wrong, and whether another one is due."""

    check: FenceCheck | None
    faults: tuple[str, ...]
    words: str
    tone: str


@dataclass(frozen=True, slots=True)
class Land:
    """What stands on a yard's page besides its own row; a fence only where bears come or one was walked."""

    days_away: list[DaysAway]
    certificate: CertificateState | None
    fence: FenceState | None


def no_go_ahead(today: date) -> QuerySet[NoGo]:
    """Days to stay away that are not over, of every yard, the next first."""
    return NoGo.objects.filter(ends_on__gte=today).select_related("yard").order_by("starts_on", "id")


def no_go_on(yard_id: int, day: date) -> NoGo | None:
    """Why nobody may drive to a yard on a day, if so."""
    return no_go_ahead(day).filter(yard_id=yard_id, starts_on__lte=day).first()


def no_go_warning(yard_id: int, day: date) -> str:
    """The same as a sentence to show before setting out; empty when the road is free."""
    no_go = no_go_on(yard_id, day)
    if no_go is None:
        return ""
    return _("Nobody is to drive to %(yard)s on %(day)s: %(reason)s.") % {
        "yard": no_go.yard,
        "day": spoken_day(day),
        "reason": no_go.reason.rstrip("."),
    }


def no_go(pk: int) -> QuerySet[NoGo]:
    """One entry with its yard, or nothing."""
    return NoGo.objects.filter(pk=pk).select_related("yard")


def certificate(pk: int) -> QuerySet[Certificate]:
    """One certificate with its yard, or nothing."""
    return Certificate.objects.filter(pk=pk).select_related("yard")


def yards_with_certificate_over(today: date) -> set[int]:
    """Yards that had a certificate, and have none that holds today."""
    last = Certificate.objects.values_list("yard_id").annotate(Max("expires_on"))
    return {yard_id for yard_id, expires_on in last if expires_on < today}


def yard_certificates(today: date) -> list[YardCertificate]:
    """Every yard in use with the certificate that holds longest; what runs out first comes first, none last."""
    longest = Prefetch("certificates", Certificate.objects.order_by("-expires_on", "-id"), to_attr="by_expiry")
    rows = []
    for yard in Yard.objects.filter(is_active=True).order_by("code").prefetch_related(longest):
        latest = next(iter(yard.by_expiry), None)
        state = certificate_state(latest, today) if latest else None
        rows.append(
            YardCertificate(yard, latest, state.words if state else _("none"), state.tone if state else "quiet")
        )
    return sorted(rows, key=lambda row: row.certificate.expires_on if row.certificate else date.max)


def land_of(yard: Yard, today: date) -> Land:
    """What must be known before driving to one yard."""
    latest = yard.certificates.order_by("-expires_on", "-id").first()
    return Land(
        days_away=[days_away(row, today) for row in no_go_ahead(today).filter(yard=yard)],
        certificate=certificate_state(latest, today) if latest else None,
        fence=_fence(yard, today),
    )


def days_away(row: NoGo, today: date) -> DaysAway:
    """One entry in words: a single day, or from day to day."""
    first, last = spoken_day(row.starts_on), spoken_day(row.ends_on)
    days = first if row.starts_on == row.ends_on else _("%(first)s to %(last)s") % {"first": first, "last": last}
    return DaysAway(row, days, is_now=row.starts_on <= today <= row.ends_on)


def certificate_state(row: Certificate, today: date) -> CertificateState:
    """Whether a certificate holds: broken once it ran out, to be minded while it runs out within thirty days."""
    validity = compute.validity(row.expires_on, today)
    sentence = _("ran out on %(day)s") if validity is compute.Validity.OVER else _("good until %(day)s")
    return CertificateState(row, sentence % {"day": spoken_day(row.expires_on)}, TONES[validity])


def fence_walks(yard: Yard, limit: int = 6) -> list[FenceState]:
    """The last walks round a fence, the latest first, each judged by what it found."""
    checks = yard.fence_checks.select_related("checked_by").order_by("-on", "-id")[:limit]
    return [_judged(check) for check in checks]


def _judged(check: FenceCheck) -> FenceState:
    walk = compute.FenceWalk(
        volts=check.volts,
        wires_tight=check.wires_tight,
        earth_good=check.earth_good,
        growth_clear=check.growth_clear,
        charger_works=check.charger_works,
        signs_up=check.signs_up,
    )
    faults = tuple(str(FAULT_WORDS[fault]) for fault in compute.fence_faults(walk))
    return FenceState(check, faults, *((_("not in order"), "broken") if faults else (_("in order"), "good")))


def _fence(yard: Yard, today: date) -> FenceState | None:
    """The last walk as it counts today: sound, but long ago, it is to be minded."""
    for last in fence_walks(yard, limit=1):
        days = (today - last.check.on).days if last.check else 0
        if last.faults or days <= compute.CHECK_AGAIN_DAYS:
            return last
        return FenceState(last.check, (), _("in order, but not checked for %(days)s days") % {"days": days}, "mind")
    return FenceState(None, (), _("not checked yet"), "mind") if yard.has_bears else None
