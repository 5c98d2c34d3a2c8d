"""The fence and the map link against what is published."""

from decimal import Decimal

from apiary_ops.yards.compute import LEAST_VOLTS, Fault, FenceWalk, fence_faults, geo_uri, wire_heights_inches


# Manitoba, Wildlife Branch, "Electric Fencing for Apiaries" (www.gov.mb.ca/sd/wildlife/problem_wildlife/
# bbear_fence.html): the bottom wire 8 inches off the ground, the next five 6 inches apart.
def test_the_wires_of_a_bear_fence():
    assert wire_heights_inches() == (8, 14, 20, 26, 32, 38)


# The same page: at least 6,000 volts at all times; sound fences read 6,700 to 7,500.
def test_a_bear_fence_carries_6000_volts_at_least():
    assert LEAST_VOLTS == 6_000
    assert Fault.TOO_WEAK in fence_faults(FenceWalk(volts=5_000))
    assert Fault.TOO_WEAK not in fence_faults(FenceWalk(volts=6_700))


# EN/IEC 60335-2-76 as summaries of the trade print it: no more than 10 kV without load.
def test_a_fence_above_10000_volts_is_cautioned():
    assert Fault.TOO_STRONG not in fence_faults(FenceWalk(volts=10_000))
    assert Fault.TOO_STRONG in fence_faults(FenceWalk(volts=10_500))


# RFC 5870, section 1 (the example from memory).
def test_a_place_as_a_geo_uri():
    assert geo_uri(Decimal("13.4125"), Decimal("103.8667")) == "geo:13.4125,103.8667"
