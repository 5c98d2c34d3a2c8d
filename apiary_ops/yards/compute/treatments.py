"""What a treatment's label asks of the colony and the day."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Label:
    """Days in the hive, and the strength in frames and the warmth in °C that a treatment asks for."""

    least_days: int
    most_days: int
    least_frames: Decimal | None = None
    warmest_c: Decimal | None = None

    def is_too_warm(self, temperature_c: Decimal | None) -> bool:
        return self.warmest_c is not None and temperature_c is not None and temperature_c > self.warmest_c

    def is_too_weak(self, frames: Decimal | None) -> bool:
        """Whether a colony covers fewer frames than asked; one that was not counted is left to a person."""
        return self.least_frames is not None and frames is not None and frames < self.least_frames

    def too_weak(self, strengths: Mapping[str, Decimal | None]) -> list[str]:
        """The tags of colonies that may not have it."""
        return [tag for tag, frames in strengths.items() if self.is_too_weak(frames)]

    def not_counted(self, strengths: Mapping[str, Decimal | None]) -> list[str]:
        """The tags of colonies that must be judged on the spot."""
        return [tag for tag, frames in strengths.items() if self.least_frames is not None and frames is None]

    def last_day(self, starts_on: date) -> date:
        """The day by which it has ended, or must be out."""
        return starts_on + timedelta(days=self.most_days)

    def is_short(self, starts_on: date, ended_on: date) -> bool:
        """Whether it ended before its least days: it may not have worked."""
        return (ended_on - starts_on).days < self.least_days
