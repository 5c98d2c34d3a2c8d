from django.utils.translation import gettext_lazy as _

from apiary_ops.core.tables import (
    DateColumn,
    LedgerTable,
    LinkColumn,
    MoneyColumn,
    StateColumn,
    TextColumn,
)


class BillTable(LedgerTable):
    caption = _("Bills: what is owed first, by the day it is due")

    reference = LinkColumn(verbose_name=_("Their number"), url_name="costs:bill")
    supplier = TextColumn(verbose_name=_("Supplier"), order_by="supplier__name")
    billed_on = DateColumn(verbose_name=_("Billed on"))
    due_on = DateColumn(verbose_name=_("Due on"))
    total_cents = MoneyColumn(verbose_name=_("Total"))
    owed_cents = MoneyColumn(verbose_name=_("Owed"), orderable=False)
    standing_word = StateColumn(verbose_name=_("Standing"), tones="standing_tone", orderable=False)


class BillLineTable(LedgerTable):
    caption = _("What it charges")

    description = TextColumn(verbose_name=_("What"), orderable=False)
    account = TextColumn(verbose_name=_("Charged to"), orderable=False)
    subject = TextColumn(verbose_name=_("For"), orderable=False)
    cents = MoneyColumn(verbose_name=_("Amount"), orderable=False)


class PaymentTable(LedgerTable):
    caption = _("What was paid")

    paid_on = DateColumn(verbose_name=_("Paid on"), orderable=False)
    paid_from = TextColumn(verbose_name=_("From"), orderable=False)
    cents = MoneyColumn(verbose_name=_("Amount"), orderable=False)
    standing_word = StateColumn(verbose_name=_("Standing"), tones={}, orderable=False)
    reverse_act = LinkColumn(
        verbose_name=_("Put right"), url_name="costs:payment-reverse", orderable=False, exclude_from_export=True
    )


class SupplierTable(LedgerTable):
    caption = _("Everyone we buy from")

    name = LinkColumn(verbose_name=_("Name"), url_name="costs:supplier-edit")
    phone = TextColumn(verbose_name=_("Telephone"))
    email = TextColumn(verbose_name=_("E-mail"))
    queens_word = StateColumn(verbose_name=_("Sells queens"), tones={}, orderable=False)
    currency = TextColumn(verbose_name=_("Bills in"))
    owed_cents = MoneyColumn(verbose_name=_("Owed"))
