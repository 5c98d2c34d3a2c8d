from datetime import date, datetime

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from apiary_ops.books.models import Period
from apiary_ops.core.days import spoken_day
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User


class FiscalYearExists(RuleBroken):
    pass


@transaction.atomic
def open_fiscal_year(*, year: int, starts_on: date, actor: User | None = None) -> list[Period]:
    """Twelve monthly periods from `starts_on`, the first of a month. Raises FiscalYearExists when days overlap."""
    if starts_on.day != 1:
        raise ValueError(f"A fiscal year starts on the first of a month, not on {starts_on}.")
    starts = [_month_after(starts_on, months) for months in range(13)]
    standing = Period.objects.filter(starts_on__lt=starts[12], ends_before__gt=starts[0]).order_by("starts_on").first()
    if standing or Period.objects.filter(fiscal_year=year).exists():
        raise FiscalYearExists(
            _("The fiscal year %(year)s is already there, or another has some of its days.") % {"year": year}
        )
    months = [
        Period(fiscal_year=year, starts_on=first, ends_before=after)
        for first, after in zip(starts, starts[1:], strict=False)
    ]
    return Period.objects.bulk_create(months)


def _month_after(first: date, months: int) -> date:
    years, month = divmod(first.month - 1 + months, 12)
    return date(first.year + years, month + 1, 1)


class PeriodAlreadyLocked(RuleBroken):
    pass


@transaction.atomic
def lock_period(*, period_id: int, actor: User, at: datetime | None = None) -> Period:
    """Lock a period for good: what is posted stays, nothing more comes in. Waits for postings under way.

    `at` is the instant to record, now unless given.
    """
    period = Period.objects.select_for_update(no_key=True).get(pk=period_id)
    if period.is_locked:
        when = spoken_day(timezone.localdate(period.locked_at))
        raise PeriodAlreadyLocked(_("This period was locked on %(when)s and stays so.") % {"when": when})
    period.locked_at, period.locked_by = at or timezone.now(), actor
    period.save(update_fields=["locked_at", "locked_by"])
    return period
