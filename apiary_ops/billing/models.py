from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from apiary_ops.books.models import Entry
from apiary_ops.core import clock
from apiary_ops.orders.models import Buyer, Line, Order

METHODS = [("cash", _("cash")), ("transfer", _("transfer")), ("cheque", _("cheque")), ("card", _("card terminal"))]


class Deposit(models.Model):
    """What an order's buyer has paid ahead: a liability until hand-over. Totals are kept by guards from moves."""

    order = models.OneToOneField(Order, on_delete=models.PROTECT, related_name="deposit")
    taken_cents = models.BigIntegerField(_("taken"), default=0)
    applied_cents = models.BigIntegerField(_("applied to invoices"), default=0)
    refunded_cents = models.BigIntegerField(_("refunded"), default=0)
    kept_cents = models.BigIntegerField(_("kept by the terms"), default=0)
    moved_cents = models.BigIntegerField(_("moved on"), default=0)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="no_more_deposit_used_than_taken",
                condition=Q(
                    taken_cents__gte=F("applied_cents") + F("refunded_cents") + F("kept_cents") + F("moved_cents")
                ),
                violation_error_message=_("That is more than the deposit still held."),
            ),
            models.CheckConstraint(
                name="deposit_totals_are_not_negative",
                condition=Q(
                    taken_cents__gte=0,
                    applied_cents__gte=0,
                    refunded_cents__gte=0,
                    kept_cents__gte=0,
                    moved_cents__gte=0,
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"deposit of {self.order_id}"

    @property
    def held_cents(self) -> int:
        return self.taken_cents - self.applied_cents - self.refunded_cents - self.kept_cents - self.moved_cents


class DepositMove(models.Model):
    """Money into or out of a deposit; never changed. `source` makes each happen once."""

    class Kind(models.TextChoices):
        TAKEN = "taken", _("taken")
        APPLIED = "applied", _("applied to an invoice")
        REFUNDED = "refunded", _("refunded")
        KEPT = "kept", _("kept by the terms")
        MOVED = "moved", _("moved on")

    deposit = models.ForeignKey(Deposit, on_delete=models.PROTECT, related_name="moves")
    kind = models.CharField(_("what"), max_length=8, choices=Kind.choices)
    cents = models.BigIntegerField(_("amount"))
    on = models.DateField(_("day"), db_column="moved_on")
    source = models.CharField(_("source"), max_length=80)
    reason = models.CharField(_("reason"), max_length=200, blank=True)
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="+")
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(name="deposit_move_is_above_zero", condition=Q(cents__gt=0)),
            models.UniqueConstraint(fields=["source", "kind"], name="a_source_moves_a_deposit_once"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.cents}"

    @property
    def signed_cents(self) -> int:
        """What the move does to the deposit held."""
        return self.cents if self.kind == self.Kind.TAKEN else -self.cents


class Receipt(models.Model):
    """The numbered paper for money received from a buyer. Gapless; everything it shows is frozen in it."""

    series_year = models.PositiveSmallIntegerField()
    serial = models.PositiveIntegerField()
    number = models.CharField(_("number"), max_length=20, unique=True)  # "R2027-00042"
    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="receipts")
    buyer = models.ForeignKey(Buyer, on_delete=models.PROTECT, related_name="receipts")
    received_on = models.DateField(_("received on"))
    method = models.CharField(_("how"), max_length=8, choices=METHODS)
    cents = models.BigIntegerField(_("amount"))
    purpose = models.CharField(_("for"), max_length=8, choices=[("deposit", _("deposit")), ("balance", _("balance"))])
    currency = models.CharField(max_length=3)
    seller = models.JSONField(_("seller as printed"))
    buyer_name = models.CharField(_("received from"), max_length=200)
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="+")
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    issued_at = models.DateTimeField(default=clock.now, editable=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["series_year", "serial"], name="one_receipt_a_serial"),
            models.CheckConstraint(name="receipt_is_above_zero", condition=Q(cents__gt=0)),
        ]

    def __str__(self) -> str:
        return self.number


class Invoice(models.Model):
    """The numbered paper for nucs handed over. Everything it shows is frozen in it; it never changes."""

    series_year = models.PositiveSmallIntegerField()
    serial = models.PositiveIntegerField()
    number = models.CharField(_("number"), max_length=20, unique=True)  # "2027-00042"
    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="invoices")
    buyer = models.ForeignKey(Buyer, on_delete=models.PROTECT, related_name="invoices")
    source = models.CharField(_("source"), max_length=80, unique=True)  # "hand-over:17": one invoice each
    issued_on = models.DateField(_("issued on"))
    supplied_on = models.DateField(_("handed over on"))
    currency = models.CharField(max_length=3)
    seller = models.JSONField(_("seller as printed"))
    buyer_name = models.CharField(_("buyer"), max_length=200)
    buyer_address = models.TextField(_("buyer's address"), blank=True)
    net_cents = models.BigIntegerField(_("net"))
    tax_cents = models.BigIntegerField(_("tax"))
    total_cents = models.BigIntegerField(_("total"))
    deposit_cents = models.BigIntegerField(_("deposit applied"), default=0)
    taxes = models.JSONField(_("tax by category"))  # [{category, code, percent, net_cents, tax_cents, note}]
    paid_cents = models.BigIntegerField(_("paid"), default=0)  # beyond the deposit; kept by a guard
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="+")
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    issued_at = models.DateTimeField(default=clock.now, editable=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["series_year", "serial"], name="one_invoice_a_serial"),
            models.CheckConstraint(
                name="invoice_total_is_net_and_tax", condition=Q(total_cents=F("net_cents") + F("tax_cents"))
            ),
            models.CheckConstraint(
                name="an_invoice_is_not_overpaid",
                condition=Q(
                    deposit_cents__gte=0, paid_cents__gte=0, total_cents__gte=F("deposit_cents") + F("paid_cents")
                ),
                violation_error_message=_("That is more than this invoice still asks."),
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def owed_cents(self) -> int:
        return self.total_cents - self.deposit_cents - self.paid_cents


class InvoiceLine(models.Model):
    """One row of an invoice, frozen."""

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="lines")
    order_line = models.ForeignKey(Line, on_delete=models.PROTECT, related_name="invoice_lines")
    description = models.CharField(max_length=300)
    quantity = models.PositiveIntegerField()
    price_cents = models.BigIntegerField()
    net_cents = models.BigIntegerField()
    tax_code = models.CharField(max_length=30)

    class Meta:
        constraints = [models.CheckConstraint(name="invoice_line_has_nucs", condition=Q(quantity__gt=0))]

    def __str__(self) -> str:
        return self.description


class InvoicePayment(models.Model):
    """Part of a receipt put against an invoice."""

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="payments")
    receipt = models.OneToOneField(Receipt, on_delete=models.PROTECT, related_name="invoice_payment")
    cents = models.BigIntegerField()

    class Meta:
        constraints = [models.CheckConstraint(name="invoice_payment_is_above_zero", condition=Q(cents__gt=0))]

    def __str__(self) -> str:
        return f"{self.cents}"
