from datetime import date

from django.db import transaction

from apiary_ops.books import queries
from apiary_ops.books.models import Series

from . import words
from .posting import NoPeriod


@transaction.atomic
def next_number(*, series: str, day: date) -> tuple[int, int]:
    """The next number of a series in the fiscal year of `day`: (year, number), from 1 without gaps.

    Holds the series until the transaction ends, so take it last. If the transaction is rolled back the number was
    never given. Raises NoPeriod.
    """
    period = queries.period_of(day)
    if period is None:
        raise NoPeriod(words.no_period(day))
    Series.objects.get_or_create(code=series, year=period.fiscal_year)
    row = Series.objects.select_for_update(no_key=True).get(code=series, year=period.fiscal_year)
    row.last_number += 1
    row.save(update_fields=["last_number"])
    return row.year, row.last_number
