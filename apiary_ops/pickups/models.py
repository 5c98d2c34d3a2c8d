from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from apiary_ops.billing.models import Invoice
from apiary_ops.business.models import Season
from apiary_ops.nucs.models import Nuc
from apiary_ops.orders.models import Line, Order
from apiary_ops.yards.models import Yard

from .guards import BOOKING_PATHS


class PickupDay(models.Model):
    """A day on which buyers collect at a yard."""

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="pickup_days")
    yard = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="pickup_days")
    on = models.DateField(_("day"), db_column="pickup_on")
    notes = models.TextField(_("notes"), max_length=1000, blank=True)
    closed_at = models.DateTimeField(_("closed"), null=True, blank=True)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["yard", "on"],
                name="one_pickup_day_a_yard_and_day",
                violation_error_message=_("This yard already has a pickup day then. Add to that one."),
            ),
        ]

    def __str__(self) -> str:
        return f"pickup {self.on}"


class Window(models.Model):
    """A stretch of a pickup day with so many places; `booked` is kept by guards from bookings."""

    day = models.ForeignKey(PickupDay, on_delete=models.PROTECT, related_name="windows")
    starts_at = models.TimeField(_("from"))
    ends_at = models.TimeField(_("to"))
    places = models.PositiveSmallIntegerField(_("places"))
    booked = models.PositiveSmallIntegerField(_("booked"), default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["day", "starts_at"], name="one_window_a_start"),
            models.CheckConstraint(name="window_ends_after_it_starts", condition=Q(ends_at__gt=F("starts_at"))),
            models.CheckConstraint(
                name="a_window_is_not_overbooked",
                condition=Q(booked__lte=F("places")),
                violation_error_message=_("This window is full. Choose another."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.starts_at:%H:%M}–{self.ends_at:%H:%M}"


class Booking(models.Model):
    """One order's place in a window: one car at the gate."""

    class State(models.TextChoices):
        BOOKED = "booked", _("booked")
        COLLECTED = "collected", _("collected")
        MISSED = "missed", _("did not come")
        CANCELLED = "cancelled", _("cancelled")

    PATHS = BOOKING_PATHS

    window = models.ForeignKey(Window, on_delete=models.PROTECT, related_name="bookings")
    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="bookings")
    state = models.CharField(_("state"), max_length=9, choices=State.choices, default=State.BOOKED)
    booked_at = models.DateTimeField(auto_now_add=True)
    booked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["order"],
                condition=Q(state="booked"),
                name="one_open_booking_an_order",
                violation_error_message=_("This order already has a window. Move it instead."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.order_id} {self.state}"


class BookingLine(models.Model):
    """How many of a line are to be collected with a booking."""

    booking = models.ForeignKey(Booking, on_delete=models.PROTECT, related_name="lines")
    line = models.ForeignKey(Line, on_delete=models.PROTECT, related_name="+")
    quantity = models.PositiveIntegerField(_("nucs"))

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["booking", "line"], name="a_line_is_once_in_a_booking"),
            models.CheckConstraint(name="booking_line_has_nucs", condition=Q(quantity__gt=0)),
        ]

    def __str__(self) -> str:
        return f"{self.quantity}"


class HandOver(models.Model):
    """Nucs left with a buyer: the moment a promise is kept. Done once however often it is sent; never changed."""

    once_key = models.UUIDField(unique=True)
    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="+")
    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="hand_overs")
    booking = models.OneToOneField(Booking, on_delete=models.PROTECT, null=True, blank=True, related_name="hand_over")
    on = models.DateField(_("day"), db_column="handed_over_on")
    at = models.DateTimeField(_("time"), db_column="handed_over_at")
    taken_by_name = models.CharField(_("taken by"), max_length=120)
    invoice = models.OneToOneField(Invoice, on_delete=models.PROTECT, related_name="hand_over")
    given_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    def __str__(self) -> str:
        return f"hand-over {self.pk}"


class HandedNuc(models.Model):
    """One nuc of a hand-over and the line it fulfilled."""

    hand_over = models.ForeignKey(HandOver, on_delete=models.PROTECT, related_name="nucs")
    nuc = models.OneToOneField(Nuc, on_delete=models.PROTECT, related_name="handed")
    line = models.ForeignKey(Line, on_delete=models.PROTECT, related_name="handed")
    queen_cost_cents = models.BigIntegerField(_("queen cost"))

    def __str__(self) -> str:
        return f"{self.nuc_id}"
