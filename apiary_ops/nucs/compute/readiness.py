"""Whether a nuc meets its sale standard, item by item, from what was seen of it. What was not seen is missing."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

# A worker emerges 21 days after her egg (Winston 1987 p. 50). From 21 days after the last egg of another queen, all
# brood is of the queen supplied, as a published buyers' standard asks (Richmond & District BKA).
OWN_BROOD_DAYS = 21
NOT_LOOKED = "not looked"


@dataclass(frozen=True, slots=True)
class Standard:
    """What a nuc must be when sold; frames are of the nuc's own size. A laying queen is always asked.

    `own_brood_only`: no brood of another queen, so not before `OWN_BROOD_DAYS` after the last foreign egg.
    `own_sealed_brood`: proof that the queen is mated, and with her eggs, brood of all stages.
    """

    covered_frames: Decimal
    brood_frames: Decimal
    food_frames: Decimal
    keeps_days: int
    own_sealed_brood: bool = True
    own_brood_only: bool = True
    no_queen_cells: bool = True
    disease_clear: bool = True


@dataclass(frozen=True, slots=True)
class Seen:
    """What one check saw. None and an empty queen mean: not looked. Frames are in halves.

    `queen` is "released", "laying" or "missing".
    """

    on: date
    queen: str = ""
    covered_halves: int | None = None
    brood_halves: int | None = None
    food_halves: int | None = None
    own_sealed_brood: bool | None = None
    queen_cells: bool | None = None
    disease_clear: bool | None = None


@dataclass(frozen=True, slots=True)
class Item:
    """One clause of the standard: what it needs, what was seen and when; `missing` says what lacks, if anything."""

    label: str
    need: str
    have: str
    seen_on: date | None
    missing: str

    @property
    def is_met(self) -> bool:
        return not self.missing


@dataclass(frozen=True, slots=True)
class Readiness:
    """Ready or not on a day. `ready_on` is the day it became or will become ready as it was last seen, if it is."""

    is_ready: bool
    missing: tuple[str, ...]
    ready_on: date | None
    collect_by: date | None
    items: tuple[Item, ...]

    @property
    def missing_words(self) -> str:
        """What is missing in one line: what was seen and falls short, then what nobody looked at."""
        unseen = [item.label for item in self.items if item.have == NOT_LOOKED]
        if unseen and not any(item.seen_on for item in self.items):
            return "nothing looked at yet"
        short = [item.missing for item in self.items if item.missing and item.have != NOT_LOOKED]
        said = [", ".join(short)] if short else []
        return "; ".join([*said, f"not looked at: {', '.join(unseen)}"] if unseen else said)


def readiness(standard: Standard, seen: Sequence[Seen], on: date, *, last_foreign_egg_on: date) -> Readiness:
    """Judge a nuc on a day by its checks up to that day, in any order of `seen`.

    Each item goes by the latest check that looked at it. A nuc is ready from the first of the checks that have met
    the standard without a break since, and keeps `keeps_days` from then. Give only checks since the present queen
    came; `last_foreign_egg_on` is the last day another queen could have laid in it: make-up, or the change of queens.
    """
    known = sorted((check for check in seen if check.on <= on), key=lambda check: check.on)
    items = _items(standard, known)
    earliest_on = last_foreign_egg_on + timedelta(days=OWN_BROOD_DAYS) if standard.own_brood_only else None
    since = None if any(item.missing for item in items) else _met_since(standard, known)
    if earliest_on is not None:
        items = (*items, _own_brood_item(earliest_on, on))
    if since is None:
        return Readiness(False, _missing(items), None, None, items)
    ready_on = max(since, earliest_on) if earliest_on else since
    collect_by = ready_on + timedelta(days=standard.keeps_days)
    return Readiness(ready_on <= on, _missing(items), ready_on, collect_by, items)


def _missing(items: Sequence[Item]) -> tuple[str, ...]:
    return tuple(item.missing for item in items if item.missing)


def _met_since(standard: Standard, known: Sequence[Seen]) -> date:
    """The day of the first check of the unbroken run, ending with the last, after which every item was met."""
    since = known[-1].on
    for end in range(len(known), 0, -1):
        if any(item.missing for item in _items(standard, known[:end])):
            break
        since = known[end - 1].on
    return since


def _items(standard: Standard, known: Sequence[Seen]) -> tuple[Item, ...]:
    """Every clause that looking can settle, each against the latest check that looked."""
    return tuple(_item(clause, known) for clause in _clauses(standard))


@dataclass(frozen=True, slots=True)
class _Clause:
    label: str
    need: str
    look: Callable[[Seen], Any]  # None where the check did not look
    unseen: str  # what is missing when no check looked
    judge: Callable[[Any], tuple[str, str]]  # the value as words, and what is missing of it


def _item(clause: _Clause, known: Sequence[Seen]) -> Item:
    for check in reversed(known):
        value = clause.look(check)
        if value is not None:
            have, missing = clause.judge(value)
            return Item(clause.label, clause.need, have, check.on, missing)
    return Item(clause.label, clause.need, NOT_LOOKED, None, clause.unseen)


def _clauses(standard: Standard) -> list[_Clause]:
    clauses = [_Clause("queen", "laying", lambda check: check.queen or None, "queen not looked for", _queen)]
    if standard.own_sealed_brood:
        judge = _either("seen", ("none seen", "no sealed brood of its own queen yet"))
        clauses.append(
            _Clause(
                "own sealed brood", "seen", _own_sealed_brood, "sealed brood of its own queen not looked for", judge
            )
        )
    for need, label, look, unseen in (
        (standard.covered_frames, "frames covered", _covered, "frames covered not counted"),
        (standard.brood_frames, "frames with brood", _brood, "brood not looked at"),
        (standard.food_frames, "frames of food", _food, "food not looked at"),
    ):
        if need:
            clauses.append(_Clause(label, frames_text(need), look, unseen, _counted(need, label)))
    if standard.no_queen_cells:
        judge = _either("none", ("found", "queen cells found"))
        clauses.append(_Clause("queen cells", "none", _no_cells, "queen cells not looked for", judge))
    if standard.disease_clear:
        judge = _either("looked clear", ("did not look clear", "brood did not look clear of disease"))
        clauses.append(_Clause("brood disease", "looked clear", _clear, "not looked over for disease", judge))
    return clauses


def _own_sealed_brood(check: Seen) -> bool | None:
    return check.own_sealed_brood


def _covered(check: Seen) -> int | None:
    return check.covered_halves


def _brood(check: Seen) -> int | None:
    return check.brood_halves


def _food(check: Seen) -> int | None:
    return check.food_halves


def _no_cells(check: Seen) -> bool | None:
    return None if check.queen_cells is None else not check.queen_cells


def _clear(check: Seen) -> bool | None:
    return check.disease_clear


def _queen(word: str) -> tuple[str, str]:
    missing = {"laying": "", "released": "queen not laying yet"}.get(word, "queen missing")
    return word, missing


def _either(good: str, bad: tuple[str, str]) -> Callable[[bool], tuple[str, str]]:
    return lambda is_good: (good, "") if is_good else bad


def _counted(need: Decimal, label: str) -> Callable[[int], tuple[str, str]]:
    asked = f"{frames_text(need)} {label.replace('frames', 'frame') if need == 1 else label}"

    def judge(halves: int) -> tuple[str, str]:
        have = frames_text(Decimal(halves) / 2)
        return have, "" if halves >= 2 * need else f"{have} of {asked}"

    return judge


def _own_brood_item(earliest_on: date, on: date) -> Item:
    day = f"{earliest_on:%a} {earliest_on.day} {earliest_on:%b}"
    missing = "" if earliest_on <= on else f"all brood of its own queen only from {day}"
    return Item("all brood of its own queen", f"from {day}", "yes" if not missing else "not yet", None, missing)


def frames_text(frames: Decimal) -> str:
    """Frames as people say them: 3, 2½; other fractions as decimals."""
    whole, part = divmod(frames, 1)
    if part == Decimal("0.5"):
        return f"{whole:.0f}½" if whole else "½"
    return f"{frames.normalize():f}"
