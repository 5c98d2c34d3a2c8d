from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from apiary_ops.books.models import Account, Entry
from apiary_ops.business.models import Season
from apiary_ops.core.models import Versioned


class Supplier(Versioned):
    """Someone we buy from: a breeder, a feed store, a landowner."""

    name = models.CharField(_("name"), max_length=120, unique=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    email = models.EmailField(_("e-mail"), blank=True)
    currency = models.CharField(_("currency"), max_length=3)
    sells_queens = models.BooleanField(_("breeds queens"), default=False)
    notes = models.TextField(_("notes"), max_length=1000, blank=True)

    history = HistoricalRecords()

    def __str__(self) -> str:
        return self.name

    @property
    def queens_word(self) -> str:
        return str(_("queens")) if self.sells_queens else ""


class Bill(models.Model):
    """What a supplier charges us, posted when recorded. A wrong bill is reversed, never changed."""

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="+")
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="bills")
    reference = models.CharField(_("their number"), max_length=60)
    billed_on = models.DateField(_("bill date"))
    due_on = models.DateField(_("due on"))
    total_cents = models.BigIntegerField(_("total"))
    paid_cents = models.BigIntegerField(_("paid"), default=0)
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="+")
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    reversed_on = models.DateField(_("reversed on"), null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["supplier", "reference"],
                condition=Q(reversed_on__isnull=True),
                name="a_bill_is_recorded_once",
                violation_error_message=_("This bill of this supplier is already recorded."),
            ),
            models.CheckConstraint(name="bill_total_is_above_zero", condition=Q(total_cents__gt=0)),
            models.CheckConstraint(
                name="a_bill_is_not_overpaid", condition=Q(paid_cents__gte=0, paid_cents__lte=F("total_cents"))
            ),
            models.CheckConstraint(
                name="nothing_is_paid_on_a_reversed_bill", condition=Q(reversed_on__isnull=True) | Q(paid_cents=0)
            ),
        ]

    def __str__(self) -> str:
        return self.reference

    @property
    def owed_cents(self) -> int:
        """What is still to be paid; nothing on a reversed bill."""
        return 0 if self.reversed_on else self.total_cents - self.paid_cents

    @property
    def is_open(self) -> bool:
        return self.owed_cents > 0

    @property
    def may_be_reversed(self) -> bool:
        return self.reversed_on is None and not self.paid_cents

    @property
    def standing_word(self) -> str:
        """Read it with queries.bills(), which knows the day: `is_overdue`."""
        if self.reversed_on:
            return str(_("reversed"))
        if not self.owed_cents:
            return str(_("paid"))
        return str(_("overdue") if getattr(self, "is_overdue", False) else _("owed"))

    @property
    def standing_tone(self) -> str:
        return "mind" if self.is_open and getattr(self, "is_overdue", False) else "quiet"


class BillLine(models.Model):
    """A part of a bill: where it is charged and, for the books, whose part it is ("lot:7", "yard:2")."""

    bill = models.ForeignKey(Bill, on_delete=models.PROTECT, related_name="lines")
    account = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    description = models.CharField(_("description"), max_length=200)
    cents = models.BigIntegerField(_("amount"))
    subject = models.CharField(_("for"), max_length=80, blank=True)

    class Meta:
        constraints = [models.CheckConstraint(name="bill_line_is_not_zero", condition=~Q(cents=0))]

    def __str__(self) -> str:
        return self.description


class BillPayment(models.Model):
    """Money paid on a bill, from the bank or in cash. A payment entered by mistake is reversed, never changed."""

    bill = models.ForeignKey(Bill, on_delete=models.PROTECT, related_name="payments")
    paid_on = models.DateField(_("paid on"))
    cents = models.BigIntegerField(_("amount"))
    paid_from = models.CharField(_("from"), max_length=4, choices=[("bank", _("bank")), ("cash", _("cash"))])
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="+")
    reversed_on = models.DateField(_("reversed on"), null=True, blank=True)

    class Meta:
        constraints = [models.CheckConstraint(name="bill_payment_is_above_zero", condition=Q(cents__gt=0))]

    def __str__(self) -> str:
        return f"{self.paid_on} {self.cents}"

    @property
    def standing_word(self) -> str:
        return str(_("reversed")) if self.reversed_on else str(_("paid"))

    @property
    def reverse_act(self) -> str:
        return "" if self.reversed_on else str(_("Reverse it"))


class CostAssumptions(Versioned):
    """What the margin of a season assumes about its costs; stated by the grower, marked as an assumption on screen."""

    class Driver(models.TextChoices):
        VISIT_MINUTES = "visit minutes", _("minutes of visits")
        NUCS_MADE = "nucs made", _("nucs made")

    season = models.OneToOneField(Season, on_delete=models.PROTECT, related_name="cost_assumptions")
    bees_share_percent = models.DecimalField(
        _("share of the bees' keep charged to nucs, %"),
        max_digits=4,
        decimal_places=1,
        default=Decimal("50.0"),
        validators=[MinValueValidator(0), MaxValueValidator(100)],
    )
    pooled_driver = models.CharField(
        _("pooled costs are shared by"), max_length=13, choices=Driver.choices, default=Driver.VISIT_MINUTES
    )
    # Shown beside the margin and never in the books; null means not stated.
    own_hours = models.DecimalField(_("own hours on nucs"), max_digits=6, decimal_places=1, null=True, blank=True)
    own_hour_cents = models.BigIntegerField(_("worth of an own hour"), null=True, blank=True)
    honey_given_up_cents = models.BigIntegerField(_("worth of honey given up"), null=True, blank=True)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="bees_share_is_a_percentage",
                condition=Q(bees_share_percent__gte=0, bees_share_percent__lte=100),
                violation_error_message=_("The share lies between 0 and 100 %."),
            ),
            models.CheckConstraint(
                name="pooled_driver_is_known", condition=Q(pooled_driver__in=["visit minutes", "nucs made"])
            ),
            models.CheckConstraint(
                name="own_time_and_honey_are_not_negative",
                condition=(Q(own_hours__isnull=True) | Q(own_hours__gte=0))
                & (Q(own_hour_cents__isnull=True) | Q(own_hour_cents__gte=0))
                & (Q(honey_given_up_cents__isnull=True) | Q(honey_given_up_cents__gte=0)),
                violation_error_message=_("Hours and amounts cannot be below zero."),
            ),
        ]

    def __str__(self) -> str:
        return f"cost assumptions for {self.season_id}"
