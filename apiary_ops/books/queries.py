from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.db.models import Count, F, Max, Min, Prefetch, Q, QuerySet, Sum, Window
from django.utils.translation import gettext_lazy as _

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
        return self.cents * self.account.sign

    @property
    def is_below_zero(self) -> bool:
        """Whether the account stands on the side it should not, as an overdrawn bank does."""
        return self.own_cents < 0

    @property
    def side_word(self) -> str:
        return str(_("below zero")) if self.is_below_zero else ""

    @property
    def side_note(self) -> str:
        """Which side it stands on, in words."""
        if not self.cents:
            return ""
        side = _("on the debit side") if self.cents > 0 else _("on the credit side")
        return f"{side}, {_('below zero')}" if self.is_below_zero else str(side)

    @property
    def side_tone(self) -> str:
        return "mind" if self.is_below_zero else ""


@dataclass(frozen=True, slots=True)
class FiscalYear:
    year: int
    starts_on: date
    ends_before: date
    is_closed: bool

    @property
    def last_day(self) -> date:
        return self.ends_before - timedelta(days=1)

    @property
    def word(self) -> str:
        return str(_("closed") if self.is_closed else _("open"))

    @property
    def close_act(self) -> str:
        return "" if self.is_closed else str(_("Close %(year)s") % {"year": self.year})


def accounts() -> QuerySet[Account]:
    """The chart in order."""
    return Account.objects.order_by("number")


def account_choices(rows: QuerySet[Account]) -> list[tuple[str, list[tuple[str, str]]]]:
    """Accounts for a select: their kinds, each with the keys and names of its accounts."""
    kinds: dict[str, list[tuple[str, str]]] = {}
    for account in rows:
        kinds.setdefault(account.get_kind_display(), []).append((account.key, str(account)))
    return list(kinds.items())


def periods() -> QuerySet[Period]:
    """Every period, latest first."""
    return Period.objects.order_by("-starts_on")


def periods_with_counts() -> QuerySet[Period]:
    """Every period, latest first, with `entry_count` and who locked it."""
    return periods().select_related("locked_by").annotate(entry_count=Count("entries"))


def fiscal_years() -> list[FiscalYear]:
    """Every fiscal year, latest first; it is closed when closing it would move nothing more."""
    years = Period.objects.values_list("fiscal_year").annotate(first=Min("starts_on"), after=Max("ends_before"))
    yearly = [account.pk for account in accounts() if account.is_closed_yearly]
    standing = Line.objects.filter(account_id__in=yearly).values("entry__period__fiscal_year", "account_id")
    unclosed = {row["entry__period__fiscal_year"] for row in standing.annotate(cents=Sum("cents")).exclude(cents=0)}
    closed = set(Entry.objects.filter(source__startswith=CLOSING_SOURCE).values_list("period__fiscal_year", flat=True))
    return [
        FiscalYear(year, first, after, is_closed=year in closed - unclosed)
        for year, first, after in years.order_by("-fiscal_year")
    ]


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
    return without_closing(rows) if before_closing else rows


def without_closing(rows: QuerySet[Line]) -> QuerySet[Line]:
    """Those postings that are not part of closing a fiscal year."""
    return rows.exclude(entry__source__startswith=CLOSING_SOURCE)


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
    return total(rows)


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
    return trial_balance_of(rows)


def trial_balance_of(rows: QuerySet[Line]) -> list[TrialRow]:
    """Every account of the chart, in order, with the sum of its postings among `rows`."""
    # Grouped from the postings, not from the accounts: the covering index then answers alone.
    sums = dict(rows.values_list("account_id").annotate(cents=Sum("cents")).order_by())
    return [TrialRow(account, sums.get(account.pk, 0)) for account in accounts()]


