import re
import uuid
from collections.abc import Iterable
from datetime import date, timedelta

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from apiary_ops.business.models import Season
from apiary_ops.core import clock
from apiary_ops.kernel.money import Money

LONG_KEY = re.compile(r"[0-9a-f-]{36}")  # made by a machine; its beginning is enough to tell rows apart


class Account(models.Model):
    """A place where value stands. `key` is the name code knows it by; `number` orders the chart."""

    class Kind(models.TextChoices):
        ASSET = "asset", _("Asset")
        LIABILITY = "liability", _("Liability")
        EQUITY = "equity", _("Equity")
        INCOME = "income", _("Income")
        EXPENSE = "expense", _("Expense")

    key = models.SlugField(_("key"), unique=True, max_length=40)
    number = models.CharField(_("number"), unique=True, max_length=8)
    name = models.CharField(_("name"), max_length=80)
    kind = models.CharField(_("kind"), max_length=9, choices=Kind.choices)
    # Stands against its kind: wear takes off equipment, drawings take off capital.
    is_contra = models.BooleanField(_("against its kind"), default=False)
    explanation = models.CharField(_("explanation"), max_length=200, blank=True)
    # Costs that are charged to nucs name how: "direct", "pooled" or "bees" (margin reads this).
    cost_class = models.CharField(_("charged to nucs"), max_length=8, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="account_kind_is_known",
                condition=Q(kind__in=["asset", "liability", "equity", "income", "expense"]),
            ),
            models.CheckConstraint(
                name="account_cost_class_is_known",
                condition=Q(cost_class__in=["", "direct", "pooled", "bees"]),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.name}"

    @property
    def is_debit_normal(self) -> bool:
        """Whether what the account holds stands on the debit side."""
        return (self.kind in (self.Kind.ASSET, self.Kind.EXPENSE)) is not self.is_contra

    @property
    def sign(self) -> int:
        """Turns debits above zero into the account's own counting, above zero on its own side."""
        return 1 if self.is_debit_normal else -1

    @property
    def is_closed_yearly(self) -> bool:
        """Income, expense and drawings start each fiscal year at zero."""
        return self.kind in (self.Kind.INCOME, self.Kind.EXPENSE) or (self.kind == self.Kind.EQUITY and self.is_contra)


class Period(models.Model):
    """A half-open stretch of a fiscal year; nothing is posted into a locked one."""

    fiscal_year = models.PositiveSmallIntegerField(_("fiscal year"))
    starts_on = models.DateField(_("starts on"), unique=True)
    ends_before = models.DateField(_("ends before"))
    locked_at = models.DateTimeField(_("locked at"), null=True, blank=True)
    locked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(name="period_ends_after_it_starts", condition=Q(ends_before__gt=F("starts_on"))),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def name(self) -> str:
        return date_format(self.starts_on, "M Y")

    @property
    def last_day(self) -> date:
        return self.ends_before - timedelta(days=1)

    @property
    def is_locked(self) -> bool:
        return self.locked_at is not None

    @property
    def lock_word(self) -> str:
        return str(_("locked") if self.is_locked else _("open"))

    @property
    def lock_act(self) -> str:
        """What may be done to it, for a list of periods."""
        return "" if self.is_locked else str(_("Lock %(period)s") % {"period": self})


class Series(models.Model):
    """A gapless run of numbers for one kind of paper in one fiscal year; locked in the issuing transaction."""

    code = models.SlugField(_("series"), max_length=20)
    year = models.PositiveSmallIntegerField(_("year"))
    last_number = models.PositiveIntegerField(_("last number"), default=0)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["code", "year"], name="one_series_a_year")]

    def __str__(self) -> str:
        return f"{self.code} {self.year}"


