from django.utils.translation import gettext_lazy as _

from apiary_ops.core.tables import LedgerTable, MoneyColumn, TextColumn


class EntryLineTable(LedgerTable):
    """The lines of one entry."""

    account = TextColumn(verbose_name=_("Account"), orderable=False)
    subject = TextColumn(verbose_name=_("For"), orderable=False)
    memo = TextColumn(verbose_name=_("Note"), orderable=False)
    season = TextColumn(verbose_name=_("Season"), orderable=False)
    debit_cents = MoneyColumn(verbose_name=_("Debit"), orderable=False)
    credit_cents = MoneyColumn(verbose_name=_("Credit"), orderable=False)
