"""Every colony's strength and grade on a day, from its latest looks of the season, in a handful of queries."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import Q
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from apiary_ops.yards import compute
from apiary_ops.yards.models import Colony, Factor, GradeRule, Look

from .colonies import alive_on
from .depths import Strengths, Told, told_of_unlooked
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

    `looked_on` is the day of the look, or of the tally or sample of the yard (`basis`), the strength came from.
    `shared_spread` is the part of the spread that does not average out over colonies. Frames are deep frames, to a
    tenth.
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
    basis: str = ""  # "look", "tally" or "sample"; empty when there is no strength
    shared_spread: Decimal = Decimal(0)

    @property
    def grade_words(self) -> str:
        """The grade, or that the colony is left out and why."""
        return self.grade or _("left out: %(reason)s") % {"reason": self.left_out_because}

    @property
    def grade_note(self) -> str:
        """The rule that gave the grade, or why there is none."""
        said = self.left_out_because or self.rule
        return f"{said}; {self.basis_words}" if self.basis_words else said

    @property
    def basis_words(self) -> str:
        """Where the strength came from, when nobody looked at this colony itself."""
        if self.looked_on is None or self.basis not in ("tally", "sample"):
            return ""
        said = {
            "tally": _("by the tally of %(day)s, not told apart"),
            "sample": _("by the sample of %(day)s, not told apart"),
        }
        return said[self.basis] % {"day": date_format(self.looked_on, "j M")}

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
    strength: compute.Strength | compute.Estimate | None = None
    sealed: Decimal | None = None
    queen: str = ""
    basis: str = ""
    uncounted_because: str = compute.NOT_COUNTED

    def by_yard(self, told: Told) -> "_Seen":
        """The same colony as its yard's tally or sample has it; an older look still tells of its queen."""
        if told.estimate is None:
            day = date_format(told.on, "j M")
            because = _("not counted alive in the tally of %(day)s") % {"day": day}
            return _Seen(queen=self.queen, uncounted_because=because)
        return _Seen(looked_on=told.on, strength=told.estimate, queen=self.queen, basis=told.basis)


def graded_colonies(
    season_id: int, today: date, *, yard_id: int | None = None, colony_id: int | None = None
) -> list[GradedColony]:
    """Every colony alive on a day in walking order, graded by the rules and factors in force that day.

    One colony is graded with its yard: a tally or a sample tells of all that stand there.
    """
    if colony_id is not None:
        yard_id = Colony.objects.values_list("yard_id", flat=True).get(pk=colony_id)
    every_rule = rule_sets_as_rules()
    rules = compute.rule_set_on(every_rule, today)
    return [
        _graded(row, seen, standing, compute.grade_colony(standing, rules))
        for row, seen, standing in _standings(season_id, today, yard_id, every_rule)
        if colony_id in (None, row[0])
    ]


def graded_colony(colony: Colony, season_id: int, today: date) -> GradedColony | None:
    """One colony graded; None when it was not alive that day."""
    return next(iter(graded_colonies(season_id, today, colony_id=colony.pk)), None)


def grade_changes(season_id: int, today: date, proposed: Sequence[compute.Rule]) -> list[GradeChange]:
    """Colonies whose grade, today, the proposed rules would change."""
    every_rule = rule_sets_as_rules()
    rules = compute.rule_set_on(every_rule, today)
    changes = []
    for row, _seen, standing in _standings(season_id, today, None, every_rule):
        before, after = compute.grade_colony(standing, rules), compute.grade_colony(standing, proposed)
        if _words(before) != _words(after):
            changes.append(GradeChange(row[1], row[3], standing.strength, _words(before), _words(after)))
    return changes


def rules_in_force(day: date) -> tuple[compute.Rule, ...]:
    """The dated set of grade rules in force on a day, in order."""
    return compute.rule_set_on(rule_sets_as_rules(), day)


def rule_sets() -> list[tuple[date, list[GradeRule]]]:
    """Every dated set of grade rules, latest first."""
    sets: dict[date, list[GradeRule]] = {}
    for rule in GradeRule.objects.select_related("stated_by").order_by("-valid_from", "place"):
        sets.setdefault(rule.valid_from, []).append(rule)
    return list(sets.items())


def factor_table(day: date) -> tuple[compute.Factor, ...]:
    """The factors in force on a day, by view and temperature."""
    rows = Factor.objects.values_list("view", "warmer_than_c", "factor", "valid_from", "source")
    return compute.factors_on((compute.Factor(*row) for row in rows), day)


def rule_sets_as_rules() -> list[compute.Rule]:
    """Every rule of every dated set, as the rules of grading take them."""
    rows = GradeRule.objects.order_by("valid_from", "place").values_list(
        "valid_from", "place", "grade", "least_frames", "least_sealed_frames", "gives_nucs"
    )
    return [compute.Rule(*row) for row in rows]


_Row = tuple[int, str, int, str, int, int, str, date | None, date | None]


def _standings(
    season_id: int, today: date, yard_id: int | None, rules: Sequence[compute.Rule]
) -> Iterator[tuple[_Row, _Seen, compute.Standing]]:
    alive = Colony.objects.filter(alive_on(today))
    if yard_id is not None:
        alive = alive.filter(yard_id=yard_id)
    rows = alive.order_by("yard__code", "position", "id").values_list(
        "id", "tag", "yard_id", "yard__code", "position", "boxes", "purpose", "purpose_from", "purpose_until"
    )
    strengths = Strengths(factor_table(today))
    seen = _seen(season_id, today, yard_id, strengths)
    told = told_of_unlooked(season_id, today, yard_id=yard_id, seen=seen, rules=rules, strengths=strengths)
    held_yards, held_colonies = _held(today)
    nothing = _Seen()
    for row in rows:
        what = seen.get(row[0], nothing)
        if row[0] in told:
            what = what.by_yard(told[row[0]])
        standing = compute.Standing(
            kept_for=KEPT_FOR[Colony.Purpose(row[6])] if compute.is_within(today, row[7], row[8]) else "",
            on_hold=held_yards.get(row[2]) or held_colonies.get(row[0], ""),
            queen=what.queen,
            strength=what.strength.frames if what.strength else None,
            sealed=what.sealed,
            uncounted_because=what.uncounted_because,
        )
        yield row, what, standing


def _seen(season_id: int, today: date, yard_id: int | None, strengths: Strengths) -> dict[int, _Seen]:
    looks = Look.objects.filter(visit__season_id=season_id, visit__on__lte=today)
    counted = Q(below_halves__isnull=False) | Q(above_halves__isnull=False) | Q(sealed_halves__isnull=False)
    looks = looks.filter(counted | ~Q(queen=""))
    if yard_id is not None:
        looks = looks.filter(colony__yard_id=yard_id)
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
    found = {colony: _Seen(queen=queen) for colony, queen in queens.items()}
    for colony, row in counts.items():
        what = found.setdefault(colony, _Seen())
        what.look_id, what.looked_on, what.strength, what.basis = row[1], row[2], strengths.of(row[3:8]), "look"
    for colony, halves in sealed.items():
        if halves is not None:
            found.setdefault(colony, _Seen()).sealed = Decimal(halves) / 2
    return found


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
        basis=seen.basis,
        shared_spread=seen.strength.shared_spread if seen.strength else Decimal(0),
    )


def _words(grading: compute.Grading) -> str:
    return grading.grade or _("left out: %(reason)s") % {"reason": grading.left_out_because}
