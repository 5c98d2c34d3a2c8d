from datetime import date

from apiary_ops.yards.queries import holds_open


def held_yards(on: date) -> dict[int, str]:
    """Yards from which nothing moves on a day, each with the reason."""
    return {hold.yard_id: hold.reason for hold in holds_open(on) if hold.colony_id is None}


def held_colonies(on: date) -> dict[int, str]:
    """Colonies on hold by themselves on a day, each with the reason; those of a held yard are not listed again."""
    return {hold.colony_id: hold.reason for hold in holds_open(on) if hold.colony_id is not None}
