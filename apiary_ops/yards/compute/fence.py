"""What keeps a bear out: wires close enough, earth deep enough, and a pulse that is felt the first time.

Source: Manitoba, Wildlife Branch, "Electric Fencing for Apiaries" (gov.mb.ca, problem wildlife): the bottom wire at
8 inches, five more 6 inches apart; three rods of 7 feet, 10 feet apart, joined; at least 6,000 volts at all times.
Limits for people's safety: EN/IEC 60335-2-76 as trade summaries print it: no more than 10,000 volts and 5 joules a
pulse, pulses a second or more apart; yellow signs at most 100 m apart.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from apiary_ops.kernel.rounding import half_up

BOTTOM_WIRE_INCHES, BETWEEN_WIRES_INCHES, WIRES = 8, 6, 6
LEAST_VOLTS, MOST_VOLTS = 6_000, 10_000
CHECK_AGAIN_DAYS = 30  # an assumption
CM_PER_INCH = Decimal("2.54")


class Fault(StrEnum):
    """What is wrong with a fence, the gravest first."""

    TOO_WEAK = "too_weak"
    CHARGER = "charger"
    EARTH = "earth"
    WIRES = "wires"
    GROWTH = "growth"
    TOO_STRONG = "too_strong"
    SIGNS = "signs"
    NOT_METERED = "not_metered"


@dataclass(frozen=True, slots=True)
class FenceWalk:
    """What someone saw on a walk round a fence; what was not seen to be in order is not."""

    volts: int | None = None
    wires_tight: bool = False
    earth_good: bool = False
    growth_clear: bool = False
    charger_works: bool = False
    signs_up: bool = False


def wire_heights_inches() -> tuple[int, ...]:
    """How high each wire runs above the ground, the lowest first."""
    return tuple(BOTTOM_WIRE_INCHES + BETWEEN_WIRES_INCHES * wire for wire in range(WIRES))


def wire_heights_cm() -> tuple[int, ...]:
    """The same in whole centimetres."""
    return tuple(int(half_up(inches * CM_PER_INCH)) for inches in wire_heights_inches())


def fence_faults(walk: FenceWalk) -> tuple[Fault, ...]:
    """What is wrong, the gravest first; nothing for a fence that holds."""
    found = {
        Fault.TOO_WEAK: walk.volts is not None and walk.volts < LEAST_VOLTS,
        Fault.CHARGER: not walk.charger_works,
        Fault.EARTH: not walk.earth_good,
        Fault.WIRES: not walk.wires_tight,
        Fault.GROWTH: not walk.growth_clear,
        Fault.TOO_STRONG: walk.volts is not None and walk.volts > MOST_VOLTS,
        Fault.SIGNS: not walk.signs_up,
        Fault.NOT_METERED: walk.volts is None,
    }
    return tuple(fault for fault in Fault if found[fault])
