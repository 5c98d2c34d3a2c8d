"""What is known of nucs: kinds, days, batches, the nucs themselves, and what they can supply."""

from .days import (
    DonationRow,
    Donor,
    batch_in_full,
    batches,
    donations,
    donations_of,
    donors,
    frames_left,
    given_by_colony,
    given_on,
    split_day,
    split_days,
)
from .holds import held_colonies, held_yards
from .nucs import (
    checks_of,
    kind,
    kinds,
    nuc_in_full,
    nucs,
    nucs_of_batch,
    ready_nucs,
    recipe_of,
    state_counts,
)
from .ready import Standing, readiness, readiness_of, standard_of, standing
from .supply import SupplyRow, supply_rows

__all__ = [
    "DonationRow",
    "Donor",
    "Standing",
    "SupplyRow",
    "batch_in_full",
    "batches",
    "checks_of",
    "donations",
    "donations_of",
    "donors",
    "frames_left",
    "given_by_colony",
    "given_on",
    "held_colonies",
    "held_yards",
    "kind",
    "kinds",
    "nuc_in_full",
    "nucs",
    "nucs_of_batch",
    "readiness",
    "readiness_of",
    "ready_nucs",
    "recipe_of",
    "split_day",
    "split_days",
    "standard_of",
    "standing",
    "state_counts",
    "supply_rows",
]
