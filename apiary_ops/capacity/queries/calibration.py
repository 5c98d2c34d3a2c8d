"""What the grower's own pairs of counts say of the factors, with the growth between two days taken out."""

from collections.abc import Sequence
from datetime import date

import numpy as np

from apiary_ops.capacity import compute
from apiary_ops.nucs import queries as nucs
from apiary_ops.yards import compute as yard_rules
from apiary_ops.yards import queries as yards

from .stated import assumptions


def own_factors(season_id: int, today: date) -> list[yard_rules.OwnFactor]:
    """For each view and band with pairs of this season, the factor they speak for; same-minute pairs and days apart.

    Where a colony gave or took frames between its two looks, the pair says nothing.
    """
    counts, factors = yards.counts_of_season(season_id, today), yards.factor_table(today)
    moved = yards.frames_moved_on({count.colony_id for count in counts})
    moved += [(row.colony_id, row.on) for row in nucs.donations(season_id)]
    by_colony: dict[int, list[date]] = {}
    for colony, on in moved:
        by_colony.setdefault(colony, []).append(on)
    pairs = [
        pair
        for pair in yard_rules.day_pairs(counts, factors)
        if not any(pair.first_on <= on <= pair.second_on for on in by_colony.get(pair.colony_id, ()))
    ]
    found = yard_rules.temperature_factors(pairs, _growths(season_id, pairs))
    for band, ratios in yard_rules.view_factors(counts, factors).items():
        found.setdefault(band, []).extend(ratios)
    return yard_rules.own_factors(found, factors)


def _growths(season_id: int, pairs: Sequence[yard_rules.DayPair]) -> list[float]:
    """By how much the build-up multiplies each pair's bees between its days, in the season's middle spring."""
    known = [pair for pair in pairs if pair.first_on.month <= compute.LAST_LOOK_MONTH]
    if not known:
        return [0.0] * len(pairs)
    first_on = min(pair.first_on for pair in known)
    run = compute.build_up(
        [float(pair.start_frames) for pair in known],
        np.nan,
        starts_on=[pair.first_on for pair in known],
        days=(max(pair.second_on for pair in known) - first_on).days,
        spring_shift_days=assumptions(season_id).middle_shift_days,
    )
    growths = (
        float(frames[run.index_of(pair.second_on)] / frames[run.index_of(pair.first_on)])
        for pair, frames in zip(known, run.bees_frames.T, strict=True)
    )
    # What was counted late in the year lies outside the build-up: its growth is not known, and it says nothing.
    return [next(growths) if pair.first_on.month <= compute.LAST_LOOK_MONTH else 0.0 for pair in pairs]
