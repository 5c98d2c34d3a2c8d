"""A proof: the same thing counted from two independent sides, and what does not fit, one by one."""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from typing import NamedTuple, TypeVar

Key = TypeVar("Key", bound=Hashable)

NUCS, QUEENS, CENTS = "nucs", "queens", "cents"


class Part(NamedTuple):
    """One term of a side; what is taken off is below zero."""

    label: str
    value: int


class Finding(NamedTuple):
    """What does not fit, in a sentence, and the address where it is mended."""

    text: str
    url: str


@dataclass(frozen=True, slots=True)
class Proof:
    """Two sides that must be equal, in `unit`: "nucs", "queens" or "cents".

    It agrees only when the totals are equal and nothing under them differs either: two errors that cancel out in the
    total are still two exceptions. `advice` says what to do when it does not.
    """

    name: str
    unit: str
    left_label: str
    left_parts: tuple[Part, ...]
    right_label: str
    right_parts: tuple[Part, ...]
    exceptions: tuple[Finding, ...] = ()
    advice: str = ""

    @property
    def left(self) -> int:
        return sum(part.value for part in self.left_parts)

    @property
    def right(self) -> int:
        return sum(part.value for part in self.right_parts)

    @property
    def difference(self) -> int:
        return self.left - self.right

    @property
    def agrees(self) -> bool:
        return self.left == self.right and not self.exceptions


def differences(left: Mapping[Key, int], right: Mapping[Key, int]) -> list[tuple[Key, int, int]]:
    """The keys whose amounts differ, with both amounts; a key missing on a side counts 0 there.

    In the order of `left`, then of what only `right` has.
    """
    keys = [*left, *(key for key in right if key not in left)]
    return [(key, left.get(key, 0), right.get(key, 0)) for key in keys if left.get(key, 0) != right.get(key, 0)]


def added(*sides: Mapping[Key, int]) -> dict[Key, int]:
    """The sides added key by key."""
    total: dict[Key, int] = {}
    for side in sides:
        for key, value in side.items():
            total[key] = total.get(key, 0) + value
    return total
