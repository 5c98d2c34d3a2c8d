from apiary_ops.core.guards import Guard, append_only, keep_total, refuse

# What a lot arrived as; its running totals are kept from its moves.
_AS_RECEIVED = (
    "order_id",
    "season_id",
    "code",
    "received_on",
    "hive_by",
    "received",
    "dead_on_arrival",
    "unit_price_cents",
    "freight_cents",
    "papers_cents",
    "landed_cents",
    "bill_id",
)

_LOT_TOTALS = ("introduced", "dead", "sold_on", "credited")


def _lot_total(kind: str) -> list[Guard]:
    return keep_total(
        child="queens_queenmove",
        parent="queens_lot",
        link="lot_id",
        total=kind,
        amount=f"CASE WHEN {{row}}.kind = '{kind}' THEN {{row}}.queens ELSE 0 END",
    )


GUARDS = [
    *append_only("queens_queenmove", "A move of queens never changes; record what happened next."),
    *(guard for kind in _LOT_TOTALS for guard in _lot_total(kind)),
    *keep_total(
        child="queens_lot",
        parent="queens_queenorder",
        link="order_id",
        total="received_queens",
        amount="{row}.received",
    ),
    refuse(
        "queens_lot",
        "update",
        " OR ".join(f"NEW.{column} <> OLD.{column}" for column in _AS_RECEIVED),
        "A lot stays as it was received; only its queens move.",
        name="queens_lot_stays_as_received",
    ),
    refuse("queens_lot", "delete", "true", "A lot is never deleted.", name="queens_lot_kept"),
    refuse(
        "queens_queenmove",
        "insert",
        "EXISTS (SELECT 1 FROM queens_lot WHERE id = NEW.lot_id AND received_on > NEW.moved_on)",
        "Queens cannot move before they landed.",
        name="queens_move_after_landing",
    ),
    refuse("queens_queenorder", "delete", "true", "A queen order is never deleted.", name="queens_order_kept"),
]