class Seal(models.Model):
    """Closes an entry: the database admits it only when the lines are two or more and sum to zero."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    sealed_at = models.DateTimeField(auto_now_add=True)


class Entry(models.Model):
    """One posting of value between accounts. `source` is what caused it, `purpose` which of its postings this is."""

    posted_on = models.DateField(_("posted on"), db_index=True)
    period = models.ForeignKey(Period, on_delete=models.PROTECT, related_name="entries")
    source = models.CharField(_("source"), max_length=80)
    purpose = models.CharField(_("purpose"), max_length=40)
    memo = models.CharField(_("memo"), max_length=200)
    reverses = models.OneToOneField("self", on_delete=models.PROTECT, null=True, blank=True, related_name="reversed_by")
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    recorded_at = models.DateTimeField(default=clock.now, editable=False)
    # Deferred: the seal is written last, and an entry without one cannot commit.
    sealed = models.OneToOneField(Seal, on_delete=models.PROTECT, related_name="entry")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["source", "purpose"], name="a_source_posts_each_purpose_once"),
        ]

    def __str__(self) -> str:
        return f"{self.posted_on} {self.memo}"

    @property
    def cause(self) -> str:
        """What caused it, in words: the source, or that a person wrote it."""
        if self.source.startswith("manual:"):
            return str(_("by hand"))
        kind, _colon, key = self.source.partition(":")
        return f"{kind}:{key[:8]}" if LONG_KEY.fullmatch(key) else self.source

    @property
    def belongs_to_the_books(self) -> bool:
        """Whether nothing outside the books stands behind it: written by hand, or closing a year."""
        return self.source.startswith(("manual:", "fiscal-year:"))

    @property
    def reversal(self) -> "Entry | None":
        """The entry that takes this one back; read it with select_related("reversed_by")."""
        return getattr(self, "reversed_by", None)

    @property
    def may_be_reversed(self) -> bool:
        """Whether the bookkeeper may take it back; what came from another page is put right there."""
        return self.belongs_to_the_books and self.reverses_id is None and self.reversal is None

    @property
    def moved_cents(self) -> int:
        """How much it moves: the total of its debits; read it with its lines prefetched."""
        return sum(line.cents for line in self.lines.all() if line.cents > 0)

    @property
    def debited(self) -> str:
        """The names of the accounts debited; read it with lines and accounts prefetched."""
        return self._names(line for line in self.lines.all() if line.cents > 0)

    @property
    def credited(self) -> str:
        """The names of the accounts credited; read it with lines and accounts prefetched."""
        return self._names(line for line in self.lines.all() if line.cents < 0)

    @staticmethod
    def _names(lines: "Iterable[Line]") -> str:
        return ", ".join(dict.fromkeys(line.account.name for line in lines))


class Line(models.Model):
    """A debit (above zero) or credit (below zero) in book currency, in whole cents, for a season."""

    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="lines")
    account = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="lines")
    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="+")
    cents = models.BigIntegerField(_("amount"))
    # Whose part of the account this is, for control accounts: "buyer:12", "supplier:3", "lot:7".
    subject = models.CharField(_("subject"), max_length=80, blank=True)
    memo = models.CharField(_("memo"), max_length=200, blank=True)
    foreign_cents = models.BigIntegerField(_("foreign amount"), null=True, blank=True)
    foreign_currency = models.CharField(_("foreign currency"), max_length=3, blank=True)
    rate = models.DecimalField(_("rate"), max_digits=16, decimal_places=8, null=True, blank=True)

    class Meta:
        constraints = [models.CheckConstraint(name="a_posting_is_never_zero", condition=~Q(cents=0))]
        indexes = [
            # Covers the trial balance and account sums, so that they are read from the index alone.
            models.Index(fields=["account", "season", "cents"], name="line_account_season_cents"),
            # Covers the parts of a control account.
            models.Index(fields=["account", "subject", "cents"], name="line_account_subject_cents"),
        ]

    def __str__(self) -> str:
        return f"{self.account_id} {self.cents}"

    @property
    def debit_cents(self) -> int | None:
        return self.cents if self.cents > 0 else None

    @property
    def credit_cents(self) -> int | None:
        return -self.cents if self.cents < 0 else None

    def amount(self, currency: str) -> Money:
        return Money(self.cents, currency)
