"""What plans say, line by line, against each other, and by week."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apiary_ops.allocation.compute import Take
from apiary_ops.allocation.compute.changes import (
    GAINS,
    GONE,
    NEW,
    OTHER_KIND,
    SLIPS,
    STAYS,
    Part,
    Served,
    change,
    served,
)
from apiary_ops.allocation.compute.weeks import WeekRow, week_rows
from apiary_ops.allocation.models import Place, Plan
from apiary_ops.business import stamps
from apiary_ops.business.models import Season
from apiary_ops.kernel.weeks import Week
from apiary_ops.orders.compute import search_key
from apiary_ops.orders.models import Line
from apiary_ops.promise import queries as promise_queries

from .inputs import AREAS, demand, kind_names, supplies, takers

AREA_WORDS = {
    "yards": gettext_lazy("yards"),
    "nucs": gettext_lazy("nucs"),
    "orders": gettext_lazy("orders"),
    "promise": gettext_lazy("what buyers were told"),
    "allocation": gettext_lazy("pins or the standing plan"),
}
CHANGE_WORDS = {
    GAINS: (gettext_lazy("gains"), "good"),
    SLIPS: (gettext_lazy("slips"), "mind"),
    OTHER_KIND: (gettext_lazy("other kind"), "mind"),
    NEW: (gettext_lazy("new"), "quiet"),
    GONE: (gettext_lazy("no longer owed"), "quiet"),
    STAYS: (gettext_lazy("stays"), "quiet"),
}


@dataclass(frozen=True, slots=True)
class PlanRow:
    """A line in a plan, as shown: what it asks, what it is given, and what that changes against another plan."""

    line: Line
    served: Served | None  # None: the plan has no place for the line any more
    before: Served | None
    change: str
    reason: str
    pin_refusal: str

    @property
    def asked(self) -> int:
        row = self.served or self.before
        return row.quantity + row.short if row else 0

    @property
    def short(self) -> int:
        return self.served.short if self.served else 0

    @property
    def change_word(self) -> str:
        return str(CHANGE_WORDS[self.change][0])

    @property
    def change_tone(self) -> str:
        return CHANGE_WORDS[self.change][1]

    @property
    def given(self) -> str:
        return self._words(self.served)

    @property
    def given_before(self) -> str:
        return self._words(self.before)

    @property
    def first_week(self) -> date | None:
        return self.served.parts[0].week if self.served and self.served.parts else None

    def _words(self, served: Served | None) -> str:
        """ "2, week of 3 May", with the kind where it is another than asked, one part after the other."""
        if served is None:
            return _("not in the plan")
        if not served.parts:
            return _("nothing")
        own = self.line.kind.name
        return "; ".join(
            f"{part.quantity}{'' if part.kind == own else f' {part.kind}'}, {Week(part.week).label}"
            for part in served.parts
        )


def plans(season_id: int) -> QuerySet[Plan]:
    """The plans of a season, newest first."""
    return Plan.objects.filter(season_id=season_id).select_related("made_by", "accepted_by").order_by("-id")


def newest_plan(season_id: int) -> Plan | None:
    """The plan made last, accepted or not; None before the first."""
    return plans(season_id).first()


def standing_plan(season_id: int) -> Plan | None:
    """The plan that was accepted and holds; None before the first."""
    return plans(season_id).filter(is_standing=True).first()


def moved_areas(plan: Plan) -> list[str]:
    """Words for what changed since the plan was made; none while it still holds."""
    now = stamps.read(plan.season_id, AREAS)
    return [str(AREA_WORDS[area]) for area in AREAS if now[area] != plan.stamps.get(area, 0)]


def plan_rows(plan: Plan, against: Plan | None = None) -> list[PlanRow]:
    """The lines of a plan by priority, compared with `against`; lines that only the other plan has come last."""
    places = _places_by_line(plan)
    earlier = _places_by_line(against) if against and against != plan else {}
    lines = [*places, *(line for line in earlier if line not in places)]
    rows = []
    for line_id in lines:
        own, before = places.get(line_id, []), earlier.get(line_id, [])
        now, then = _served(own), _served(before)
        rows.append(
            PlanRow(
                line=(own or before)[0].line,
                served=now,
                before=then,
                change=change(then, now) if earlier else STAYS,
                reason=own[0].reason if own else _("No longer owed."),
                pin_refusal=own[0].pin_refusal if own else "",
            )
        )
    return rows


def change_rows(rows: Iterable[PlanRow]) -> list[PlanRow]:
    """The rows that change something, the slips first."""
    ranks = {SLIPS: 0, GAINS: 1}
    return sorted((row for row in rows if row.change != STAYS), key=lambda row: ranks.get(row.change, 2))


def narrowed(rows: Iterable[PlanRow], *, text: str = "", show: str = "") -> list[PlanRow]:
    """The rows whose order number or buyer holds `text`; `show` leaves those that are "short" or fully "given"."""
    wanted = search_key(text)
    found = [row for row in rows if wanted in row.line.order.buyer.search_key or wanted in row.line.order.number]
    return [row for row in found if not show or bool(row.short) is (show == "short")]


def refused_pins(rows: Iterable[PlanRow]) -> list[PlanRow]:
    """The lines whose pin could not be kept, for the page to say why."""
    return [row for row in rows if row.pin_refusal]


def plan_summary(rows: Iterable[PlanRow]) -> dict[str, int]:
    """How many lines and nucs are owed, given and short, and how many lines gain, slip or are gone."""
    rows = list(rows)
    words = Counter(row.change for row in rows)
    present = [row for row in rows if row.served]
    return {
        "lines": len(present),
        "asked": sum(row.asked for row in present),
        "given": sum(row.served.quantity for row in present if row.served),
        "short": sum(row.short for row in present),
        "short_lines": sum(1 for row in present if row.short),
        "gains": words[GAINS],
        "slips": words[SLIPS],
        "gone": words[GONE],
    }


def standing_places(order_ids: Iterable[int]) -> QuerySet[Place]:
    """What the standing plan gives the lines of some orders that are still owed, by line and week."""
    return (
        Place.objects.filter(plan__is_standing=True, line__order_id__in=list(order_ids))
        .filter(line__state__in=Line.OWED_STATES)
        .select_related("line__kind", "kind")
        .order_by("line_id", "week", "id")
    )


def week_totals(season_id: int, today: date, plan: Plan | None) -> list[WeekRow]:
    """By week and kind from this week on: told firmly, given by the plan, becoming ready, and left beside it."""
    names = kind_names()
    season = Season.objects.get(pk=season_id)
    lines = list(takers(season_id))
    tellings = promise_queries.latest_telling([line.pk for line in lines])
    told: Counter[tuple[date, str]] = Counter()
    for line in lines:
        row = demand(line, tellings.get(line.pk), names, season, today)
        if row.told_week:
            told[row.told_week, row.kinds[0]] += row.quantity
    places = Place.objects.filter(plan=plan, quantity__gt=0) if plan else Place.objects.none()
    takes = [
        Take(place.week, names[place.kind_id], place.supply, place.quantity)
        for place in places
        if place.week and place.kind_id
    ]
    this_week = Week.of(today).monday
    late = {key: count for key, count in told.items() if key[0] >= this_week}
    return week_rows(supplies(season_id, today, names), takes, late, this_week)


def _places_by_line(plan: Plan) -> dict[int, list[Place]]:
    rows: dict[int, list[Place]] = {}
    places = Place.objects.filter(plan=plan).select_related("line__order__buyer", "line__kind", "kind").order_by("id")
    for place in places:
        rows.setdefault(place.line_id, []).append(place)
    return rows


def _served(places: list[Place]) -> Served | None:
    if not places:
        return None
    takes = [Part(place.week, place.kind.name, place.quantity) for place in places if place.week and place.kind]
    return served(takes, sum(place.short for place in places))
