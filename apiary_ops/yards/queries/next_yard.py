"""Which yard next: each yard's needs, the way there and the time, ranked with its reasons."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal

from django.db.models import Count
from django.utils.formats import date_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext_lazy

from apiary_ops.kernel.rounding import half_up
from apiary_ops.yards.compute import next_yard as rank
from apiary_ops.yards.models import Colony, NoGo, Task, TaskRule, Visit, Yard

from .health import treatments_running
from .work import held_yards, last_seen_on

AHEAD_DAYS = 14  # how far ahead days on which nobody may come are shown

NEED_WORDS = {
    rank.CELLS_LATE: ngettext_lazy("%(count)s cell check late", "%(count)s cell checks late", "count"),
    rank.CELLS_DUE: ngettext_lazy("%(count)s cell check due", "%(count)s cell checks due", "count"),
    rank.STRIPS_LATE: ngettext_lazy("strips late in %(count)s hive", "strips late in %(count)s hives", "count"),
    rank.STRIPS_DUE: ngettext_lazy("strips due in %(count)s hive", "strips due in %(count)s hives", "count"),
    rank.PATTIES_LATE: ngettext_lazy("%(count)s patty late", "%(count)s patties late", "count"),
    rank.PATTIES_DUE: ngettext_lazy("%(count)s patty due", "%(count)s patties due", "count"),
    rank.OTHERS_LATE: ngettext_lazy("%(count)s task late", "%(count)s tasks late", "count"),
    rank.OTHERS_DUE: ngettext_lazy("%(count)s task due", "%(count)s tasks due", "count"),
}
WEIGHT_WORDS = {
    rank.CELLS_LATE: gettext_lazy("a cell check that is late"),
    rank.CELLS_DUE: gettext_lazy("a cell check that is due"),
    rank.STRIPS_LATE: gettext_lazy("strips that are late, once a yard"),
    rank.STRIPS_DUE: gettext_lazy("strips that are due, once a yard"),
    rank.PATTIES_LATE: gettext_lazy("a patty that is late"),
    rank.PATTIES_DUE: gettext_lazy("a patty that is due"),
    rank.OTHERS_LATE: gettext_lazy("any other task that is late"),
    rank.OTHERS_DUE: gettext_lazy("any other task that is due"),
    rank.UNSEEN: gettext_lazy("each day more than two weeks since the last look"),
}


@dataclass(slots=True)
class _Facts:
    """What is known of one yard before it is ranked."""

    yard: Yard
    colonies: int
    counts: Counter[str] = field(default_factory=Counter)
    looked_on: date | None = None
    hold: str = ""
    no_go: list[NoGo] = field(default_factory=list)

    def shut_by(self, today: date) -> NoGo | None:
        return next((days for days in self.no_go if days.starts_on <= today), None)

    def days_since_look(self, today: date) -> int | None:
        return (today - self.looked_on).days if self.looked_on else None


@dataclass(frozen=True, slots=True)
class Waiting:
    """How many of a kind are due or late, and how many of them late."""

    number: int
    late: int

    @property
    def words(self) -> str:
        if self.late == self.number and self.late:
            return _("%(late)s late") % {"late": self.late}
        if self.late:
            return _("%(number)s, %(late)s late") % {"number": self.number, "late": self.late}
        return str(self.number or "")


@dataclass(frozen=True, slots=True)
class NextYardRow:
    """A yard in its place: what waits there, the way, the time, and why it stands where it stands."""

    yard: Yard
    rank: int
    points: int
    reasons: str
    colonies: int
    days_since_look: int | None
    cells: Waiting
    strips: Waiting
    patties: Waiting
    others: Waiting
    hours: Decimal
    is_kept_back: bool  # on hold, or shut today

    @property
    def tone(self) -> str:
        if self.is_kept_back:
            return "broken"
        return "mind" if self.points else "quiet"


@dataclass(frozen=True, slots=True)
class NextYards:
    """Every yard with colonies or work, in order, and the pace that the hours are worked out from."""

    rows: list[NextYardRow]
    minutes_a_hive: Decimal
    from_visits: int  # 0: no visit of this season says, so common practice is taken


def next_yards(season_id: int, today: date) -> NextYards:
    """The yards in the order to visit them today."""
    facts = _facts(season_id, today)
    pace, from_visits = rank.minutes_a_hive(_paces(season_id, today))
    places = rank.rank_yards(
        rank.YardNeeds(
            code=code,
            counts=known.counts,
            days_since_look=known.days_since_look(today),
            is_held=bool(known.hold),
            is_shut=known.shut_by(today) is not None,
            km=known.yard.round_trip_km,
        )
        for code, known in facts.items()
    )
    return NextYards([_row(place, facts[place.code], pace, today) for place in places], pace, from_visits)


def yard_weights() -> list[tuple[str, int]]:
    """What a yard gets points for, and how many."""
    return [(str(WEIGHT_WORDS[kind]), weight.points) for kind, weight in rank.WEIGHTS.items()]


def _facts(season_id: int, today: date) -> dict[str, _Facts]:
    """Yards in use that hold colonies or have open work, by code."""
    live = Colony.objects.filter(state=Colony.State.LIVE)
    standing = dict(live.values_list("yard_id").annotate(Count("id")).order_by())
    counts = _counts(season_id, today, standing)
    looked_on = last_seen_on(season_id, today)
    holds = held_yards(today)
    no_go: dict[int, list[NoGo]] = {}
    ahead = NoGo.objects.filter(ends_on__gte=today, starts_on__lte=today + timedelta(days=AHEAD_DAYS))
    for days in ahead.order_by("starts_on", "id"):
        no_go.setdefault(days.yard_id, []).append(days)
    return {
        yard.code: _Facts(
            yard=yard,
            colonies=standing.get(yard.pk, 0),
            counts=counts.get(yard.pk, Counter()),
            looked_on=looked_on.get(yard.pk),
            hold=holds.get(yard.pk, ""),
            no_go=no_go.get(yard.pk, []),
        )
        for yard in Yard.objects.filter(is_active=True).order_by("code")
        if yard.pk in standing or yard.pk in counts
    }


def _counts(season_id: int, today: date, standing: Mapping[int, int]) -> dict[int, Counter[str]]:
    """What waits at each yard, by kind of need; strips are counted in hives and come from the treatments."""
    counts: dict[int, Counter[str]] = {}
    waiting = Task.objects.filter(season_id=season_id, done_on__isnull=True).exclude(rule=TaskRule.Code.STRIPS)
    for yard_id, rule, due_on in waiting.values_list("yard_id", "rule", "due_on"):
        counts.setdefault(yard_id, Counter())[rank.due_kind(rule, due_on, today)] += 1
    for treatment in treatments_running(today).filter(kind__comes_out=True):
        hives = 1 if treatment.colony_id else standing.get(treatment.yard_id, 0)
        kind = rank.due_kind(TaskRule.Code.STRIPS, treatment.due_out_on, today)
        counts.setdefault(treatment.yard_id, Counter())[kind] += hives
    return counts


def _paces(season_id: int, today: date) -> list[tuple[int, int]]:
    """Minutes and looks of the visits on which each colony was looked at."""
    visits = Visit.objects.filter(season_id=season_id, on__lte=today, depth=Visit.Depth.EACH, minutes__gt=0)
    return list(visits.annotate(taken=Count("looks")).filter(taken__gt=0).values_list("minutes", "taken"))


def _row(place: rank.RankedYard, known: _Facts, pace: Decimal, today: date) -> NextYardRow:
    return NextYardRow(
        yard=known.yard,
        rank=place.rank,
        points=place.points,
        reasons=_sentence(place.needs, known, today),
        colonies=known.colonies,
        days_since_look=known.days_since_look(today),
        hours=half_up(pace * known.colonies / 60, 1),
        is_kept_back=bool(known.hold) or known.shut_by(today) is not None,
        cells=_waiting(known, rank.CELLS_LATE, rank.CELLS_DUE),
        strips=_waiting(known, rank.STRIPS_LATE, rank.STRIPS_DUE),
        patties=_waiting(known, rank.PATTIES_LATE, rank.PATTIES_DUE),
        others=_waiting(known, rank.OTHERS_LATE, rank.OTHERS_DUE),
    )


def _waiting(known: _Facts, late: str, due: str) -> Waiting:
    return Waiting(known.counts[late] + known.counts[due], known.counts[late])


def _sentence(needs: Sequence[rank.Need], known: _Facts, today: date) -> str:
    said = []
    if shut := known.shut_by(today):
        until = {"day": date_format(shut.ends_on, "D j M"), "reason": shut.reason}
        said.append(_("nobody may come until the end of %(day)s (%(reason)s)") % until)
    if known.hold:
        said.append(_("on hold (%(reason)s): go there last, clean your tools after") % {"reason": known.hold})
    said += [_need_words(need, known.days_since_look(today)) for need in needs] or [_("nothing waits here")]
    said += [_no_go_words(days) for days in known.no_go if days.starts_on > today]
    return capfirst("; ".join(said)) + "."


def _need_words(need: rank.Need, days_since_look: int | None) -> str:
    if need.kind != rank.UNSEEN:
        return str(NEED_WORDS[need.kind] % {"count": need.count})
    if days_since_look is None:
        return _("not looked at this season")
    return _("not looked at for %(days)s days") % {"days": days_since_look}


def _no_go_words(days: NoGo) -> str:
    first, last = date_format(days.starts_on, "D j M"), date_format(days.ends_on, "D j M")
    when = {"first": first, "last": last, "reason": days.reason}
    if days.starts_on == days.ends_on:
        return _("nobody may come on %(first)s (%(reason)s)") % when
    return _("nobody may come from %(first)s to %(last)s (%(reason)s)") % when
