"""Facts of a colony that follow from others: whether it is kept for something that day, its queen's colour."""

from datetime import date

# International marking colours by the last digit of the queen's year (trade convention, from memory).
_COLOURS = ("blue", "white", "yellow", "red", "green")


def is_within(day: date, first: date | None, last: date | None) -> bool:
    """Whether a day lies in a stretch, both ends included; an open end means always."""
    return (first is None or first <= day) and (last is None or day <= last)


def colour_of_year(year: int) -> str:
    """The colour queens of a year are marked with: white in years ending in 1 or 6, and so on."""
    return _COLOURS[year % 5]
