from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from apiary_ops.books.models import Entry
from apiary_ops.business.models import Season
from apiary_ops.core.models import Versioned
from apiary_ops.costs.models import Bill, Supplier


class QueenOrder(Versioned):
    """Queens asked of a breeder for a ship week."""

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="+")
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="queen_orders")
    queens = models.PositiveIntegerField(_("queens"))
    unit_price_cents = models.BigIntegerField(_("price each"))
    ship_week = models.DateField(_("ship week"))  # its Monday
    cancel_by = models.DateField(_("cancel by"), null=True, blank=True)
    ordered_on = models.DateField(_("ordered on"))
    cancelled_on = models.DateField(_("cancelled on"), null=True, blank=True)
    received_queens = models.PositiveIntegerField(_("received"), default=0)  # kept by a guard from lots

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(name="queen_order_asks_for_queens", condition=Q(queens__gt=0)),
            models.CheckConstraint(name="queen_order_price_is_not_negative", condition=Q(unit_price_cents__gte=0)),
            models.CheckConstraint(
                name="no_more_queens_received_than_ordered",
                condition=Q(received_queens__lte=F("queens")),
                violation_error_message=_("More queens than were ordered. Raise the order first."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.queens} queens, week of {self.ship_week}"

    @property
    def to_come(self) -> int:
        """Queens still expected of this order."""
        return 0 if self.cancelled_on else self.queens - self.received_queens

    @property
    def state_word(self) -> str:
        if self.cancelled_on:
            return str(_("cancelled"))
        if not self.received_queens:
            return str(_("on order"))
        return str(_("part received") if self.to_come else _("received"))

    @property
    def state_tone(self) -> str:
        if self.cancelled_on:
            return "quiet"
        return "now" if self.to_come else "good"


class Lot(models.Model):
    """Queens that arrived together. Alive = received − dead on arrival; the rest is counted by moves."""

    order = models.ForeignKey(QueenOrder, on_delete=models.PROTECT, related_name="lots")
    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="+")
    code = models.CharField(_("lot"), max_length=20, unique=True)
    received_on = models.DateField(_("received on"))
    hive_by = models.DateField(_("hive by"))
    received = models.PositiveIntegerField(_("received"))
    dead_on_arrival = models.PositiveIntegerField(_("dead on arrival"), default=0)
    unit_price_cents = models.BigIntegerField(_("price each"))
    freight_cents = models.BigIntegerField(_("freight"), default=0)
    papers_cents = models.BigIntegerField(_("papers"), default=0)
    landed_cents = models.BigIntegerField(_("landed cost"))
    bill = models.OneToOneField(Bill, on_delete=models.PROTECT, related_name="lot")
    # Running totals, kept by guards from QueenMove.
    introduced = models.PositiveIntegerField(_("introduced"), default=0)
    dead = models.PositiveIntegerField(_("dead in the bank"), default=0)
    sold_on = models.PositiveIntegerField(_("sold on"), default=0)
    credited = models.PositiveIntegerField(_("credited by the breeder"), default=0)

    class Meta:
        constraints = [
            models.CheckConstraint(name="lot_received_queens", condition=Q(received__gt=0)),
            models.CheckConstraint(name="no_more_dead_than_arrived", condition=Q(dead_on_arrival__lte=F("received"))),
            models.CheckConstraint(
                name="no_more_queens_used_than_alive",
                condition=Q(
                    received__gte=F("dead_on_arrival") + F("introduced") + F("dead") + F("sold_on") + F("credited")
                ),
                violation_error_message=_("This lot has not that many live queens left."),
            ),
            models.CheckConstraint(
                name="landed_cost_is_not_negative",
                condition=Q(unit_price_cents__gte=0, freight_cents__gte=0, papers_cents__gte=0, landed_cents__gte=0),
            ),
        ]

    def __str__(self) -> str:
        return self.code

    @property
    def alive_on_arrival(self) -> int:
        return self.received - self.dead_on_arrival

    @property
    def gone(self) -> int:
        """Queens that arrived alive and have left the bank, whatever became of them."""
        return self.introduced + self.dead + self.sold_on + self.credited

    @property
    def banked(self) -> int:
        """Live queens in hand now."""
        return self.alive_on_arrival - self.gone


class QueenMove(models.Model):
    """Queens that left the bank: introduced into a batch, died, sold on, or credited. Never changed."""

    class Kind(models.TextChoices):
        INTRODUCED = "introduced", _("introduced")
        DEAD = "dead", _("dead in the bank")
        SOLD_ON = "sold_on", _("sold on")
        CREDITED = "credited", _("credited")

    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, related_name="moves")
    kind = models.CharField(_("what"), max_length=10, choices=Kind.choices)
    queens = models.PositiveIntegerField(_("queens"))
    on = models.DateField(_("day"), db_column="moved_on")
    cost_cents = models.BigIntegerField(_("cost taken along"))
    source = models.CharField(_("source"), max_length=80)  # Ref of what used them: "batch:12", "nuc:2027-031"
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, null=True, related_name="+")
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(name="queen_move_moves_queens", condition=Q(queens__gt=0)),
            models.UniqueConstraint(fields=["lot", "source", "kind"], name="a_source_takes_queens_once"),
        ]

    def __str__(self) -> str:
        return f"{self.queens} {self.kind}"

    @property
    def used_for(self) -> str:
        """What took them, in words: "batch 12", "nuc 2027-031"."""
        kind, _colon, key = self.source.partition(":")
        return str(_("bank count")) if kind == "bank-count" else f"{kind.replace('-', ' ')} {key}"
