"""Places where colonies stand, and what must be known of them before driving there."""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from apiary_ops.core.models import Versioned


class Yard(Versioned):
    """A place where colonies stand, in walking order by position."""

    code = models.SlugField(_("code"), unique=True, max_length=20)
    name = models.CharField(_("name"), max_length=80)
    place = models.CharField(_("place"), max_length=120, blank=True)
    landowner = models.CharField(_("landowner"), max_length=120, blank=True)
    landowner_phone = models.CharField(_("landowner's telephone"), max_length=40, blank=True)
    rent = models.CharField(_("rent, in words"), max_length=120, blank=True)
    access_notes = models.TextField(_("how to get in"), max_length=1000, blank=True)
    gate_code = models.CharField(_("gate code"), max_length=40, blank=True)
    hazards = models.TextField(_("hazards"), max_length=1000, blank=True)
    forage = models.TextField(_("forage"), max_length=1000, blank=True)
    # WGS 84, in degrees; five decimals are about a metre.
    latitude = models.DecimalField(
        _("latitude"),
        max_digits=7,
        decimal_places=5,
        null=True,
        blank=True,
        validators=[MinValueValidator(-90), MaxValueValidator(90)],
    )
    longitude = models.DecimalField(
        _("longitude"),
        max_digits=8,
        decimal_places=5,
        null=True,
        blank=True,
        validators=[MinValueValidator(-180), MaxValueValidator(180)],
    )
    has_bears = models.BooleanField(_("bears come here: check the fence"), default=False)
    round_trip_km = models.PositiveSmallIntegerField(_("round trip, km"), default=0)
    is_pickup_yard = models.BooleanField(_("buyers collect here"), default=False)
    is_active = models.BooleanField(_("in use"), default=True)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_place_on_earth_has_both_coordinates",
                condition=Q(latitude__isnull=True, longitude__isnull=True)
                | Q(latitude__range=(-90, 90), longitude__range=(-180, 180)),
                violation_error_message=_("Give both latitude and longitude, in degrees, or neither."),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class NoGo(models.Model):
    """Days on which nobody may drive to a yard: spraying, lambing, a wedding."""

    yard = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="no_go_dates")
    starts_on = models.DateField(_("from"))
    ends_on = models.DateField(_("to, with that day"))
    reason = models.CharField(_("reason"), max_length=120)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="no_go_ends_after_it_starts",
                condition=Q(ends_on__gte=F("starts_on")),
                violation_error_message=_("The last day cannot come before the first."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.starts_on} to {self.ends_on}"


class Certificate(models.Model):
    """What an inspector certified of a yard, until it runs out."""

    yard = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="certificates")
    number = models.CharField(_("certificate number"), max_length=40)
    inspector = models.CharField(_("inspector"), max_length=120, blank=True)
    issued_on = models.DateField(_("issued on"))
    expires_on = models.DateField(_("good until, with that day"))

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["yard", "number"],
                name="one_certificate_of_a_number_a_yard",
                violation_error_message=_("This certificate is already recorded."),
            ),
            models.CheckConstraint(
                name="a_certificate_expires_after_its_issue",
                condition=Q(expires_on__gte=F("issued_on")),
                violation_error_message=_("A certificate cannot run out before it is issued."),
            ),
        ]

    def __str__(self) -> str:
        return self.number


class FenceCheck(models.Model):
    """A walk round the bear fence: each point in order or not, and what the wire carries."""

    yard = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="fence_checks")
    on = models.DateField(_("day"), db_column="checked_on")
    volts = models.PositiveIntegerField(_("volts on the wire"), null=True, blank=True)
    wires_tight = models.BooleanField(_("wires tight, live and earthed in turn"))
    earth_good = models.BooleanField(_("earth rods deep and joined"))
    growth_clear = models.BooleanField(_("nothing grows into the wires"))
    charger_works = models.BooleanField(_("charger and battery in order"))
    signs_up = models.BooleanField(_("warning signs up"))
    note = models.CharField(_("note"), max_length=300, blank=True)
    checked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_fence_carries_no_more_than_20000_volts",
                condition=Q(volts__isnull=True) | Q(volts__lte=20_000),
                violation_error_message=_("A fence carries at most 20,000 volts. Read the meter again."),
            ),
        ]

    def __str__(self) -> str:
        return f"fence check of {self.on}"
