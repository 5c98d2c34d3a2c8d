"""What phones say from the yard, and one header of a visit from all who took part, whoever comes home first."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any

# Two phones at one yard on one day are on one visit unless their thermometers lie further apart than this (our own).
SAME_VISIT_C = Decimal(3)


@dataclass(frozen=True, slots=True)
class FieldVisit:
    """A visit's header as one phone says it; None and empty words mean that it was not noted."""

    yard: str
    on: date
    arrived_at: time | None = None
    crew_ids: tuple[int, ...] = ()
    temperature_c: Decimal | None = None
    sky: str = ""
    view: str = "below"
    depth: str = "each"
    km: int | None = None


@dataclass(frozen=True, slots=True)
class SaidVisit:
    """A header with the instant it was observed at, and its key where two were observed at once."""

    observed_at: datetime
    key: str
    header: FieldVisit


def is_same_visit(one_c: Decimal | None, other_c: Decimal | None) -> bool:
    """Whether two temperatures, °C, may be those of one visit; one that was not noted agrees with any."""
    return one_c is None or other_c is None or abs(one_c - other_c) <= SAME_VISIT_C


def merged_header(said: Sequence[SaidVisit]) -> FieldVisit:
    """One header of a visit from all who said something of it: at least one.

    The weather and the way of counting are those observed first; the first arrival counts, everyone was there, and
    they drove the longest way that anyone noted, once.
    """
    in_turn = [each.header for each in sorted(said, key=lambda each: (each.observed_at, each.key))]
    first = in_turn[0]
    return FieldVisit(
        yard=first.yard,
        on=first.on,
        arrived_at=min((each.arrived_at for each in in_turn if each.arrived_at is not None), default=None),
        crew_ids=tuple(sorted({person for each in in_turn for person in each.crew_ids})),
        temperature_c=next((each.temperature_c for each in in_turn if each.temperature_c is not None), None),
        sky=next((each.sky for each in in_turn if each.sky), ""),
        view=first.view,
        depth=first.depth,
        km=max((each.km for each in in_turn if each.km is not None), default=None),
    )


@dataclass(frozen=True, slots=True)
class FieldLook:
    """A look at one colony; `facts` are those of a look's draft, in half frames, and nothing is what was not seen."""

    tag: str
    facts: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class SaidLook:
    """A look with the instant it was observed at, and its key where two were observed at once."""

    observed_at: datetime
    key: str
    look: FieldLook


def facts_said(facts: Mapping[str, Any]) -> dict[str, Any]:
    """The facts that were looked at; 0 frames were counted, nothing was not."""
    return {name: value for name, value in facts.items() if not (value is None or value == "" or value is False)}


def merged_look(said: Sequence[SaidLook]) -> dict[str, Any]:
    """What looks of one phone at one colony say together: the latest word on each; not looked takes nothing back."""
    facts: dict[str, Any] = {}
    for each in sorted(said, key=lambda each: (each.observed_at, each.key)):
        facts |= facts_said(each.look.facts)
    return facts


@dataclass(frozen=True, slots=True)
class FieldTally:
    """Colonies of each grade counted up by eye, and the dead."""

    counts: Mapping[str, int]
    dead: int = 0


@dataclass(frozen=True, slots=True)
class FieldLoss:
    """A colony found dead, with the cause."""

    tag: str
    cause: str


@dataclass(frozen=True, slots=True)
class FieldTaskDone:
    """A task of the pack that was done."""

    task: int


@dataclass(frozen=True, slots=True)
class FieldLeave:
    """Leaving a yard: when, which jobs were done, and what was used up, each material with its quantity."""

    left_at: time | None = None
    jobs: tuple[str, ...] = ()
    materials: tuple[tuple[str, Decimal], ...] = ()


@dataclass(frozen=True, slots=True)
class FieldFrames:
    """Frames that went from one colony to another."""

    from_tag: str
    to_tag: str
    brood: int = 0
    food: int = 0
    with_bees: bool = False
