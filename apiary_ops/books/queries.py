from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import F, Prefetch, Q, QuerySet, Sum, Window

from .models import Account, Entry, Line, Period

# Closing entries and their reversals name the fiscal year as their source: "fiscal-year:2027".
CLOSING_SOURCE = "fiscal-year:"


@dataclass(frozen=True, slots=True)
class TrialRow:
    """An account with its balance: debit above zero, credit below."""

    account: Account
    cents: int

    @property
    def debit_cents(self) -> int:
        return max(self.cents, 0)

    @property
    def credit_cents(self) -> int:
        return max(-self.cents, 0)

    @property
    def own_cents(self) -> int:
        """The balance as the account counts it: above zero on its own side."""
        return self.cents if self.account.is_debit_normal else -self.cents

    @property
    def is_below_zero(self) -> bool:
        """Whether the account stands on the side it should not, as an overdrawn bank does."""
        return self.own_cents < 0


def accounts() -> QuerySet[Account]:
    """The chart in order."""
    return Account.objects.order_by("number")


def account(key: str) -> Account:
    """One account. Raises Account.DoesNotExist."""
    return Account.objects.get(key=key)


def periods() -> QuerySet[Period]:
    """Every period, latest first."""
    return Period.objects.select_related("locked_by").order_by("-starts_on")


def period_of(day: date) -> Period | None:
    """The period that holds a day."""
    return Period.objects.filter(starts_on__lte=day, ends_before__gt=day).first()


def lines(
    *,
    account_keys: Iterable[str] | None = None,
    season_id: int | None = None,
    subject: str | None = None,
    until: date | None = None,
    before_closing: bool = False,
) -> QuerySet[Line]:
    """The postings behind a figure, unordered: all of them, or those of accounts, a season, a subject, until a day.

    `until` is the last day counted. `before_closing` leaves out the entries that close a fiscal year.
    """
    rows = Line.objects.all()
    if account_keys is not None:
        rows = rows.filter(account__key__in=list(account_keys))
    if season_id is not None:
        rows = rows.filter(season_id=season_id)
    if subject is not None:
        rows = rows.filter(subject=subject)
    if until is not None:
        rows = rows.filter(entry__posted_on__lte=until)
    if before_closing:
        rows = rows.exclude(entry__source__startswith=CLOSING_SOURCE)
    return rows


def balance(
    account_key: str,
    *,
    season_id: int | None = None,
    subject: str | None = None,
    until: date | None = None,
    before_closing: bool = False,
) -> int:
    """The balance of an account in cents: debit above zero, credit below. An unknown account balances to 0."""
    rows = lines(
        account_keys=[account_key],
        season_id=season_id,
        subject=subject,
        until=until,
        before_closing=before_closing,
    )
    return rows.aggregate(cents=Sum("cents"))["cents"] or 0


def balances(
    *,
    season_id: int | None = None,
    subject: str | None = None,
    until: date | None = None,
    before_closing: bool = False,
) -> dict[str, int]:
    """The balance of every account of the chart by its key, in cents: debit above zero, credit below, 0 for none."""
    rows = trial_balance(season_id=season_id, subject=subject, until=until, before_closing=before_closing)
    return {row.account.key: row.cents for row in rows}


def trial_balance(
    *,
    season_id: int | None = None,
    subject: str | None = None,
    until: date | None = None,
    before_closing: bool = False,
) -> list[TrialRow]:
    """Every account of the chart, in order, with its balance; all balances together are zero.

    Once a year is closed, its income and expense stand at zero; `before_closing` shows them as they were.
    """
    rows = lines(season_id=season_id, subject=subject, until=until, before_closing=before_closing)
    # Grouped from the postings, not from the accounts: the covering index then answers alone.
    sums = dict(rows.values_list("account_id").annotate(cents=Sum("cents")).order_by())
    return [TrialRow(account, sums.get(account.pk, 0)) for account in accounts()]


def subject_balances(
    account_key: str,
    *,
    season_id: int | None = None,
    until: date | None = None,
    starts_with: str = "",
) -> dict[str, int]:
    """An account split by subject, in cents; the parts add up to its balance. Settled subjects stay, at 0.

    `starts_with` narrows to one kind of subject, such as "buyer:".
    """
    rows = lines(account_keys=[account_key], season_id=season_id, until=until)
    if starts_with:
        rows = rows.filter(subject__startswith=starts_with)
    return dict(rows.values_list("subject").annotate(cents=Sum("cents")).order_by("subject"))


def account_lines(
    account_key: str, *, season_id: int | None = None, subject: str | None = None, until: date | None = None
) -> QuerySet[Line]:
    """The postings of an account, newest first, each with `running_cents`: the balance after it, as the lines shown."""
    rows = lines(account_keys=[account_key], season_id=season_id, subject=subject, until=until)
    order = [F("entry__posted_on"), F("entry_id"), F("pk")]
    rows = rows.annotate(running_cents=Window(Sum("cents"), order_by=order))
    return rows.select_related("entry", "season").order_by("-entry__posted_on", "-entry_id", "-pk")


def entries(
    *,
    account_id: int | None = None,
    period_id: int | None = None,
    season_id: int | None = None,
    text: str = "",
) -> QuerySet[Entry]:
    """The journal, newest first, with lines and accounts at hand; `text` looks in memo, source and subjects."""
    rows = Entry.objects.all()
    if account_id is not None:
        rows = rows.filter(pk__in=Line.objects.filter(account_id=account_id).values("entry_id"))
    if season_id is not None:
        rows = rows.filter(pk__in=Line.objects.filter(season_id=season_id).values("entry_id"))
    if period_id is not None:
        rows = rows.filter(period_id=period_id)
    if text:
        by_subject = Line.objects.filter(Q(subject__icontains=text) | Q(memo__icontains=text)).values("entry_id")
        rows = rows.filter(Q(memo__icontains=text) | Q(source__icontains=text) | Q(pk__in=by_subject))
    return rows.prefetch_related("lines__account").order_by("-posted_on", "-pk")


def entries_in_full() -> QuerySet[Entry]:
    """Entries with their lines, who recorded them, and what they reverse or are reversed by."""
    rows = Entry.objects.select_related("period", "recorded_by", "reverses", "reversed_by")
    ordered = Line.objects.select_related("account", "season").order_by("pk")
    return rows.prefetch_related(Prefetch("lines", ordered))


def entry(pk: int) -> Entry:
    """One entry in full. Raises Entry.DoesNotExist."""
    return entries_in_full().get(pk=pk)


def entries_of(source: str) -> QuerySet[Entry]:
    """What one source posted, in the order it was posted."""
    return Entry.objects.filter(source=source).prefetch_related("lines__account").order_by("pk")
