"""How wide and how fast: 800 colonies looked at one by one, sampled, and tallied, graded and run in three springs.

Run as `python -m tests.bench.bench_tallies`; no database is asked, only the rules are timed. The middle is much the
same for all three; the range from a late to an early spring is the widest where only tallies were made.
"""

from datetime import date, timedelta
from decimal import Decimal
from time import perf_counter

from apiary_ops.capacity.compute import ColonyStart, Keep, Recipe, YardWeek, three_springs
from apiary_ops.yards.compute import Estimate, Rule, Strength, from_sample, from_tally, standard_strength

YARDS, IN_A_YARD, SAMPLED = 25, 32, 10
LOOKED_ON, WEEK = date(2027, 4, 3), date(2027, 5, 3)
RULES = tuple(
    Rule(date(2020, 1, 1), place, grade, Decimal(least))
    for place, (grade, least) in enumerate(
        [("best", "5.5"), ("ordinary", "4.5"), ("slow", "3.5"), ("behind", "0")], start=1
    )
)
# A yard of the usual mix (practice-defaults, common practice), in half frames.
HALVES = [13] * 9 + [10] * 12 + [8] * 7 + [5] * 4
TALLY = {"best": 9, "ordinary": 12, "slow": 7, "behind": 4}


def looks(halves: list[int]) -> list[Strength]:
    found = (
        standard_strength(below_halves=half, above_halves=None, temperature_c=Decimal(6), factors=(), boxes=2)
        for half in halves
    )
    return [one for one in found if one]


def yard_of(depth: str) -> list[Strength | Estimate]:
    """One yard as a depth of record knows it; what it does not know is left out."""
    if depth == "look":
        return [*looks(HALVES)]
    if depth == "sample":
        seen = looks(HALVES[1::3][:SAMPLED])
        return [*seen, *(one for one in from_sample(seen, IN_A_YARD - len(seen)) if one)]
    return [one for one in from_tally(TALLY, [], IN_A_YARD, RULES) if one]


def forecast(depth: str) -> tuple[YardWeek, ...]:
    starts = [
        ColonyStart(f"{yard}-{place}", str(yard), float(one.frames), None, LOOKED_ON, 20, float(one.shared_spread))
        for yard in range(YARDS)
        for place, one in enumerate(yard_of(depth))
        if one.frames >= Decimal("3.5")
    ]
    weeks = [WEEK + timedelta(weeks=number) for number in range(-4, 1)]
    return three_springs(starts, weeks=weeks, recipe=Recipe(2.5, 2), keep=Keep(7, 3.5))


def nucs(depth: str) -> dict[str, int]:
    """Nucs of all yards by the last week, by spring."""
    sums = {"low": 0, "middle": 0, "high": 0}
    for row in forecast(depth):
        if row.week == WEEK:
            sums[row.spring] += row.pooled_by
    return sums


def main() -> None:
    print(f"{YARDS * IN_A_YARD} colonies, nucs by the week of {WEEK}")
    for depth in ("look", "sample", "tally"):
        started = perf_counter()
        found = nucs(depth)
        print(
            f"  {depth:<7} late {found['low']:>5}  middle {found['middle']:>5}  early {found['high']:>5}"
            f"   {(perf_counter() - started) * 1000:7.0f} ms"
        )


if __name__ == "__main__":
    main()
