from apiary_ops.core.guards import Guard, append_only, keep_total, refuse

MOVE_KINDS = ("taken", "applied", "refunded", "kept", "moved")
FROZEN_COLUMNS = (
    "series_year, serial, number, order_id, buyer_id, source, issued_on, supplied_on, currency, seller, buyer_name, "
    "buyer_address, net_cents, tax_cents, total_cents, deposit_cents, taxes, entry_id, issued_by_id, issued_at"
)


def _deposit_totals() -> list[Guard]:
    """Each total of a deposit is the sum of its moves."""
    guards: list[Guard] = []
    for kind in MOVE_KINDS:
        total = f"{kind}_cents"
        guards += keep_total(
            child="billing_depositmove",
            parent="billing_deposit",
            link="deposit_id",
            total=total,
            amount=f"CASE WHEN {{row}}.kind = '{kind}' THEN {{row}}.cents ELSE 0 END",
        )
    return guards


def _gapless(table: str, noun: str) -> Guard:
    return refuse(
        table,
        "insert",
        f"NEW.serial <> 1 + (SELECT COALESCE(MAX(serial), 0) FROM {table} WHERE series_year = NEW.series_year)",
        f"{noun} are numbered without gaps.",
        name=f"{table}_gapless",
    )


GUARDS = [
    *_deposit_totals(),
    refuse(
        "billing_deposit",
        "insert",
        " OR ".join(f"NEW.{kind}_cents <> 0" for kind in MOVE_KINDS),
        "A deposit begins empty.",
        name="billing_deposit_begins_empty",
    ),
    refuse("billing_deposit", "delete", "true", "A deposit is never deleted.", name="billing_deposit_kept"),
    *append_only("billing_depositmove", "A move of a deposit never changes; record another."),
    # Papers.
    _gapless("billing_receipt", "Receipts"),
    *append_only("billing_receipt", "A receipt never changes."),
    _gapless("billing_invoice", "Invoices"),
    refuse(
        "billing_invoice",
        f"update of {FROZEN_COLUMNS}",
        "true",
        "An issued invoice never changes.",
        name="billing_invoice_frozen",
    ),
    refuse("billing_invoice", "delete", "true", "An issued invoice is never deleted.", name="billing_invoice_kept"),
    *append_only("billing_invoiceline", "A line of an issued invoice never changes."),
    refuse(
        "billing_invoiceline",
        "insert",
        "(SELECT SUM(net_cents) FROM billing_invoiceline WHERE invoice_id = NEW.invoice_id) > "
        "(SELECT net_cents FROM billing_invoice WHERE id = NEW.invoice_id)",
        "An issued invoice takes no more lines.",
        name="billing_invoiceline_within_net",
        moment="after",
    ),
    # What was paid on an invoice is the sum of its payments.
    refuse(
        "billing_invoice",
        "insert",
        "NEW.paid_cents <> 0",
        "An invoice begins unpaid.",
        name="billing_invoice_begins_unpaid",
    ),
    *keep_total(
        child="billing_invoicepayment",
        parent="billing_invoice",
        link="invoice_id",
        total="paid_cents",
        amount="{row}.cents",
    ),
    *append_only("billing_invoicepayment", "A payment never changes; record another."),
]
