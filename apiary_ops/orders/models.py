from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from apiary_ops.business.models import Season, TaxCategory, Terms
from apiary_ops.core.models import Versioned
from apiary_ops.nucs.models import NucKind
from apiary_ops.yards.models import Yard


class Buyer(Versioned):
    """Someone who buys nucs. `search_key` is the name folded for search; `phone_key` the digits alone."""

    class Tier(models.TextChoices):
        WHOLESALE = "wholesale", _("wholesale")
        RETURNING = "returning", _("returning")
        NEW = "new", _("new")

    name = models.CharField(_("name"), max_length=200)
    search_key = models.CharField(max_length=200, db_index=True, editable=False)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    phone_key = models.CharField(max_length=20, db_index=True, blank=True, editable=False)
    email = models.EmailField(_("e-mail"), blank=True)
    address = models.TextField(_("address"), max_length=400, blank=True)
    tier = models.CharField(_("tier"), max_length=10, choices=Tier.choices, default=Tier.NEW)
    notes = models.TextField(_("notes"), max_length=2000, blank=True)

    history = HistoricalRecords()

    def __str__(self) -> str:
        return self.name


class Round(Versioned):
    """A stretch of two to three weeks a buyer is promised in winter, before weeks and days are known."""

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="rounds")
    name = models.CharField(_("name"), max_length=40)
    starts_on = models.DateField(_("first week"))  # a Monday
    ends_before = models.DateField(_("ends before"))  # a Monday

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["season", "name"], name="one_round_a_name_and_season"),
            models.CheckConstraint(name="round_ends_after_it_starts", condition=Q(ends_before__gt=F("starts_on"))),
        ]

    def __str__(self) -> str:
        return self.name


class Price(models.Model):
    """What a kind costs from a day on, for a tier of buyers (empty: everyone)."""

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="+")
    kind = models.ForeignKey(NucKind, on_delete=models.PROTECT, related_name="prices")
    tier = models.CharField(_("tier"), max_length=10, choices=Buyer.Tier.choices, blank=True)
    valid_from = models.DateField(_("valid from"))
    cents = models.BigIntegerField(_("price each"))
    tax_category = models.ForeignKey(TaxCategory, on_delete=models.PROTECT, related_name="+")

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["season", "kind", "tier", "valid_from"], name="one_price_a_day_and_tier"),
            models.CheckConstraint(name="price_is_not_negative", condition=Q(cents__gte=0)),
        ]

    def __str__(self) -> str:
        return f"{self.kind_id} {self.cents}"


class Order(Versioned):
    """What a buyer asked for in a season, under the terms stated that day."""

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="orders")
    number = models.CharField(_("number"), max_length=12, unique=True)  # "2027-0042"
    buyer = models.ForeignKey(Buyer, on_delete=models.PROTECT, related_name="orders")
    placed_on = models.DateField(_("placed on"))
    terms = models.ForeignKey(Terms, on_delete=models.PROTECT, related_name="+")
    deposit_due_cents = models.BigIntegerField(_("deposit asked"))
    deposit_due_on = models.DateField(_("deposit due on"))
    # The instant the deposit was complete: the order's place in every queue.
    deposit_complete_at = models.DateTimeField(_("deposit complete"), null=True, blank=True)
    pickup_yard = models.ForeignKey(
        Yard, on_delete=models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("collects at")
    )
    notes = models.TextField(_("notes"), max_length=2000, blank=True)
    taken_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(name="deposit_asked_is_not_negative", condition=Q(deposit_due_cents__gte=0)),
        ]
        indexes = [models.Index(fields=["season", "placed_on"], name="order_season_placed")]

    def __str__(self) -> str:
        return self.number


class Line(models.Model):
    """So many of a kind for a round, at a price. Its state says what we owe the buyer."""

    class State(models.TextChoices):
        ASKED = "asked", _("asked")
        WAITING = "waiting", _("waiting")
        PROMISED = "promised", _("promised")
        PART_COLLECTED = "part collected", _("part collected")
        COLLECTED = "collected", _("collected")
        LAPSED = "lapsed", _("lapsed")
        CANCELLED = "cancelled", _("cancelled")

    PATHS = {
        "asked": ("waiting", "promised", "lapsed", "cancelled"),
        "waiting": ("promised", "lapsed", "cancelled"),
        "promised": ("waiting", "part collected", "collected", "lapsed", "cancelled"),
        "part collected": ("collected", "cancelled"),
        "collected": (),
        "lapsed": ("waiting", "promised", "cancelled"),
        "cancelled": (),
    }
    OPEN_STATES = (State.ASKED, State.WAITING, State.LAPSED)  # may yet be promised
    OWED_STATES = (State.PROMISED, State.PART_COLLECTED)
    PROMISED_STATES = (*OWED_STATES, State.COLLECTED)  # owed, or given already
    GONE_STATES = (State.CANCELLED, State.LAPSED)

    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="lines")
    kind = models.ForeignKey(NucKind, on_delete=models.PROTECT, related_name="+")
    substitutes = models.ManyToManyField(NucKind, related_name="+", blank=True, verbose_name=_("accepts instead"))
    round = models.ForeignKey(Round, on_delete=models.PROTECT, related_name="lines")
    quantity = models.PositiveIntegerField(_("nucs"))
    collected = models.PositiveIntegerField(_("collected"), default=0)  # kept by a guard from handed-over nucs
    price_cents = models.BigIntegerField(_("price each"))
    tax_category = models.ForeignKey(TaxCategory, on_delete=models.PROTECT, related_name="+")
    part_loads = models.BooleanField(_("may come in parts"), default=False)
    state = models.CharField(_("state"), max_length=14, choices=State.choices, default=State.ASKED)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_line_asks_for_nucs",
                condition=Q(quantity__range=(1, 2000)),
                violation_error_message=_("Ask for 1 to 2,000 nucs."),
            ),
            models.CheckConstraint(name="line_price_is_not_negative", condition=Q(price_cents__gte=0)),
            models.CheckConstraint(
                name="no_more_collected_than_asked",
                condition=Q(collected__lte=F("quantity")),
                violation_error_message=_("This line has already been given all its nucs."),
            ),
        ]
        indexes = [models.Index(fields=["round", "kind", "state"], name="line_round_kind_state")]

    def __str__(self) -> str:
        return f"{self.quantity} × {self.kind_id}"

    @property
    def outstanding(self) -> int:
        return self.quantity - self.collected

    @property
    def is_gone(self) -> bool:
        """Cancelled or lapsed: nothing more is owed to the buyer on it."""
        return self.state in self.GONE_STATES

    @property
    def standing(self) -> int:
        """The nucs the line still counts for: all of them, or once it is gone those already collected."""
        return self.collected if self.is_gone else self.quantity

    @property
    def may_be_cancelled(self) -> bool:
        return self.State.CANCELLED in self.PATHS[self.state]
