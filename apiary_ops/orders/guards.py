from apiary_ops.core.guards import refuse

# What Line.PROMISED_STATES says, for the database.
PROMISED_STATES = "('promised', 'part collected', 'collected')"

# The path of a line's state is registered beside these in apps.py, from Line.PATHS.
GUARDS = [
    refuse(
        "orders_line",
        "update",
        f"OLD.state IN {PROMISED_STATES} AND (OLD.quantity <> NEW.quantity OR OLD.kind_id <> NEW.kind_id "
        "OR OLD.price_cents <> NEW.price_cents OR OLD.tax_category_id <> NEW.tax_category_id)",
        "What was promised keeps its kind, number and price; cancel the line and take a new one.",
        name="orders_line_stands_once_promised",
    ),
    refuse("orders_line", "delete", "true", "A line is never deleted; cancel it.", name="orders_line_kept"),
    refuse("orders_order", "delete", "true", "An order is never deleted; cancel its lines.", name="orders_order_kept"),
]
