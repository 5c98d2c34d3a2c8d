"""What looks of a colony leave to do, and what they settle, by the grower's rules."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

LOWER_BOX, STRIPS, REQUEEN, PATTY, CELLS = "lower_box", "strips", "requeen", "patty", "cells"

OPEN, DONE, BY_HAND, NOT_NEEDED = "open", "done", "by hand", "not needed"

# Queens that want replacing; a queen seen since takes back all but the spotty one, who lays badly and is there.
POOR_QUEENS = ("none", "spotty", "drones")
MISSING_QUEENS = ("none", "drones")


@dataclass(frozen=True, slots=True)
class WorkRule:
    """A rule in use: its task falls due so many days after the look; `most_frames` limits it to weaker colonies."""

    code: str
    days: int
    most_frames: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Seen:
    """What one look says of work. `frames` is the strength on the footing, None when not counted."""

    look_id: int
    on: date
    frames: Decimal | None = None
    lower_box: str = ""
    queen: str = ""
    patty: str = ""
    cells: str = ""
    lower_box_off: bool = False
    patty_given: bool = False


@dataclass(frozen=True, slots=True)
class Work:
    """Something to do from the look that first said so, and what became of it since.

    `why` is the state of the queen for requeening. A piece of work is open; done, by the look `settled_by` on
    `done_on`; done by hand; or not needed any more.
    """

    rule: str
    look_id: int
    why: str
    due_on: date
    state: str = OPEN
    settled_by: int | None = None
    done_on: date | None = None


def work_from_looks(
    looks: Iterable[Seen], rules: Sequence[WorkRule], done_by_hand: Mapping[str, Sequence[date]]
) -> list[Work]:
    """The work one colony's looks make, however they arrive: each need stands once, until a look or a hand settles it.

    `done_by_hand` lists by rule the days on which a person called such a task done.
    """
    in_order = sorted(looks, key=lambda seen: (seen.on, seen.look_id))
    return [work for rule in rules for work in _work_of(rule, in_order, sorted(done_by_hand.get(rule.code, ())))]


def done_on_look(seen: Seen) -> set[str]:
    """The rules whose work the look itself reports as done."""
    did = {LOWER_BOX: seen.lower_box_off, PATTY: seen.patty_given, CELLS: bool(seen.cells)}
    return {rule for rule, is_done in did.items() if is_done}


def _work_of(rule: WorkRule, looks: Sequence[Seen], by_hand: Sequence[date]) -> list[Work]:
    # A cell check done by hand is the look of that day; other work done by hand answers what the look found.
    comes_first = rule.code == CELLS
    found: list[Work] = []
    hands = list(by_hand)
    for seen in looks:
        while hands and (hands[0] < seen.on or (comes_first and hands[0] == seen.on)):
            _settle(found, BY_HAND, None, hands.pop(0))
        if found and found[-1].state == OPEN:
            if rule.code in done_on_look(seen):
                _settle(found, DONE, seen.look_id, seen.on)
            elif _is_not_needed(rule.code, found[-1], seen):
                _settle(found, NOT_NEEDED, seen.look_id, None)
        if _is_needed(rule, seen) and not (found and found[-1].state == OPEN):
            why = seen.queen if rule.code == REQUEEN else ""
            found.append(Work(rule.code, seen.look_id, why, seen.on + timedelta(days=rule.days)))
    for day in hands:
        _settle(found, BY_HAND, None, day)
    return found


def _settle(found: list[Work], state: str, look_id: int | None, on: date | None) -> None:
    if found and found[-1].state == OPEN:
        found[-1] = replace(found[-1], state=state, settled_by=look_id, done_on=on)


def _is_needed(rule: WorkRule, seen: Seen) -> bool:
    if rule.code == LOWER_BOX:
        return seen.lower_box == "empty" and not seen.lower_box_off and _is_weak(rule, seen)
    if rule.code == PATTY:
        return seen.patty == "gone" and not seen.patty_given
    if rule.code == REQUEEN:
        return seen.queen in POOR_QUEENS
    return rule.code == CELLS and seen.cells == "seen"


def _is_weak(rule: WorkRule, seen: Seen) -> bool:
    """Up to the frames of the rule; a colony that was not counted is left to a person."""
    return rule.most_frames is None or (seen.frames is not None and seen.frames <= rule.most_frames)


def _is_not_needed(code: str, work: Work, seen: Seen) -> bool:
    """Whether a look shows that open work has become pointless though nobody reported doing it."""
    if code == LOWER_BOX:
        return seen.lower_box in ("few", "spilling", "brood")
    if code == PATTY:
        return seen.patty in ("half", "plenty")
    return code == REQUEEN and seen.queen == "seen" and work.why in MISSING_QUEENS
