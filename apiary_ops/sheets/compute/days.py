"""Days as people write them. What could be two days is neither: it is refused until someone says how to read it."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from .faults import Refused, gettext_noop
from .grid import Cell

YEAR_FIRST = re.compile(r"(\d{4})([-./])(\d{1,2})\2(\d{1,2})(?:[T ]00:00(?::00)?)?")
YEAR_LAST = re.compile(r"(\d{1,2})([-./ ])(\d{1,2})\2(\d{4})")
IN_WORDS = re.compile(r"(?:[^\W\d]+\.?,? )?(\d{1,2})\.?[- ]([^\W\d]+)\.?,?[- ](\d{4})")
SHORT_YEAR = re.compile(r"\d{1,2}[-./ ]\d{1,2}[-./ ]\d{2}")

DayOrder = Literal["", "day", "month"]


@dataclass(frozen=True, slots=True)
class Ways:
    """How the values of a file are to be read."""

    today: date
    day_order: DayOrder = ""  # of days such as 3/4/2027: which number comes first, when it was said
    months: Mapping[str, int] = field(default_factory=dict)  # their names in small letters -> 1 to 12


def day_of(cell: Cell, ways: Ways) -> date:
    """The day a cell holds: a date cell, 2027-04-03, 3 Apr 2027, or 3/4/2027 where its order is certain."""
    if isinstance(cell, date):
        return _sane(cell.year, cell.month, cell.day)
    text = " ".join(str(cell).split()) if isinstance(cell, str) else ""
    if match := YEAR_FIRST.fullmatch(text):
        return _sane(int(match[1]), int(match[3]), int(match[4]))
    if match := YEAR_LAST.fullmatch(text):
        return _in_order(int(match[1]), int(match[3]), int(match[4]), ways.day_order)
    if (match := IN_WORDS.fullmatch(text)) and (month := ways.months.get(match[2].casefold())):
        return _sane(int(match[3]), month, int(match[1]))
    if SHORT_YEAR.fullmatch(text):
        raise Refused(gettext_noop("Write the year with four digits, such as 2027-04-03."))
    raise Refused(gettext_noop("This is not a day. Write it like 2027-04-03 or 3 Apr 2027."))


def _in_order(first: int, second: int, year: int, order: DayOrder) -> date:
    if order == "day" or (not order and (first > 12 or first == second)):
        return _sane(year, second, first)
    if order == "month" or (not order and second > 12):
        return _sane(year, first, second)
    raise Refused(
        gettext_noop("This could be two different days. Say above how days are written, or write 2027-04-03.")
    )


def _sane(year: int, month: int, day: int) -> date:
    if not 2000 <= year <= 2099:
        raise Refused(gettext_noop("The year must lie between 2000 and 2099."))
    try:
        return date(year, month, day)
    except ValueError:
        raise Refused(gettext_noop("There is no such day.")) from None
