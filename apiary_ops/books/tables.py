from urllib.parse import urlencode

from django.utils.html import format_html
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.tables import (
    DateColumn,
    LedgerTable,
    LinkColumn,
    MoneyColumn,
    NumberColumn,
    StateColumn,
    TextColumn,
)
from apiary_ops.core.tables.cells import Show


class SideColumn(MoneyColumn):
    """A debit or a credit; the side an amount does not stand on is left blank."""

    empty_values = (None, "", 0)


class BalanceColumn(MoneyColumn):
    """A balance as its account counts it; below zero it says so."""

    def html(self, table: LedgerTable) -> Show:
        amount = super().html(table)
        mark = format_html('<span class="state state-mind">{}</span>', _("below zero"))
        return lambda value, record: f"{mark} {amount(value, record)}" if value < 0 else amount(value, record)


class JournalTable(LedgerTable):
    caption = _("Entries, newest first")

    memo = LinkColumn(verbose_name=_("What"), url_name="books:entry")
    posted_on = DateColumn(verbose_name=_("Day"))
    debited = TextColumn(verbose_name=_("Debited"), orderable=False)
    credited = TextColumn(verbose_name=_("Credited"), orderable=False)
    moved_cents = MoneyColumn(verbose_name=_("Amount"), orderable=False)
    cause = TextColumn(verbose_name=_("Caused by"), order_by="source")


class EntryLineTable(LedgerTable):
    """The lines of one entry."""

    account = LinkColumn(verbose_name=_("Account"), url_name="books:account", key="account__key", orderable=False)
    subject = TextColumn(verbose_name=_("For"), orderable=False)
    memo = TextColumn(verbose_name=_("Note"), orderable=False)
    season = TextColumn(verbose_name=_("Season"), orderable=False)
    debit_cents = MoneyColumn(verbose_name=_("Debit"), orderable=False)
    credit_cents = MoneyColumn(verbose_name=_("Credit"), orderable=False)


class TrialTable(LedgerTable):
    caption = _("Every account with its balance")

    account = LinkColumn(
        verbose_name=_("Account"), url_name="books:account", key="account__key", order_by="account__number"
    )
    kind = TextColumn(verbose_name=_("Kind"), accessor="account__get_kind_display", orderable=False)
    debit_cents = SideColumn(verbose_name=_("Debit"))
    credit_cents = SideColumn(verbose_name=_("Credit"))
    side_word = StateColumn(verbose_name=_("Mind"), tones="side_tone", orderable=False)


class AccountLineTable(LedgerTable):
    """The postings of one account with the balance after each."""

    caption = _("Postings, newest first")

    memo = LinkColumn(verbose_name=_("What"), accessor="entry__memo", url_name="books:entry", key="entry_id")
    posted_on = DateColumn(verbose_name=_("Day"), accessor="entry__posted_on")
    subject = TextColumn(verbose_name=_("For"), attrs={"cell": {"class": "firm"}})
    season = TextColumn(verbose_name=_("Season"))
    debit_cents = SideColumn(verbose_name=_("Debit"))
    credit_cents = SideColumn(verbose_name=_("Credit"))
    running_cents = BalanceColumn(verbose_name=_("Balance"))

    class Meta:
        orderable = False  # the balance follows the days


class SubjectTable(LedgerTable):
    """Whose part of an account is not settled."""

    caption = _("Not settled")

    subject = TextColumn(
        verbose_name=_("For"), orderable=False, linkify=lambda value: f"?{urlencode({'subject': value})}"
    )
    cents = MoneyColumn(verbose_name=_("Balance"), orderable=False)


class PeriodTable(LedgerTable):
    caption = _("Periods, latest first")

    name = TextColumn(verbose_name=_("Period"), order_by="starts_on")
    fiscal_year = TextColumn(verbose_name=_("Fiscal year"))
    last_day = DateColumn(verbose_name=_("Last day"), orderable=False)
    entry_count = NumberColumn(verbose_name=_("Entries"))
    lock_word = StateColumn(verbose_name=_("State"), tones={}, orderable=False)
    locked_at = DateColumn(verbose_name=_("Locked on"))
    locked_by = TextColumn(verbose_name=_("Locked by"), orderable=False)
    lock_act = LinkColumn(verbose_name=_("Lock"), url_name="books:lock", orderable=False, exclude_from_export=True)


class FiscalYearTable(LedgerTable):
    caption = _("Fiscal years")

    year = TextColumn(verbose_name=_("Fiscal year"), orderable=False)
    starts_on = DateColumn(verbose_name=_("First day"), orderable=False)
    last_day = DateColumn(verbose_name=_("Last day"), orderable=False)
    word = StateColumn(verbose_name=_("State"), tones={}, orderable=False)
    close_act = LinkColumn(
        verbose_name=_("Close"), url_name="books:close-year", key="year", orderable=False, exclude_from_export=True
    )
