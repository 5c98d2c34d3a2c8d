"""What the owner and the office state: assumptions of the season, and what each week adds."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from apiary_ops.business.models import Season
from apiary_ops.capacity import compute
from apiary_ops.capacity.models import Assumptions, WeekLimit


@dataclass(frozen=True, slots=True)
class StatedAssumption:
    """One assumption with its value, allowed range and source. `is_default` says nobody changed it."""

    name: str
    label: str
    value: Decimal
    low: Decimal
    high: Decimal
    unit: str
    source: str
    is_default: bool


def assumptions(season_id: int) -> Assumptions:
    """The season's assumptions; the defaults, not yet stored, until someone changes one."""
    return Assumptions.objects.filter(season_id=season_id).first() or Assumptions(season_id=season_id)


def stated_assumptions(row: Assumptions) -> list[StatedAssumption]:
    """Every assumption in words, in the order of the form."""
    return [
        StatedAssumption(
            name=parameter.name,
            label=assumption_label(parameter.name),
            value=_plain(getattr(row, parameter.name)),
            low=_plain(parameter.low),
            high=_plain(parameter.high),
            unit=parameter.unit,
            source=parameter.source,
            is_default=float(getattr(row, parameter.name)) == parameter.value,
        )
        for parameter in compute.ASSUMED
    ]


def assumption_label(name: str) -> str:
    """How a field of Assumptions is called on screen."""
    field = Assumptions._meta.get_field(name)
    return str(getattr(field, "verbose_name", name))


def week_limits(season_id: int) -> list[WeekLimit]:
    """What the weeks add, in order."""
    return list(WeekLimit.objects.filter(season_id=season_id).order_by("week"))


def weeks_to_state(season: Season, today: date) -> list[WeekLimit]:
    """One row for each make-up week still to come and each week stated before; those not yet stored are empty."""
    stored = {row.week: row for row in week_limits(season.pk)}
    weeks = sorted({*stored, *compute.make_up_weeks(season.year, today)})
    return [stored.get(week) or WeekLimit(season=season, week=week) for week in weeks]


def _plain(value: Decimal | float) -> Decimal:
    """A figure without trailing zeros: 3.50 as 3.5, 20 as 20."""
    number = Decimal(str(value))
    return number.quantize(Decimal(1)) if number == number.to_integral_value() else number.normalize()
