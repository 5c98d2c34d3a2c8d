"""A fence is as good as its worst point."""

from dataclasses import replace
from datetime import date

import pytest

from apiary_ops.yards.compute import Fault, FenceWalk, Validity, fence_faults, validity

SOUND = FenceWalk(volts=7_000, wires_tight=True, earth_good=True, growth_clear=True, charger_works=True, signs_up=True)


def test_a_fence_in_order_has_no_fault():
    assert fence_faults(SOUND) == ()


@pytest.mark.parametrize(
    ("seen", "fault"),
    [
        ({"volts": 5_999}, Fault.TOO_WEAK),
        ({"volts": 10_001}, Fault.TOO_STRONG),
        ({"volts": None}, Fault.NOT_METERED),
        ({"wires_tight": False}, Fault.WIRES),
        ({"earth_good": False}, Fault.EARTH),
        ({"growth_clear": False}, Fault.GROWTH),
        ({"charger_works": False}, Fault.CHARGER),
        ({"signs_up": False}, Fault.SIGNS),
    ],
)
def test_each_point_that_is_not_in_order_is_a_fault(seen, fault):
    assert fence_faults(replace(SOUND, **seen)) == (fault,)


def test_the_gravest_fault_is_said_first():
    assert fence_faults(FenceWalk(volts=0))[0] is Fault.TOO_WEAK
    assert fence_faults(FenceWalk())[0] is Fault.CHARGER


@pytest.mark.parametrize(
    ("expires_on", "state"),
    [
        (date(2027, 4, 2), Validity.OVER),
        (date(2027, 4, 3), Validity.SOON),
        (date(2027, 5, 3), Validity.SOON),
        (date(2027, 5, 4), Validity.GOOD),
    ],
)
def test_a_certificate_holds_with_its_last_day_and_runs_out_soon_for_thirty(expires_on, state):
    assert validity(expires_on, date(2027, 4, 3)) is state
