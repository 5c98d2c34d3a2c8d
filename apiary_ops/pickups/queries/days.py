from datetime import date

from django.db.models import Count, Exists, F, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from apiary_ops.pickups.models import Booking, PickupDay, Window

MOST_DAYS = 4


def days(season_id: int) -> QuerySet[PickupDay]:
    """The pickup days of a season, latest first, with `places`, those `taken`, and how many came (`collected`)."""
    windows = Window.objects.filter(day=OuterRef("pk")).values("day")
    came = Booking.objects.filter(window__day=OuterRef("pk"), state=Booking.State.COLLECTED).values("window__day")
    return (
        PickupDay.objects.filter(season_id=season_id)
        .select_related("yard")
        .annotate(
            places=Coalesce(Subquery(windows.annotate(total=Sum("places")).values("total")), 0),
            taken=Coalesce(Subquery(windows.annotate(total=Sum("booked")).values("total")), 0),
            collected=Coalesce(Subquery(came.annotate(total=Count("pk")).values("total")), 0),
        )
        .order_by("-on", "-id")
    )


def days_on(season_id: int, on: date) -> QuerySet[PickupDay]:
    """Where buyers collect on a date."""
    return PickupDay.objects.filter(season_id=season_id, on=on).select_related("yard").order_by("yard__name", "id")


def day_in_full(season_id: int) -> QuerySet[PickupDay]:
    """The pickup days of a season with their yards, for get_object_or_404."""
    return PickupDay.objects.filter(season_id=season_id).select_related("yard", "season")


def windows_of(day: PickupDay) -> QuerySet[Window]:
    """The windows of a day by their start, each with its `free` places."""
    return Window.objects.filter(day=day).annotate(free=F("places") - F("booked")).order_by("starts_at", "id")


def days_to_book(season_id: int, from_day: date) -> QuerySet[PickupDay]:
    """The next days with a place free, from a day on."""
    free = Window.objects.filter(day=OuterRef("pk"), booked__lt=F("places"))
    rows = PickupDay.objects.filter(season_id=season_id, on__gte=from_day, closed_at__isnull=True).filter(Exists(free))
    return rows.select_related("yard").order_by("on", "id")[:MOST_DAYS]


def free_windows(season_id: int, from_day: date) -> QuerySet[Window]:
    """Windows with a free place, from a day on, soonest first."""
    rows = Window.objects.filter(day__season_id=season_id, day__on__gte=from_day, day__closed_at__isnull=True)
    rows = rows.filter(booked__lt=F("places")).annotate(free=F("places") - F("booked"))
    return rows.select_related("day__yard").order_by("day__on", "day__yard__name", "starts_at", "id")
