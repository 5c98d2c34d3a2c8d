"""The rows that go into an allocation and come out of it. All weeks are Mondays; all quantities are whole nucs."""

from dataclasses import dataclass
from datetime import date
from typing import Any


@dataclass(frozen=True, slots=True)
class Demand:
    """A line that wants `quantity` nucs in a week from `earliest_week` to `latest_week`, both included.

    `kinds` starts with its own kind; the substitutes it accepts follow, best first. Reasons repeat these names.
    `priority` sorts, smallest first, and ends with something unique. An empty `yard` is any yard, even two for one
    load. Raises ValueError when the line asks for nothing.
    """

    key: str
    kinds: tuple[str, ...]
    quantity: int
    earliest_week: date
    latest_week: date
    told_week: date | None
    priority: tuple[Any, ...]
    part_loads: bool = False
    yard: str = ""

    def __post_init__(self) -> None:
        if self.quantity < 1 or not self.kinds:
            raise ValueError(f"Line {self.key} asks for nothing; leave it out.")


@dataclass(frozen=True, slots=True)
class Supply:
    """`count` nucs of one kind, good from `ready_week` to `collect_by_week`, both included; held nucs stay out.

    An empty `yard` means that they can be picked up at any. Raises ValueError when the count is negative.
    """

    key: str
    kind: str
    yard: str
    ready_week: date
    collect_by_week: date
    count: int

    def __post_init__(self) -> None:
        if self.count < 0:
            raise ValueError(f"Supply {self.key} counts {self.count} nucs; count them again.")


@dataclass(frozen=True, slots=True)
class Pin:
    """The grower's word that a line goes whole, in this week and kind."""

    demand_key: str
    week: date
    kind: str


@dataclass(frozen=True, slots=True)
class Take:
    """What a line takes from one supply in one week."""

    week: date
    kind: str
    supply_key: str
    quantity: int


@dataclass(frozen=True, slots=True)
class Outcome:
    """Of the `quantity` a line asked for, what it takes (best week first), how many it is short of, and why."""

    key: str
    takes: tuple[Take, ...]
    quantity: int
    short: int
    reason: str


@dataclass(frozen=True, slots=True)
class Plan:
    """Every line's outcome, in priority order, and the pins that cannot be kept, each with its reason."""

    outcomes: tuple[Outcome, ...]
    refused_pins: tuple[tuple[Pin, str], ...]
