"""Every colony's strength and grade on a day, from its latest looks of the season, in a handful of queries."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import Q
from django.utils.translation import gettext as _

from apiary_ops.yards import compute
from apiary_ops.yards.models import Colony, Factor, GradeRule, Look

from .work import holds_open

KEPT_FOR = {
    Colony.Purpose.NUCS: "",
    Colony.Purpose.HONEY: "honey",
    Colony.Purpose.POLLINATION: "a pollination contract",
    Colony.Purpose.BREEDER: "breeding queens",
    Colony.Purpose.DRONES: "drones",
    Colony.Purpose.RESERVE: "reserve",
}


@dataclass(frozen=True, slots=True)
class GradedColony:
    """A colony as it counts on a day: its strength on the footing, its grade, or why it is left out.

    `looked_on` is the day of the look the strength came from. Frames are deep frames, to a tenth.
    """

    colony_id: int
    tag: str
    yard_id: int
    yard_code: str
    position: int
    boxes: int
    strength_frames: Decimal | None
    spread: Decimal | None
    sealed_frames: Decimal | None
    looked_on: date | None
    grade: str
    rule: str
    gives_nucs: bool
    left_out_because: str
    look_id: int | None = None
    queen: str = ""
    on_hold: bool = False

    @property
    def grade_words(self) -> str:
        """The grade, or that the colony is left out and why."""
        return self.grade or _("left out: %(reason)s") % {"reason": self.left_out_because}

    @property
    def grade_note(self) -> str:
        """The rule that gave the grade, or why there is none."""
        return self.left_out_because or self.rule

    @property
    def strength_words(self) -> str:
        return "" if self.strength_frames is None else f"{self.strength_frames} ± {self.spread}"

    @property
    def tone(self) -> str:
        return "good" if self.gives_nucs else "quiet"


@dataclass(frozen=True, slots=True)
class GradeChange:
    """A colony whose grade other rules would change."""

    tag: str
    yard_code: str
    strength_frames: Decimal | None
    before: str
    after: str


@dataclass(slots=True)
class _Seen:
    """What the looks of a season say of one colony, each fact from the latest look that recorded it."""

    look_id: int | None = None
    looked_on: date | None = None
    strength: compute.Strength | None = None
    sealed: Decimal | None = None
    queen: str = ""


def graded_colonies(
    season_id: int, today: date, *, yard_id: int | None = None, colony_id: int | None = None
) -> list[GradedColony]:
    """Every colony alive on a day in walking order, graded by the rules and factors in force that day."""
    rules = compute.rule_set_on(_rules(), today)
    return [
        _graded(row, seen, standing, compute.grade_colony(standing, rules))
        for row, seen, standing in _standings(season_id, today, yard_id, colony_id)
    ]


def graded_colony(colony: Colony, season_id: int, today: date) -> GradedColony | None:
    """One colony graded; None when it was not alive that day."""
    return next(iter(graded_colonies(season_id, today, colony_id=colony.pk)), None)


def grade_changes(season_id: int, today: date, proposed: Sequence[compute.Rule]) -> list[GradeChange]:
    """Colonies whose grade, today, the proposed rules would change."""
    rules = compute.rule_set_on(_rules(), today)
    changes = []
    for row, _seen, standing in _standings(season_id, today, None, None):
        before, after = compute.grade_colony(standing, rules), compute.grade_colony(standing, proposed)
        if _words(before) != _words(after):
            changes.append(GradeChange(row[1], row[3], standing.strength, _words(before), _words(after)))
    return changes


def rules_in_force(day: date) -> tuple[compute.Rule, ...]:
    """The dated set of grade rules in force on a day, in order."""
    return compute.rule_set_on(_rules(), day)


def rule_sets() -> list[tuple[date, list[GradeRule]]]:
    """Every dated set of grade rules, latest first."""
    sets: dict[date, list[GradeRule]] = {}
    for rule in GradeRule.objects.order_by("-valid_from", "place"):
        sets.setdefault(rule.valid_from, []).append(rule)
    return list(sets.items())


def factor_table(day: date) -> tuple[compute.Factor, ...]:
    """The factors in force on a day, by view and temperature."""
    rows = Factor.objects.values_list("view", "warmer_than_c", "factor", "valid_from", "source")
    return compute.factors_on((compute.Factor(*row) for row in rows), day)


def _rules() -> list[compute.Rule]:
    rows = GradeRule.objects.order_by("valid_from", "place").values_list(
        "valid_from", "place", "grade", "least_frames", "least_sealed_frames", "gives_nucs"
    )
    return [compute.Rule(*row) for row in rows]


_Row = tuple[int, str, int, str, int, int, str, date | None, date | None]


def _standings(
    season_id: int, today: date, yard_id: int | None, colony_id: int | None
) -> Iterator[tuple[_Row, _Seen, compute.Standing]]:
    alive = Colony.objects.filter(started_on__lte=today).filter(Q(ended_on__isnull=True) | Q(ended_on__gt=today))
    if yard_id is not None:
        alive = alive.filter(yard_id=yard_id)
    if colony_id is not None:
        alive = alive.filter(pk=colony_id)
    rows = alive.order_by("yard__code", "position", "id").values_list(
        "id", "tag", "yard_id", "yard__code", "position", "boxes", "purpose", "purpose_from", "purpose_until"
    )
    seen = _seen(season_id, today, yard_id, colony_id)
    held_yards, held_colonies = _held(today)
    nothing = _Seen()
    for row in rows:
        what = seen.get(row[0], nothing)
        standing = compute.Standing(
            kept_for=KEPT_FOR[Colony.Purpose(row[6])] if compute.is_within(today, row[7], row[8]) else "",
            on_hold=held_yards.get(row[2]) or held_colonies.get(row[0], ""),
            queen=what.queen,
            strength=what.strength.frames if what.strength else None,
            sealed=what.sealed,
        )
        yield row, what, standing


def _seen(season_id: int, today: date, yard_id: int | None, colony_id: int | None) -> dict[int, _Seen]:
    looks = Look.objects.filter(visit__season_id=season_id, visit__on__lte=today)
    counted = Q(below_halves__isnull=False) | Q(above_halves__isnull=False) | Q(sealed_halves__isnull=False)
    looks = looks.filter(counted | ~Q(queen=""))
    if yard_id is not None:
        looks = looks.filter(colony__yard_id=yard_id)
    if colony_id is not None:
        looks = looks.filter(colony_id=colony_id)
    rows = looks.order_by("visit__on", "id").values_list(
        "colony_id",
        "id",
        "visit__on",
        "below_halves",
        "above_halves",
        "visit__temperature_c",
        "flying",
        "colony__boxes",
        "sealed_halves",
        "queen",
    )
    counts: dict[int, tuple[Any, ...]] = {}
    sealed: dict[int, int | None] = {}
    queens: dict[int, str] = {}
    for row in rows:
        if row[3] is not None or row[4] is not None:
            counts[row[0]] = row
            sealed[row[0]] = None  # brood seen before this count is out of date
        if row[8] is not None:
            sealed[row[0]] = row[8]
        if row[9]:
            queens[row[0]] = row[9]
    strengths = _Strengths(factor_table(today))
    found = {colony: _Seen(queen=queen) for colony, queen in queens.items()}
    for colony, row in counts.items():
        what = found.setdefault(colony, _Seen())
        what.look_id, what.looked_on, what.strength = row[1], row[2], strengths.of(row[3:8])
    for colony, halves in sealed.items():
        if halves is not None:
            found.setdefault(colony, _Seen()).sealed = Decimal(halves) / 2
    return found


class _Strengths:
    """Strengths by what they depend on: a season repeats few counts and temperatures."""

    def __init__(self, factors: Sequence[compute.Factor]) -> None:
        self.factors = factors
        self.known: dict[tuple[Any, ...], compute.Strength | None] = {}

    def of(self, key: tuple[Any, ...]) -> compute.Strength | None:
        if key not in self.known:
            below, above, temperature, flying, boxes = key
            self.known[key] = compute.standard_strength(
                below_halves=below,
                above_halves=above,
                temperature_c=temperature,
                flying=flying,
                factors=self.factors,
                boxes=boxes,
            )
        return self.known[key]


def _held(today: date) -> tuple[dict[int, str], dict[int, str]]:
    """Reasons of the holds in force, by yard and by colony."""
    yards: dict[int, str] = {}
    colonies: dict[int, str] = {}
    for yard_id, colony_id, reason in holds_open(today).values_list("yard_id", "colony_id", "reason"):
        if colony_id is None:
            yards.setdefault(yard_id, reason)
        else:
            colonies.setdefault(colony_id, reason)
    return yards, colonies


def _graded(row: _Row, seen: _Seen, standing: compute.Standing, grading: compute.Grading) -> GradedColony:
    return GradedColony(
        *row[:6],
        strength_frames=seen.strength.frames if seen.strength else None,
        spread=seen.strength.spread if seen.strength else None,
        sealed_frames=seen.sealed,
        looked_on=seen.looked_on,
        grade=grading.grade,
        rule=grading.rule,
        gives_nucs=grading.gives_nucs,
        left_out_because=grading.left_out_because,
        look_id=seen.look_id,
        queen=seen.queen,
        on_hold=bool(standing.on_hold),
    )


def _words(grading: compute.Grading) -> str:
    return grading.grade or _("left out: %(reason)s") % {"reason": grading.left_out_because}
