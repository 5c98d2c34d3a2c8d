import zoneinfo
from datetime import date

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from apiary_ops.core.models import Versioned
from apiary_ops.kernel.money import MINOR_UNITS


def known_time_zone(name: str) -> None:
    if name not in zoneinfo.available_timezones():
        raise ValidationError(_("%(name)s is not a time zone; write it like America/Halifax."), params={"name": name})


def known_currency(code: str) -> None:
    if code not in MINOR_UNITS:
        raise ValidationError(_("%(code)s is not an ISO 4217 currency code."), params={"code": code})


class Business(Versioned):
    """The producer itself: one row, read with every page and printed on every paper."""

    class Paper(models.TextChoices):
        A4 = "A4", _("A4")
        LETTER = "Letter", _("Letter")

    name = models.CharField(_("business name"), max_length=120)
    address = models.TextField(_("address"), max_length=400)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    email = models.EmailField(_("e-mail"), blank=True)
    registration = models.CharField(_("tax registration number"), max_length=40, blank=True)
    time_zone = models.CharField(_("time zone"), max_length=60, validators=[known_time_zone])
    currency = models.CharField(_("currency"), max_length=3, validators=[known_currency])
    paper = models.CharField(_("paper"), max_length=6, choices=Paper.choices, default=Paper.A4)
    temperature_unit = models.CharField(_("temperature"), max_length=1, choices=[("C", "°C"), ("F", "°F")], default="C")
    weight_unit = models.CharField(_("weight"), max_length=2, choices=[("kg", "kg"), ("lb", "lb")], default="kg")
    distance_unit = models.CharField(_("distance"), max_length=2, choices=[("km", "km"), ("mi", "mi")], default="km")
    inspector = models.CharField(_("bee inspector"), max_length=120, blank=True)
    inspector_phone = models.CharField(_("inspector's telephone"), max_length=40, blank=True)
    has_hive_beetle = models.BooleanField(_("small hive beetle is about"), default=False)
    cautions = models.TextField(_("cautions printed on papers"), max_length=2000, blank=True)
    payment_instructions = models.TextField(_("how to pay"), max_length=600, blank=True)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(name="business_is_one_row", condition=Q(id=1)),
            models.CheckConstraint(name="business_paper_is_known", condition=Q(paper__in=["A4", "Letter"])),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def address_lines(self) -> list[str]:
        return [line.strip() for line in self.address.splitlines() if line.strip()]

    @property
    def caution_lines(self) -> list[str]:
        return [line.strip() for line in self.cautions.splitlines() if line.strip()]


class Terms(models.Model):
    """Deposit terms as stated to buyers from a day on; an order keeps the terms it was placed under."""

    valid_from = models.DateField(_("valid from"), unique=True)
    deposit_cents_per_nuc = models.BigIntegerField(_("deposit per nuc"))
    due_days = models.PositiveSmallIntegerField(_("days to pay the deposit"), default=14)
    refund_until_month = models.PositiveSmallIntegerField(_("refunded until: month"), default=3)
    refund_until_day = models.PositiveSmallIntegerField(_("refunded until: day"), default=1)
    text = models.TextField(_("terms in words"), max_length=2000)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="terms_deposit_is_not_negative",
                condition=Q(deposit_cents_per_nuc__gte=0),
                violation_error_message=_("The deposit cannot be below zero."),
            ),
            models.CheckConstraint(
                name="terms_refund_day_is_a_day",
                condition=Q(refund_until_month__range=(1, 12), refund_until_day__range=(1, 28)),
                violation_error_message=_("Refunds end on a day from 1 to 28 of a month."),
            ),
        ]

    def __str__(self) -> str:
        return f"terms of {self.valid_from}"


class TaxCategory(models.Model):
    """How a good is taxed: the EN 16931 category code and words for papers. The rate is dated (TaxRate)."""

    code = models.SlugField(_("code"), unique=True, max_length=30)
    name = models.CharField(_("name"), max_length=80)
    en16931_code = models.CharField(
        _("EN 16931 category"),
        max_length=2,
        choices=[("S", _("standard rate")), ("Z", _("zero rated")), ("E", _("exempt")), ("O", _("outside tax"))],
    )
    note = models.CharField(_("note printed on invoices"), max_length=200, blank=True)

    def __str__(self) -> str:
        return self.name


class TaxRate(models.Model):
    """A rate valid from a day until the next one of its category: rates cannot overlap."""

    category = models.ForeignKey(TaxCategory, on_delete=models.PROTECT, related_name="rates")
    valid_from = models.DateField(_("valid from"))
    percent = models.DecimalField(_("percent"), max_digits=6, decimal_places=3)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["category", "valid_from"], name="one_tax_rate_a_day"),
            models.CheckConstraint(name="tax_rate_is_sane", condition=Q(percent__gte=0, percent__lt=100)),
        ]

    def __str__(self) -> str:
        return f"{self.percent.normalize():f} % from {self.valid_from}"


class Season(Versioned):
    """A year of the work, from autumn stock to closed books: half-open, named by the spring it sells in."""

    year = models.PositiveSmallIntegerField(
        _("spring of"), unique=True, validators=[MinValueValidator(2000), MaxValueValidator(2099)]
    )
    starts_on = models.DateField(_("starts on"))
    ends_before = models.DateField(_("ends before"))
    closed_on = models.DateField(_("closed on"), null=True, blank=True)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="season_ends_after_it_starts",
                condition=Q(ends_before__gt=F("starts_on")),
                violation_error_message=_("A season ends after it starts."),
            ),
        ]

    def __str__(self) -> str:
        return str(self.year)

    def __contains__(self, day: date) -> bool:
        return self.starts_on <= day < self.ends_before

    @property
    def is_open(self) -> bool:
        return self.closed_on is None


class Stamp(models.Model):
    """A counter per season and area of facts: writers raise it last, deciders lock it first."""

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="stamps")
    area = models.CharField(max_length=20)
    counter = models.PositiveBigIntegerField(default=0)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["season", "area"], name="one_stamp_per_season_and_area")]

    def __str__(self) -> str:
        return f"{self.season} {self.area} {self.counter}"
