"""What limits the nucs of a week besides bees and brood, all counted from now to the end of that week."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal


@dataclass(frozen=True)
class YardLimit:
    """Nucs that a yard's bees, and its brood, would allow if all were made in that week."""

    yard: int
    week: date
    bees: int
    brood: int


@dataclass(frozen=True)
class Colonies:
    """Nucs the colonies could give by a week: together, and were bees or brood the only limit."""

    nucs: int
    by_bees: int
    by_brood: int


@dataclass(frozen=True)
class WeekStock:
    """What a week adds; None is "not stated"."""

    week: date
    boxes: int | None = None
    drawn_combs: int | None = None
    food_frames: int | None = None
    person_days: Decimal | None = None
    pickup_places: int | None = None


@dataclass(frozen=True)
class Needs:
    """What one nuc of a kind takes besides bees, brood and its box."""

    drawn_combs: Decimal
    food_frames: Decimal
    weeks_to_sale: int


@dataclass(frozen=True)
class Spent:
    """What nucs made this season took already; `standing` of them have yet to be handed over."""

    boxes: int = 0
    drawn_combs: Decimal = Decimal(0)
    food_frames: Decimal = Decimal(0)
    standing: int = 0


def colonies_by(rows: Sequence[YardLimit], week: date, nucs: int) -> Colonies:
    """The limits of each yard's best week up to `week`, added up; `nucs` is what the yards give together by then.

    A yard short of bees cannot use another yard's: the scarcer of the two in the whole is the one that, were it
    plenty everywhere, would add more; it stands at `nucs`.
    """
    best: dict[int, YardLimit] = {}
    for row in sorted(rows, key=lambda row: (row.week, row.yard)):
        if row.week <= week and (row.yard not in best or _nucs(row) > _nucs(best[row.yard])):
            best[row.yard] = row
    bees, brood = sum(row.bees for row in best.values()), sum(row.brood for row in best.values())
    if bees < brood:
        return Colonies(nucs, nucs, max(nucs, brood))
    return Colonies(nucs, max(nucs, bees), nucs)


def limits_by(
    week: date,
    *,
    this_week: date,
    colonies: Colonies,
    queens: int | None,
    stated: Sequence[WeekStock],
    needs: Needs,
    spent: Spent,
    nucs_per_person_day: int,
) -> dict[str, int]:
    """Nucs that each resource allows from now to the end of `week`; a resource nobody stated is left out.

    `queens` are those in hand now and due by then, None when none were ordered. People work from `this_week` on.
    A nuc made by `week` is collected up to `weeks_to_sale` later, after those that stand ready now.
    """
    sold_by = week + timedelta(weeks=needs.weeks_to_sale)
    ahead = [row for row in stated if row.week >= this_week]
    counted = {
        "brood": colonies.by_brood,
        "bees": colonies.by_bees,
        "queens": queens,
        "boxes": _left(_added(stated, "boxes", week), spent.boxes, Decimal(1)),
        "drawn combs": _left(_added(stated, "drawn_combs", week), spent.drawn_combs, needs.drawn_combs),
        "food frames": _left(_added(stated, "food_frames", week), spent.food_frames, needs.food_frames),
        "crew": _times(_added(ahead, "person_days", week), nucs_per_person_day),
        "pickup places": _left(_added(ahead, "pickup_places", sold_by), spent.standing, Decimal(1)),
    }
    return {name: nucs for name, nucs in counted.items() if nucs is not None}


def _nucs(row: YardLimit) -> int:
    return min(row.bees, row.brood)


def _added(rows: Sequence[WeekStock], what: str, until: date) -> Decimal | None:
    """The sum of what the weeks up to `until` add, or None when no week states any."""
    stated = [Decimal(getattr(row, what)) for row in rows if row.week <= until and getattr(row, what) is not None]
    return sum(stated, Decimal(0)) if stated else None


def _left(added: Decimal | None, spent: Decimal | int, each: Decimal) -> int | None:
    """Nucs that what is left allows; a kind that takes none of it is not limited."""
    if added is None or not each:
        return None
    return int(max(Decimal(0), added - spent) // each)


def _times(added: Decimal | None, each: int) -> int | None:
    return None if added is None else int(added * each)
