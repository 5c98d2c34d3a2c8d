"""The one place that reads the clock for pages and commands.

APIARY_TODAY (YYYY-MM-DD) sets the desk to another day, which is how the demo season plays in spring whatever the
calendar says; the time of day still runs. Rules and services never look here: they are told the day.
"""

from datetime import date, datetime

from django.conf import settings
from django.utils import timezone


def now() -> datetime:
    """This instant, on the pretended day where one is set."""
    instant = timezone.now()
    pretended = settings.PRETENDED_TODAY
    if pretended is None:
        return instant
    local = timezone.localtime(instant)
    return local.replace(year=pretended.year, month=pretended.month, day=pretended.day)


def today() -> date:
    """The day in the current time zone."""
    return timezone.localtime(now()).date()
