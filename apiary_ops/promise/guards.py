from apiary_ops.core.guards import Guard, append_only, only_towards, refuse
from apiary_ops.orders.guards import PROMISED_STATES


def _held(row: str) -> str:
    return f"{row}.state IN {PROMISED_STATES}"


def _count(row: str, sign: str) -> str:
    """Move the release of a line's round and kind by what the line holds."""
    return (
        f"UPDATE promise_release SET promised = promised {sign} "
        f"(CASE WHEN {_held(row)} THEN {row}.quantity ELSE 0 END) "
        f"WHERE round_id = {row}.round_id AND kind_id = {row}.kind_id;"
    )


def _counted() -> str:
    return (
        "(SELECT COALESCE(SUM(one.quantity), 0) FROM orders_line one "
        f"WHERE one.round_id = NEW.round_id AND one.kind_id = NEW.kind_id AND {_held('one')})"
    )


_MOVED = "OLD.round_id <> NEW.round_id OR OLD.kind_id <> NEW.kind_id"
_NOT_RELEASED = (
    "NOT EXISTS (SELECT 1 FROM promise_release r WHERE r.round_id = NEW.round_id AND r.kind_id = NEW.kind_id)"
)
_NOTHING_RELEASED = "Nothing of this kind is released in this round; promise the line through its order's page."

# Release.promised is the sum of its held lines, whoever changes a line: promised <= released is then a plain CHECK.
GUARDS = [
    refuse(
        "orders_line",
        "insert",
        f"{_held('NEW')} AND {_NOT_RELEASED}",
        _NOTHING_RELEASED,
        name="promise_needs_a_release_i",
    ),
    refuse(
        "orders_line",
        "update",
        f"{_held('NEW')} AND (NOT ({_held('OLD')}) OR {_MOVED}) AND {_NOT_RELEASED}",
        _NOTHING_RELEASED,
        name="promise_needs_a_release_u",
    ),
    Guard("promise_release_counts_i", "orders_line", "after", "insert", _held("NEW"), _count("NEW", "+")),
    Guard("promise_release_counts_d", "orders_line", "after", "delete", _held("OLD"), _count("OLD", "-")),
    Guard(
        "promise_release_counts_u",
        "orders_line",
        "after",
        "update",
        f"({_held('OLD')}) <> ({_held('NEW')}) OR OLD.quantity <> NEW.quantity OR {_MOVED}",
        _count("OLD", "-") + " " + _count("NEW", "+"),
    ),
    only_towards("promise_release", "promised", _counted()),
    refuse(
        "promise_release",
        "insert",
        "NEW.promised <> 0",
        "A release starts with nothing promised.",
        name="release_starts",
    ),
    refuse("promise_release", "delete", "true", "A release is never deleted.", name="release_kept"),
    *append_only("promise_telling", "What a buyer was told stays on record; tell them anew."),
    *append_only("promise_override", "A promise beyond the safe number stays on record."),
    *append_only("promise_wait", "Why a line had to wait stays on record."),
]
