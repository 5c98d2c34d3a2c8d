"""Rounds of looks: when the yards were gone through, how strong each was, and what changed in between."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from statistics import mean, median
from typing import Any

from django.db.models import Q
from django.utils.translation import gettext as _

from apiary_ops.core.days import spoken_day
from apiary_ops.kernel.rounding import half_up
from apiary_ops.yards import compute
from apiary_ops.yards.models import Colony, Look, Tally, Yard

from .colonies import alive_on
from .depths import Strengths
from .grading import factor_table, rule_sets_as_rules

# Days without a look that part two rounds: crews go through the yards within a week or so (an assumption).
GAP_DAYS = 5


@dataclass(frozen=True, slots=True)
class Sight:
    """One look that counted a colony, on the footing."""

    colony_id: int
    yard_id: int  # where it was seen
    on: date
    visit_id: int
    depth: str
    strength: compute.Strength


@dataclass(frozen=True, slots=True)
class LookRound:
    """Days on which colonies were looked at, with no long gap between them."""

    first_on: date
    last_on: date
    colonies: int

    @property
    def words(self) -> str:
        """From its first to its last day."""
        if self.first_on == self.last_on:
            return spoken_day(self.first_on)
        return f"{spoken_day(self.first_on)} – {spoken_day(self.last_on)}"


@dataclass(frozen=True, slots=True)
class ColonyChange:
    """A colony in two rounds; frames on the footing."""

    tag: str
    yard_code: str
    yard_name: str
    position: int
    change: compute.Change
    word: str

    @property
    def then(self) -> Decimal:
        return self.change.then

    @property
    def now(self) -> Decimal:
        return self.change.now

    @property
    def by(self) -> Decimal:
        return self.change.by

    @property
    def margin(self) -> Decimal:
        return self.change.margin

    @property
    def words(self) -> str:
        said = {compute.FELL: _("fell"), compute.FELL_BEHIND: _("fell behind"), compute.GAINED: _("gained")}
        return said.get(self.word, _("within what counts err"))

    @property
    def tone(self) -> str:
        return {compute.FELL: "broken", compute.FELL_BEHIND: "mind", compute.GAINED: "good"}.get(self.word, "quiet")


@dataclass(frozen=True, slots=True)
class YardChange:
    """A yard in two rounds, by the colonies seen in both."""

    yard: Yard
    colonies: int
    then: Decimal
    now: Decimal
    fell: int
    fell_behind: int
    is_weak: bool
    is_uneven: bool

    @property
    def by(self) -> Decimal:
        return self.now - self.then

    @property
    def words(self) -> str:
        """What wants attention here; empty when nothing does."""
        said = [(self.is_weak, _("weak")), (self.is_uneven, _("uneven"))]
        return ", ".join(word for is_so, word in said if is_so)

    @property
    def tone(self) -> str:
        return "mind" if self.words else "quiet"


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two rounds side by side: yards and colonies, those that fell most first."""

    then: LookRound
    now: LookRound
    yards: tuple[YardChange, ...]
    colonies: tuple[ColonyChange, ...]


def sights(season_id: int, today: date, *, yard_id: int | None = None) -> list[Sight]:
    """Every counted look of a season in order of the days, all by the factors in force today."""
    looks = Look.objects.filter(visit__season_id=season_id, visit__on__lte=today)
    looks = looks.filter(Q(below_halves__isnull=False) | Q(above_halves__isnull=False))
    if yard_id is not None:
        looks = looks.filter(visit__yard_id=yard_id)
    columns = ("below_halves", "above_halves", "visit__temperature_c", "flying", "colony__boxes")
    rows = looks.order_by("visit__on", "id").values_list(
        "colony_id", "visit__yard_id", "visit__on", "visit_id", "visit__depth", *columns
    )
    strengths = Strengths(factor_table(today))
    found = []
    for colony_id, seen_in, on, visit_id, depth, *count in rows:
        if (strength := strengths.of(tuple(count))) is not None:
            found.append(Sight(colony_id, seen_in, on, visit_id, depth, strength))
    return found


def look_rounds(seen: Sequence[Sight]) -> list[LookRound]:
    """The rounds that looks fall into, latest first."""
    rounds: list[list[Sight]] = []
    for sight in seen:
        if rounds and (sight.on - rounds[-1][-1].on).days <= GAP_DAYS:
            rounds[-1].append(sight)
        else:
            rounds.append([sight])
    return [
        LookRound(found[0].on, found[-1].on, len({sight.colony_id for sight in found})) for found in reversed(rounds)
    ]


