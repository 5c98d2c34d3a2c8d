"""What others ask of a colony, for comparison; nothing is graded by it."""

import json
from dataclasses import dataclass
from decimal import Decimal

from django.conf import settings

from apiary_ops.kernel.rounding import half_up
from apiary_ops.kernel.units import deep_frames_of_brood


@dataclass(frozen=True, slots=True)
class GradeStandard:
    """One standard as its source has it; None is not asked. `how` says whether the figure was read, quoted or not."""

    name: str
    least_frames: Decimal | None
    brood_square_inches: Decimal | None
    least_bees: int | None
    says: str
    source: str
    how: str
    in_force: bool

    @property
    def brood_frames(self) -> Decimal | None:
        """The brood asked for as full deep frames, to a tenth."""
        if self.brood_square_inches is None:
            return None
        return half_up(Decimal(str(deep_frames_of_brood(float(self.brood_square_inches)))), 1)


def grade_standards() -> list[GradeStandard]:
    """The standards of fixtures/reference/grade_standards.json, in its order."""
    path = settings.BASE_DIR / "fixtures" / "reference" / "grade_standards.json"
    rows = json.loads(path.read_text(encoding="utf-8"))["standards"]
    return [
        GradeStandard(
            **row
            | {
                name: Decimal(row[name]) if row[name] is not None else None
                for name in ("least_frames", "brood_square_inches")
            }
        )
        for row in rows
    ]
