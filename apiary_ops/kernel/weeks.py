"""Weeks from Monday to Sunday, as ISO 8601 numbers them: week 1 holds 4 January."""

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


@dataclass(frozen=True, order=True, slots=True)
class Week:
    """The seven days from `monday`; weeks sort by date. Raises ValueError for any other weekday."""

    monday: date

    def __post_init__(self) -> None:
        if isinstance(self.monday, datetime):
            raise TypeError("A week starts on a date, not at an instant.")
        if self.monday.weekday() != 0:
            raise ValueError(f"A week starts on a Monday, and {self.monday} is not one.")

    @classmethod
    def of(cls, day: date) -> "Week":
        """The week that holds `day`."""
        return cls(day - timedelta(days=day.weekday()))

    @classmethod
    def parse(cls, text: str) -> "Week":
        """The week written as "2027-W19". Raises ValueError when there is no such week."""
        try:
            if not re.fullmatch(r"[0-9]{4}-W[0-9]{2}", text):
                raise ValueError(text)
            return cls(date.fromisocalendar(int(text[:4]), int(text[6:]), 1))
        except ValueError:
            raise ValueError(f"“{text}” is not a week; write it like 2027-W19.") from None

    @property
    def days(self) -> tuple[date, ...]:
        """Monday to Sunday."""
        return tuple(self.monday + timedelta(days=number) for number in range(7))

    @property
    def ends_before(self) -> date:
        """The Monday after: the first day that is no longer in this week."""
        return self.monday + timedelta(days=7)

    @property
    def label(self) -> str:
        """How the week is told to a buyer: "week of 12 May"."""
        return f"week of {self.monday.day} {MONTHS[self.monday.month - 1]}"

    @property
    def iso(self) -> str:
        """Year and number of the week: "2027-W19"."""
        year, number, _ = self.monday.isocalendar()
        return f"{year:04}-W{number:02}"

    def __str__(self) -> str:
        return self.iso

    def __contains__(self, day: date) -> bool:
        return self.monday <= day < self.ends_before

    def __add__(self, weeks: int) -> "Week":
        if type(weeks) is not int:
            return NotImplemented
        return Week(self.monday + timedelta(weeks=weeks))

    def __sub__(self, earlier: "Week") -> int:
        if not isinstance(earlier, Week):
            return NotImplemented
        return (self.monday - earlier.monday).days // 7


def weeks_between(start: date, end_before: date) -> list[Week]:
    """Every week with a day in `start <= day < end_before`, in order; none when the period is empty."""
    if end_before <= start:
        return []
    first, last = Week.of(start), Week.of(end_before - timedelta(days=1))
    return [first + number for number in range(last - first + 1)]