def compare_rounds(seen: Sequence[Sight], then: LookRound, now: LookRound, today: date) -> Comparison:
    """Colonies alive today that were counted in both rounds, each by its last look in either."""
    before, after = _last_of(seen, then), _last_of(seen, now)
    alive = Colony.objects.filter(alive_on(today), pk__in=set(before) & set(after)).select_related("yard")
    rows = list(alive.order_by("yard__code", "position", "id"))
    changes = [
        compute.change_between(before[row.pk].frames, before[row.pk].spread, after[row.pk].frames, after[row.pk].spread)
        for row in rows
    ]
    colonies = [
        ColonyChange(row.tag, row.yard.code, row.yard.name, row.position, change, word)
        for row, change, word in zip(rows, changes, compute.words_of_change(changes), strict=True)
    ]
    by_fall = sorted(colonies, key=lambda one: (one.by, one.yard_code, one.position, one.tag))
    return Comparison(
        then, now, _yard_changes({row.yard.code: row.yard for row in rows}, colonies, today), tuple(by_fall)
    )


def strength_over_time(yard: Yard, season_id: int, today: date) -> list[compute.RoundPoint]:
    """A yard's strength at each look round of one day or tally, oldest first: mean and middle half of its colonies."""
    by_visit: dict[int, list[Sight]] = defaultdict(list)
    for sight in sights(season_id, today, yard_id=yard.pk):
        by_visit[sight.visit_id].append(sight)
    found = [
        _point(rows[0].on, "sample" if rows[0].depth == "sample" else "look", [row.strength.frames for row in rows])
        for rows in by_visit.values()
        if len(rows) >= compute.FEWEST_IN_A_SAMPLE
    ]
    rules = rule_sets_as_rules()
    tallies = Tally.objects.filter(visit__season_id=season_id, visit__yard=yard, visit__on__lte=today)
    for tally in tallies.select_related("visit").prefetch_related("counts"):
        counts = {count.grade: count.colonies for count in tally.counts.all()}
        told = compute.from_tally(counts, [], sum(counts.values()), compute.rule_set_on(rules, tally.visit.on))
        frames = [one.frames for one in told if one is not None]
        if frames:
            found.append(_point(tally.visit.on, "tally", frames))
    return sorted(found, key=lambda point: point.on)


def _point(on: date, basis: str, frames: Sequence[Decimal]) -> compute.RoundPoint:
    ordered = sorted(frames)
    half = (len(ordered) + 1) // 2
    return compute.RoundPoint(
        on=on,
        basis=basis,
        colonies=len(ordered),
        mean=_tenth(mean(ordered)),
        low=_tenth(median(ordered[:half])),
        high=_tenth(median(ordered[-half:])),
    )


def _last_of(seen: Sequence[Sight], chosen: LookRound) -> dict[int, compute.Strength]:
    return {sight.colony_id: sight.strength for sight in seen if chosen.first_on <= sight.on <= chosen.last_on}


def _yard_changes(yards: dict[str, Yard], colonies: Sequence[ColonyChange], today: date) -> tuple[YardChange, ...]:
    by_yard: dict[str, list[ColonyChange]] = defaultdict(list)
    for colony in colonies:
        by_yard[colony.yard_code].append(colony)
    strengths = {yards[code].pk: [row.now for row in rows] for code, rows in by_yard.items()}
    states = compute.yard_states(strengths, dict.fromkeys(strengths, today), today)
    rows = []
    for code, members in by_yard.items():
        words, state = Counter(row.word for row in members), states[yards[code].pk]
        rows.append(
            YardChange(
                yard=yards[code],
                colonies=len(members),
                then=_tenth(mean(row.then for row in members)),
                now=_tenth(mean(row.now for row in members)),
                fell=words[compute.FELL],
                fell_behind=words[compute.FELL_BEHIND],
                is_weak=state.is_weak,
                is_uneven=state.is_uneven,
            )
        )
    return tuple(sorted(rows, key=lambda row: (row.by, row.yard.code)))


def _tenth(frames: Any) -> Decimal:
    return half_up(Decimal(frames), 1)
