from decimal import Decimal

from django.utils.translation import gettext_lazy as _

from apiary_ops.core.tables import DateColumn, LedgerTable, LinkColumn, MoneyColumn, NumberColumn, TextColumn


class SeasonTable(LedgerTable):
    caption = _("Seasons, latest first")

    year = TextColumn(verbose_name=_("Spring of"))
    starts_on = DateColumn(verbose_name=_("Starts on"))
    ends_before = DateColumn(verbose_name=_("Ends before"))
    closed_on = DateColumn(verbose_name=_("Closed on"))


class EditableSeasonTable(SeasonTable):
    """The same for those who may change a season: its year opens it."""

    year = LinkColumn(verbose_name=_("Spring of"), url_name="business:season-edit", key="year")


class TermsTable(LedgerTable):
    caption = _("Deposit terms, each from its day on")

    valid_from = DateColumn(verbose_name=_("Valid from"), orderable=False)
    deposit_cents_per_nuc = MoneyColumn(verbose_name=_("Deposit per nuc"), orderable=False)
    due_days = NumberColumn(verbose_name=_("Days to pay"), orderable=False)
    text = TextColumn(verbose_name=_("In words"), orderable=False)


class TaxRateTable(LedgerTable):
    caption = _("Tax rates: confirm them with your accountant")

    category = TextColumn(verbose_name=_("Category"), orderable=False)
    en16931_code = TextColumn(verbose_name=_("EN 16931"), accessor="category__en16931_code", orderable=False)
    percent = NumberColumn(verbose_name=_("Rate"), unit="%", orderable=False)
    valid_from = DateColumn(verbose_name=_("Valid from"), orderable=False)

    def render_percent(self, value: Decimal) -> str:
        return f"{value.normalize():f}"
