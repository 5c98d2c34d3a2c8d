"""How long a certificate still holds."""

from datetime import date
from enum import StrEnum

SOON_DAYS = 30  # an assumption: time to ask the inspector back before it runs out


class Validity(StrEnum):
    GOOD = "good"
    SOON = "soon"  # runs out within SOON_DAYS
    OVER = "over"


def validity(expires_on: date, today: date) -> Validity:
    """Whether a certificate good until `expires_on`, with that day, holds, runs out soon or ran out."""
    if expires_on < today:
        return Validity.OVER
    return Validity.SOON if (expires_on - today).days <= SOON_DAYS else Validity.GOOD
