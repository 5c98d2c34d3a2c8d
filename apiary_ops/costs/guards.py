from apiary_ops.core.guards import append_only, keep_total, refuse

FIXED = (
    "season_id",
    "supplier_id",
    "reference",
    "billed_on",
    "due_on",
    "total_cents",
    "entry_id",
    "recorded_by_id",
)

GUARDS = [
    # What a payment still counts; a reversed one counts nothing. The bill's own check refuses paying too much.
    *keep_total(
        child="costs_billpayment",
        parent="costs_bill",
        link="bill_id",
        total="paid_cents",
        amount="CASE WHEN {row}.reversed_on IS NULL THEN {row}.cents ELSE 0 END",
    ),
    refuse("costs_bill", "insert", "NEW.paid_cents <> 0", "A new bill is unpaid.", name="costs_bill_starts_unpaid"),
    refuse(
        "costs_bill",
        "update",
        " OR ".join(f"NEW.{column} <> OLD.{column}" for column in FIXED),
        "A bill never changes; reverse it and record it anew.",
        name="costs_bill_stays_as_recorded",
    ),
    refuse(
        "costs_bill",
        "update",
        "OLD.reversed_on IS NOT NULL",
        "A reversed bill stays reversed.",
        name="costs_bill_stays_reversed",
    ),
    refuse("costs_bill", "delete", "true", "A bill is never deleted; reverse it.", name="costs_bill_kept"),
    *append_only("costs_billline", "The parts of a bill never change; reverse the bill and record it anew."),
    refuse(
        "costs_billpayment",
        "update",
        "OLD.reversed_on IS NOT NULL OR NEW.reversed_on IS NULL OR NEW.cents <> OLD.cents"
        " OR NEW.bill_id <> OLD.bill_id OR NEW.paid_on <> OLD.paid_on OR NEW.paid_from <> OLD.paid_from"
        " OR NEW.entry_id <> OLD.entry_id",
        "A payment never changes; reverse it and enter it anew.",
        name="costs_billpayment_only_reversed",
    ),
    refuse(
        "costs_billpayment",
        "delete",
        "true",
        "A payment is never deleted; reverse it.",
        name="costs_billpayment_kept",
    ),
]
