"""What a season's forecast assumes and the owner may change: default, allowed range, unit and source of each."""

from datetime import date, timedelta

from apiary_ops.kernel.weeks import Week

from .parameters import COMMON, Parameter

# A shift runs behind the published season curve when above zero, ahead of it when below.
ASSUMED: tuple[Parameter, ...] = (
    Parameter(
        "low_shift_days", 14, 0, 35, "days", COMMON + ": between a usual late spring of 7 and a bad year of 14 to 21"
    ),
    Parameter("middle_shift_days", 0, -14, 21, "days", COMMON + ": the published season curve as it stands"),
    Parameter("high_shift_days", -7, -28, 0, "days", COMMON + ": a usual early spring"),
    Parameter("keep_bees_frames", 7, 2, 20, "frames", COMMON + ": a parent keeps 6 to 8 in May"),
    Parameter("keep_brood_frames", 3.5, 1, 12, "frames", COMMON + ": a parent keeps 3 to 4 in May"),
    Parameter("nucs_per_person_day", 20, 1, 60, "nucs", COMMON + ": 18 to 25"),
    Parameter("release_percent", 100, 0, 100, "%", COMMON + ": 65 to 75 by 1 March, 85 to 90 after the second look"),
)

# Nucs are made up from spring to midsummer; later there is no season left to sell them in (common practice).
FIRST_MAKE_UP = (3, 1)
LAST_MAKE_UP = (7, 15)


def assumed(name: str) -> Parameter:
    """The row of ASSUMED with that name. Raises KeyError when there is none."""
    return {row.name: row for row in ASSUMED}[name]


def make_up_weeks(year: int, today: date) -> list[date]:
    """The Mondays of the weeks still open for make-up in the spring of `year`; none once it is over."""
    first = Week.of(max(today, date(year, *FIRST_MAKE_UP))).monday
    last = Week.of(date(year, *LAST_MAKE_UP)).monday
    return [first + timedelta(weeks=number) for number in range((last - first).days // 7 + 1)]


def is_of_this_spring(looked_on: date, year: int) -> bool:
    """Whether a look says something of the spring of `year`: seen between January and July of it."""
    return looked_on.year == year and looked_on.month <= 7
