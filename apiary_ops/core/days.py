"""How a day is written, on pages, on papers and inside refusals alike."""

from datetime import date

from django.utils.formats import date_format


def spoken_day(day: date) -> str:
    """A day with its weekday, in the reader's language: "Mon 12 May 2027"."""
    return date_format(day, "D j M Y")
