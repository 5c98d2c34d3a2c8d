"""Health: washes with their load, brood checks, treatments running and ended, colonies whose queen wants replacing."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import F, Max, Q, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apiary_ops.business.models import Season
from apiary_ops.yards import compute
from apiary_ops.yards.models import BroodCheck, Colony, Look, MiteWash, Task, TaskRule, Treatment, TreatmentKind


@dataclass(frozen=True, slots=True)
class WashRow:
    """A wash with its load of mites beside the limit."""

    wash: MiteWash
    load: compute.MiteLoad


@dataclass(frozen=True, slots=True)
class TreatmentRow:
    """A treatment with how it stands on a day, in a word and a tone."""

    treatment: Treatment
    words: str
    tone: str


@dataclass(frozen=True, slots=True)
class RequeenRow:
    """A live colony whose queen wants replacing, since when and why."""

    colony: Colony
    queen: str
    words: str
    seen_on: date | None
    due_on: date | None
    days: int | None

    @property
    def tone(self) -> str:
        return "mind" if self.queen == Look.Queen.SPOTTY else "broken"


def washes(season_id: int) -> QuerySet[MiteWash]:
    """Washes of a season, latest first."""
    rows = MiteWash.objects.filter(visit__season_id=season_id).select_related("visit__yard", "colony")
    return rows.order_by("-visit__on", "-id")


def wash_rows(washes: Sequence[MiteWash] | QuerySet[MiteWash]) -> list[WashRow]:
    """Washes, each with its load on the day."""
    return [WashRow(wash, compute.mite_load(mites=wash.mites, bees=wash.bees, on=wash.visit.on)) for wash in washes]


def wash(pk: int) -> QuerySet[MiteWash]:
    """One wash with where it was taken, or nothing."""
    return MiteWash.objects.filter(pk=pk).select_related("visit__yard", "colony")


def brood_checks(season_id: int) -> QuerySet[BroodCheck]:
    """Brood checks of a season, latest first."""
    rows = BroodCheck.objects.filter(visit__season_id=season_id).select_related("visit__yard", "colony")
    return rows.order_by("-visit__on", "-id")


def brood_check(pk: int) -> QuerySet[BroodCheck]:
    """One brood check with where it was made, or nothing."""
    return BroodCheck.objects.filter(pk=pk).select_related("visit__yard", "colony")


def treatment_kinds() -> QuerySet[TreatmentKind]:
    """Treatments in use, by name."""
    return TreatmentKind.objects.filter(is_in_use=True).order_by("name", "id")


def treatment(pk: int) -> QuerySet[Treatment]:
    """One treatment with its kind and where it is, or nothing."""
    return _treatments().filter(pk=pk)


def treatments_of_season(season: Season) -> QuerySet[Treatment]:
    """Treatments given in a season and those still in from before, the first to come out first."""
    within = Q(starts_on__gte=season.starts_on, starts_on__lt=season.ends_before)
    carried = Q(starts_on__lt=season.starts_on) & (Q(ended_on__isnull=True) | Q(ended_on__gte=season.starts_on))
    return _treatments().filter(within | carried)


def treatments_running(on: date, *, yard_id: int | None = None) -> QuerySet[Treatment]:
    """Treatments at work on a day: not ended, and either still to come out or not yet past their last day."""
    rows = _treatments().filter(starts_on__lte=on, ended_on__isnull=True)
    rows = rows.filter(Q(kind__comes_out=True) | Q(due_out_on__gte=on))
    return rows if yard_id is None else rows.filter(yard_id=yard_id)


def treatments_of_colony(colony: Colony) -> QuerySet[Treatment]:
    """Treatments of a colony, and of its yard since it has stood there, latest first."""
    whole = Q(colony__isnull=True, yard_id=colony.yard_id, due_out_on__gte=colony.started_on)
    rows = _treatments().filter(Q(colony=colony) | whole)
    return rows.order_by("-starts_on", "-id")


def treatment_rows(treatments: Sequence[Treatment] | QuerySet[Treatment], today: date) -> list[TreatmentRow]:
    """Treatments, each with how it stands today."""
    return [TreatmentRow(treatment, *_standing(treatment, today)) for treatment in treatments]


def _treatments() -> QuerySet[Treatment]:
    rows = Treatment.objects.select_related("kind", "yard", "colony")
    return rows.order_by(F("ended_on").desc(nulls_first=True), "due_out_on", "yard__code", "id")


def _standing(treatment: Treatment, today: date) -> tuple[str, str]:
    if treatment.ended_on is not None:
        return _("ended"), "quiet"
    late = (today - treatment.due_out_on).days
    if not treatment.kind.comes_out:
        return (_("over"), "quiet") if late > 0 else (_("working"), "now")
    if late > 0:
        return ngettext("out %(days)s day late", "out %(days)s days late", late) % {"days": late}, "broken"
    if late == 0:
        return _("out today"), "mind"
    return ngettext("out in %(days)s day", "out in %(days)s days", -late) % {"days": -late}, "now"


def requeening_list(season_id: int, today: date) -> list[RequeenRow]:
    """Live colonies whose queen wants replacing, longest known first: queens to order.

    A colony stands here while its last look at the queen found none, a drone layer or spotty brood and nobody has
    requeened it since, or while a task to requeen it is open.
    """
    tasks = Task.objects.filter(season_id=season_id, rule=TaskRule.Code.REQUEEN, colony__isnull=False)
    open_until = dict(tasks.filter(done_on__isnull=True).order_by("-due_on").values_list("colony_id", "due_on"))
    requeened = dict(tasks.filter(done_on__isnull=False).values_list("colony_id").annotate(Max("done_on")))
    seen = _queens_seen(season_id, today)
    poor = {
        colony_id: (queen, on)
        for colony_id, (queen, on) in seen.items()
        if queen in compute.POOR_QUEENS and requeened.get(colony_id, date.min) < on
    }
    wanted = Colony.objects.filter(pk__in=poor.keys() | open_until.keys(), state=Colony.State.LIVE)
    rows = [
        _requeen_row(colony, seen.get(colony.pk), open_until.get(colony.pk), today)
        for colony in wanted.select_related("yard").order_by("yard__code", "position", "id")
    ]
    return sorted(rows, key=lambda row: row.seen_on or today)


def _queens_seen(season_id: int, today: date) -> dict[int, tuple[str, date]]:
    """The last answer on each colony's queen, and its day."""
    looks = Look.objects.filter(visit__season_id=season_id, visit__on__lte=today).exclude(queen="")
    found: dict[int, tuple[str, date]] = {}
    for colony_id, queen, on in looks.order_by("visit__on", "id").values_list("colony_id", "queen", "visit__on"):
        found[colony_id] = (queen, on)
    return found


def _requeen_row(colony: Colony, seen: tuple[str, date] | None, due_on: date | None, today: date) -> RequeenRow:
    queen, seen_on = seen if seen and seen[0] in compute.POOR_QUEENS else ("", None)
    return RequeenRow(
        colony=colony,
        queen=queen,
        words=str(Look.Queen(queen).label) if queen else _("to be requeened"),
        seen_on=seen_on,
        due_on=due_on,
        days=(today - seen_on).days if seen_on else None,
    )
