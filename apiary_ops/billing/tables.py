from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.tables import DateColumn, LedgerTable, LinkColumn, MoneyColumn, NumberColumn, TextColumn

from .models import Invoice, InvoiceLine

# Numbers and telephones stay on one line.
FIRM = {"cell": {"class": "firm"}}


class InvoiceTable(LedgerTable):
    caption = _("Invoices, latest first")

    number = LinkColumn(verbose_name=_("Invoice"), url_name="billing:invoice", key="number", order_by="id", attrs=FIRM)
    issued_on = DateColumn(verbose_name=_("Issued"))
    buyer = LinkColumn(
        verbose_name=_("Buyer"), accessor="buyer_name", url_name="orders:buyer", key="buyer_id", order_by="buyer_name"
    )
    order = LinkColumn(
        verbose_name=_("Order"), url_name="orders:order", key="order__number", order_by="order__number", attrs=FIRM
    )
    total_cents = MoneyColumn(verbose_name=_("With tax"))
    deposit_cents = MoneyColumn(verbose_name=_("Deposit"))
    paid_cents = MoneyColumn(verbose_name=_("Paid"))
    owed = MoneyColumn(verbose_name=_("Owed"))
    state = TextColumn(verbose_name=_("State"), accessor="owed", orderable=False)

    def render_state(self, record: Invoice) -> SafeString:
        return state_of(record)

    def value_state(self, record: Invoice) -> str:
        return _now("owed") if record.owed else _now("paid")


def state_of(invoice: Invoice) -> SafeString:
    if invoice.owed_cents:
        return format_html('<span class="state state-mind">{}</span>', _now("owed"))
    return format_html('<span class="state state-good">{}</span>', _now("paid"))


class ReceiptTable(LedgerTable):
    caption = _("Receipts, latest first")

    number = LinkColumn(verbose_name=_("Receipt"), url_name="billing:receipt", key="number", order_by="id", attrs=FIRM)
    received_on = DateColumn(verbose_name=_("Received"))
    buyer = LinkColumn(
        verbose_name=_("Buyer"), accessor="buyer_name", url_name="orders:buyer", key="buyer_id", order_by="buyer_name"
    )
    order = LinkColumn(
        verbose_name=_("Order"), url_name="orders:order", key="order__number", order_by="order__number", attrs=FIRM
    )
    purpose = TextColumn(verbose_name=_("For"))
    method = TextColumn(verbose_name=_("How"))
    cents = MoneyColumn(verbose_name=_("Amount"))


class HeldTable(LedgerTable):
    caption = _("Deposits held, latest order first")

    order = LinkColumn(
        verbose_name=_("Order"), url_name="orders:order", key="order__number", order_by="order__number", attrs=FIRM
    )
    buyer = LinkColumn(
        verbose_name=_("Buyer"),
        accessor="order__buyer",
        url_name="orders:buyer",
        key="order__buyer_id",
        order_by="order__buyer__search_key",
    )
    placed_on = DateColumn(verbose_name=_("Placed"), accessor="order__placed_on")
    asked = MoneyColumn(verbose_name=_("Asked"), accessor="order__deposit_due_cents")
    taken_cents = MoneyColumn(verbose_name=_("Taken"))
    applied_cents = MoneyColumn(verbose_name=_("Used for nucs"))
    held = MoneyColumn(verbose_name=_("Held"))


class OwesTable(LedgerTable):
    caption = _("Who owes, the most first")

    buyer = LinkColumn(verbose_name=_("Buyer"), accessor="name", url_name="orders:buyer", order_by="search_key")
    phone = TextColumn(verbose_name=_("Telephone"), orderable=False, attrs=FIRM)
    unpaid = NumberColumn(verbose_name=_("Unpaid invoices"))
    oldest = DateColumn(verbose_name=_("Oldest of"))
    owed = MoneyColumn(verbose_name=_("Owed"))


class InvoiceLineTable(LedgerTable):
    caption = _("What was handed over")

    description = TextColumn(verbose_name=_("What"), orderable=False)
    quantity = NumberColumn(verbose_name=_("Nucs"), orderable=False)
    price_cents = MoneyColumn(verbose_name=_("Each, before tax"), orderable=False)
    tax = TextColumn(verbose_name=_("Tax"), accessor="tax_code", orderable=False)
    net_cents = MoneyColumn(verbose_name=_("Before tax"), orderable=False)

    def render_tax(self, record: InvoiceLine) -> str:
        tax = next(tax for tax in record.invoice.taxes if tax["code"] == record.tax_code)
        return f"{tax['name']} {tax['percent']} %"
