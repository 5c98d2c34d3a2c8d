"""The proofs of a season: each counts one thing from two sides that do not know each other."""

from apiary_ops.business.models import Season
from apiary_ops.closing.compute import Proof
from apiary_ops.margin.queries import season_margin

from .costs import bills_proof, costs_proof, sales_proof
from .deposits import deposits_held_proof, deposits_proof
from .invoices import invoices_proof, owed_proof
from .ledger import trial_balance_proof, unbalanced_entries
from .nucs import handed_over_proof, nucs_proof, promised_proof
from .queens import nucs_in_hand_proof, queens_in_nucs_proof, queens_on_hand_proof, queens_proof

__all__ = [
    "bills_proof",
    "costs_proof",
    "deposits_held_proof",
    "deposits_proof",
    "handed_over_proof",
    "invoices_proof",
    "nucs_in_hand_proof",
    "nucs_proof",
    "owed_proof",
    "promised_proof",
    "proofs",
    "queens_in_nucs_proof",
    "queens_on_hand_proof",
    "queens_proof",
    "sales_proof",
    "trial_balance_proof",
    "unbalanced_entries",
]


def proofs(season_id: int) -> list[Proof]:
    """Every proof of a season as things stand now, in the order of the work.

    Bank statements are not kept yet, so bank per books against statement is not among them.
    """
    season = Season.objects.get(pk=season_id)
    report = season_margin(season.pk)
    return [
        nucs_proof(season),
        handed_over_proof(season),
        promised_proof(season),
        queens_proof(season),
        queens_in_nucs_proof(season),
        queens_on_hand_proof(season),
        nucs_in_hand_proof(season),
        deposits_proof(season),
        deposits_held_proof(season),
        invoices_proof(season),
        owed_proof(season),
        bills_proof(season),
        sales_proof(season, report),
        costs_proof(season, report),
        trial_balance_proof(),
    ]