def subject_balances(
    account_key: str, *, season_id: int | None = None, until: date | None = None, starts_with: str = ""
) -> dict[str, int]:
    """An account split by subject, in cents; the parts add up to its balance. Settled subjects stay, at 0.

    `starts_with` narrows to one kind of subject, such as "buyer:".
    """
    rows = lines(account_keys=[account_key], season_id=season_id, until=until).filter(subject__startswith=starts_with)
    return dict(rows.values_list("subject").annotate(cents=Sum("cents")).order_by("subject"))


def open_subjects(account: Account) -> QuerySet[Line, Any]:
    """Whose part of an account is not settled: `subject` and `cents`, as the account counts it."""
    parts = lines(account_keys=[account.key]).exclude(subject="").values("subject")
    return parts.annotate(cents=Sum(F("cents") * account.sign)).exclude(cents=0).order_by("subject")


def of_subject(rows: QuerySet[Line], text: str) -> QuerySet[Line]:
    """Those postings for a whole subject such as "order:2027-0001", or for every subject that holds a piece of text."""
    return rows.filter(subject=text) if ":" in text else rows.filter(subject__icontains=text)


def total(rows: QuerySet[Line]) -> int:
    """The sum of postings in cents: debit above zero, credit below."""
    return rows.order_by().aggregate(cents=Sum("cents"))["cents"] or 0


def newest_first(rows: QuerySet[Line]) -> QuerySet[Line]:
    """Postings for the page of an account."""
    return rows.select_related("entry", "season").order_by("-entry__posted_on", "-entry_id", "-pk")


def with_running_balance(rows: QuerySet[Line], account: Account) -> QuerySet[Line]:
    """Postings of one account, newest first, each with `running_cents`: the balance after it, of those among `rows`.

    It is counted as the account counts, above zero on its own side. For all of an account; a page of it is quicker
    with `set_running_balances`.
    """
    order = [F("entry__posted_on"), F("entry_id"), F("pk")]
    return newest_first(rows.annotate(running_cents=Window(Sum(F("cents") * account.sign), order_by=order)))


def set_running_balances(page: Sequence[Line], rows: QuerySet[Line], account: Account) -> None:
    """Give each line of one page of `newest_first(rows)` its `running_cents`, with one sum for the whole page."""
    if not page:
        return
    top = page[0]
    day, entry_id = top.entry.posted_on, top.entry_id
    earlier = Q(entry__posted_on__lt=day) | Q(entry__posted_on=day, entry_id__lt=entry_id)
    balance = account.sign * total(rows.filter(earlier | Q(entry_id=entry_id, pk__lte=top.pk)))
    for line in page:
        line.running_cents = balance  # type: ignore[attr-defined]  # as the window of the other query names it
        balance -= account.sign * line.cents


def entries() -> QuerySet[Entry]:
    """The journal, newest first, with lines and accounts at hand."""
    return Entry.objects.prefetch_related(_lines_in_order("account")).order_by("-posted_on", "-pk")


def _lines_in_order(*related: str) -> Prefetch[str]:
    return Prefetch("lines", Line.objects.select_related(*related).order_by("pk"))


def touching(rows: QuerySet[Entry], account: Account) -> QuerySet[Entry]:
    """Those entries that debit or credit an account."""
    return rows.filter(pk__in=Line.objects.filter(account=account).values("entry_id"))


def about(rows: QuerySet[Entry], text: str) -> QuerySet[Entry]:
    """Those entries whose words, source or subjects hold `text`."""
    by_line = Line.objects.filter(Q(subject__icontains=text) | Q(memo__icontains=text)).values("entry_id")
    return rows.filter(Q(memo__icontains=text) | Q(source__icontains=text) | Q(pk__in=by_line))


def entries_in_full() -> QuerySet[Entry]:
    """Entries with their lines, who recorded them, and what they reverse or are reversed by."""
    rows = Entry.objects.select_related("period", "recorded_by", "reverses", "reversed_by")
    return rows.prefetch_related(_lines_in_order("account", "season"))


def entry(pk: int) -> Entry:
    """One entry in full. Raises Entry.DoesNotExist."""
    return entries_in_full().get(pk=pk)
