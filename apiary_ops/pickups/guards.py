from apiary_ops.core.guards import append_only, keep_total, refuse, state_path

# What may become of a booking; the guard and the diagram in DEVELOPERS.md are made from this.
BOOKING_PATHS: dict[str, tuple[str, ...]] = {
    "booked": ("collected", "missed", "cancelled"),
    "missed": ("booked", "cancelled"),
    "collected": (),
    "cancelled": (),
}

GUARDS = [
    # A place is taken by whoever is still to come and by whoever came; a CHECK on the window refuses one too many.
    *keep_total(
        child="pickups_booking",
        parent="pickups_window",
        link="window_id",
        total="booked",
        amount="CASE WHEN {row}.state IN ('booked', 'collected') THEN 1 ELSE 0 END",
    ),
    state_path("pickups_booking", "state", BOOKING_PATHS, "booking"),
    refuse("pickups_booking", "delete", "true", "A booking is never deleted; cancel it.", name="pickups_booking_kept"),
    refuse(
        "pickups_booking", "update of order_id", "true", "A booking stays with its order.", name="pickups_booking_order"
    ),
    refuse(
        "pickups_bookingline",
        "insert",
        "NOT EXISTS (SELECT 1 FROM pickups_booking JOIN orders_line ON orders_line.order_id = pickups_booking.order_id"
        " WHERE pickups_booking.id = NEW.booking_id AND orders_line.id = NEW.line_id)",
        "A booking is for lines of its own order.",
        name="pickups_bookingline_of_its_order",
    ),
    *append_only("pickups_bookingline", "What was booked never changes; cancel the booking and book again."),
    # A hand-over is what happened at the gate.
    *append_only("pickups_handover", "A hand-over never changes; what comes back is a claim."),
    *append_only("pickups_handednuc", "A nuc that was handed over stays handed over; what comes back is a claim."),
    refuse(
        "pickups_handednuc",
        "insert",
        "NOT EXISTS (SELECT 1 FROM nucs_nuc WHERE id = NEW.nuc_id AND state = 'handed over')",
        "Only a nuc that left is written down as handed over.",
        name="pickups_handednuc_left",
    ),
    refuse(
        "pickups_handednuc",
        "insert",
        "NOT EXISTS (SELECT 1 FROM pickups_handover JOIN orders_line"
        " ON orders_line.order_id = pickups_handover.order_id"
        " WHERE pickups_handover.id = NEW.hand_over_id AND orders_line.id = NEW.line_id)",
        "A hand-over fulfils lines of its own order.",
        name="pickups_handednuc_of_its_order",
    ),
    *keep_total(child="pickups_handednuc", parent="orders_line", link="line_id", total="collected", amount="1"),
]
