"""Grades: the grower's rules in their order, the first that matches; what keeps a colony out comes before them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

NOT_COUNTED = "not counted this season"
# States of the queen that take a colony out of capacity.
QUEENLESS = {"none": "queenless", "drones": "its queen lays drones only"}


@dataclass(frozen=True, slots=True)
class Rule:
    """Colonies of at least this strength, and this sealed brood where asked, are `grade`."""

    valid_from: date
    place: int
    grade: str
    least_frames: Decimal
    least_sealed_frames: Decimal | None = None
    gives_nucs: bool = True

    def matches(self, strength: Decimal, sealed: Decimal | None) -> bool:
        """Sealed brood that was not looked at never satisfies a rule that asks for some."""
        if strength < self.least_frames:
            return False
        return self.least_sealed_frames is None or (sealed is not None and sealed >= self.least_sealed_frames)

    @property
    def takes_every_colony(self) -> bool:
        return self.least_frames == 0 and self.least_sealed_frames is None

    @property
    def words(self) -> str:
        sealed = "" if self.least_sealed_frames is None else f" and {self.least_sealed_frames} of sealed brood"
        since = f"{self.valid_from.day} {self.valid_from:%b %Y}"
        return f"rule {self.place} of {since}: {self.grade} from {self.least_frames} frames{sealed}"


@dataclass(frozen=True, slots=True)
class Standing:
    """What is known of a colony on a day. Empty words mean "nothing"; None means "not looked at"."""

    kept_for: str = ""  # in words, when it is not nucs
    on_hold: str = ""  # the reason of the hold
    queen: str = ""
    strength: Decimal | None = None
    sealed: Decimal | None = None
    uncounted_because: str = NOT_COUNTED  # why there is no strength, when there is none


@dataclass(frozen=True, slots=True)
class Grading:
    """A grade with the rule that gave it, or the reason a colony is left out of capacity."""

    grade: str
    rule: str
    gives_nucs: bool
    left_out_because: str


def grade_colony(standing: Standing, rules: Sequence[Rule]) -> Grading:
    """The grade of a colony. Every colony gets an answer: a grade that counts, or the reason why it does not.

    `rules` are one dated set in order. For one set, more bees or more sealed brood never give a later rule.
    """
    if reason := _left_out(standing):
        return Grading("", "", False, reason)
    assert standing.strength is not None
    for rule in rules:
        if rule.matches(standing.strength, standing.sealed):
            because = "" if rule.gives_nucs else f"graded {rule.grade}, which gives no nucs"
            return Grading(rule.grade, rule.words, rule.gives_nucs, because)
    return Grading("", "", False, f"no grade rule takes {standing.strength} frames")


def _left_out(standing: Standing) -> str:
    """What keeps a colony out of capacity whatever its strength, the first reason in this order."""
    if standing.kept_for:
        return f"kept for {standing.kept_for}"
    if standing.on_hold:
        return f"on hold: {standing.on_hold}"
    if standing.queen in QUEENLESS:
        return QUEENLESS[standing.queen]
    if standing.strength is None:
        return standing.uncounted_because
    return ""


def rule_set_on(rules: Iterable[Rule], day: date) -> tuple[Rule, ...]:
    """The dated set in force on a day, in order; empty before the first."""
    begun = [rule for rule in rules if rule.valid_from <= day]
    if not begun:
        return ()
    latest = max(rule.valid_from for rule in begun)
    return tuple(sorted((rule for rule in begun if rule.valid_from == latest), key=lambda rule: rule.place))


def never_reached(rules: Sequence[Rule]) -> tuple[Rule, Rule] | None:
    """The first rule that can never match, and the earlier one that takes all its colonies; None when all can."""
    for later, rule in enumerate(rules):
        for earlier in rules[:later]:
            asks_no_more_brood = earlier.least_sealed_frames is None or (
                rule.least_sealed_frames is not None and rule.least_sealed_frames >= earlier.least_sealed_frames
            )
            if earlier.least_frames <= rule.least_frames and asks_no_more_brood:
                return rule, earlier
    return None
