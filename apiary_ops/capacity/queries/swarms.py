"""The swarm watch: colonies that fill their boxes, checks for cells due, what was found, what a swarm would cost."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from django.utils.translation import gettext as _

from apiary_ops.business.models import Season
from apiary_ops.capacity import compute
from apiary_ops.core.days import spoken_day
from apiary_ops.kernel.rounding import half_up
from apiary_ops.kernel.weeks import Week
from apiary_ops.nucs import queries as nucs
from apiary_ops.nucs.models import NucKind
from apiary_ops.yards import queries as yards
from apiary_ops.yards.models import Look, Task, TaskRule, Yard

from .capacity import kind_capacity
from .forecast import latest_forecast, removals, start_of
from .stated import assumptions

WATCHED_DAYS = 42


@dataclass(frozen=True, slots=True)
class SwarmRow:
    """One colony on the watch. `cells` is what its last look for cells found, `checked_on` its day.

    `costs_nucs` is what a swarm on the day it is full would take from the nucs it could give; None when it gives none.
    """

    colony_id: int
    tag: str
    yard_id: int
    yard_code: str
    yard_name: str
    position: int
    strength_words: str
    full_on: date
    full_early_on: date | None
    checked_on: date | None
    cells: str
    next_check_on: date | None
    costs_nucs: Decimal | None
    today: date

    @property
    def has_swarmed(self) -> bool:
        return self.cells == Look.Cells.SWARMED

    @property
    def is_due(self) -> bool:
        return self.next_check_on is not None and self.next_check_on <= self.today

    @property
    def words(self) -> str:
        """What to do, the gravest first."""
        if self.has_swarmed:
            return _("swarmed")
        if self.is_due:
            late = (self.today - self.next_check_on).days if self.next_check_on else 0
            return _("check cells, %(days)s days late") % {"days": late} if late else _("check cells today")
        return _("full") if self.full_on <= self.today else _("filling up")

    @property
    def tone(self) -> str:
        if self.has_swarmed:
            return "broken"
        if self.is_due:
            return "mind"
        return "now" if self.full_on <= self.today else "quiet"

    @property
    def outcome(self) -> str:
        """What the last look for cells found, and when."""
        if self.checked_on is None:
            return _("not looked for yet")
        found = Look.Cells(self.cells).label if self.cells else _("done, nothing noted")
        return _("%(found)s, %(day)s") % {"found": found, "day": spoken_day(self.checked_on)}


@dataclass(frozen=True, slots=True)
class SwarmWatch:
    """The watch of a day: colonies that are full or fill up within six weeks, those due first."""

    rows: tuple[SwarmRow, ...]
    watched: int  # colonies whose strength this spring is known
    kind: NucKind | None  # the kind a swarm's cost is counted in
    every_days: int

    @property
    def full(self) -> int:
        return sum(not row.has_swarmed and row.full_on <= row.today for row in self.rows)

    @property
    def due(self) -> int:
        return sum(row.is_due for row in self.rows)

    @property
    def swarmed(self) -> int:
        return sum(row.has_swarmed for row in self.rows)

    @property
    def at_stake(self) -> Decimal:
        """Nucs that would be lost if every full colony swarmed."""
        full = (row.costs_nucs or Decimal(0) for row in self.rows if row.full_on <= row.today and not row.has_swarmed)
        return sum(full, Decimal(0))


def swarm_watch(season_id: int, today: date) -> SwarmWatch:
    """Every colony counted this spring that is full or will be within six weeks, whatever it is kept for."""
    season = Season.objects.get(pk=season_id)
    known = [(row, start) for row in yards.graded_colonies(season_id, today) if (start := start_of(row, season.year))]
    kind, weeks = _kind_and_weeks(season, today)
    rule = TaskRule.objects.filter(code=TaskRule.Code.CELLS).first()
    every_days = rule.days if rule and rule.days else compute.CHECK_EVERY_DAYS
    checks = _checks(season_id, today)
    until = today + timedelta(days=WATCHED_DAYS)
    names = dict(Yard.objects.values_list("pk", "name"))
    rows = [
        _row(colony, names[colony.yard_id], found, checks.get(colony.colony_id), every_days, kind, today)
        for (colony, _start), found in zip(known, _watched(season_id, today, known, kind, weeks), strict=True)
        if found.full_on is not None and found.full_on <= until
    ]
    ordered = sorted(rows, key=lambda row: (row.next_check_on or date.max, row.yard_code, row.position, row.colony_id))
    return SwarmWatch(tuple(ordered), len(known), kind, every_days)


def _row(
    colony: yards.GradedColony,
    yard_name: str,
    found: compute.Watched,
    check: tuple[date, str] | None,
    every_days: int,
    kind: NucKind | None,
    today: date,
) -> SwarmRow:
    assert found.full_on is not None
    checked_on, cells = check or (None, "")
    due = compute.next_check(found.full_on, checked_on, every_days=every_days)
    return SwarmRow(
        colony_id=colony.colony_id,
        tag=colony.tag,
        yard_id=colony.yard_id,
        yard_code=colony.yard_code,
        yard_name=yard_name,
        position=colony.position,
        strength_words=colony.strength_words,
        full_on=found.full_on,
        full_early_on=found.full_early_on,
        checked_on=checked_on,
        cells=cells,
        next_check_on=None if cells == Look.Cells.SWARMED else due,
        costs_nucs=half_up(Decimal(str(found.swarm_costs)), 1) if kind and colony.gives_nucs else None,
        today=today,
    )


def cells_asked(season_id: int) -> set[int]:
    """Colonies for which a look for cells is asked and not done."""
    waiting = Task.objects.filter(season_id=season_id, rule=TaskRule.Code.CELLS, done_on__isnull=True)
    return set(waiting.exclude(colony__isnull=True).values_list("colony_id", flat=True))


def asks_for_cells() -> bool:
    """Whether the grower wants tasks for cell checks: yes, unless the rule was switched off."""
    return not TaskRule.objects.filter(code=TaskRule.Code.CELLS, is_on=False).exists()


def _kind_and_weeks(season: Season, today: date) -> tuple[NucKind | None, list[date]]:
    """The kind of the capacity page, and the weeks in which nucs of it can still be made."""
    monday = Week.of(today).monday
    for capacity in kind_capacity(latest_forecast(season.pk)):
        if weeks := [row.week for row in capacity.weeks if row.week >= monday]:
            return capacity.kind, weeks
    return next(iter(nucs.kinds()), None), compute.make_up_weeks(season.year, today)


def _watched(
    season_id: int,
    today: date,
    known: Sequence[tuple[yards.GradedColony, compute.ColonyStart]],
    kind: NucKind | None,
    weeks: Sequence[date],
) -> tuple[compute.Watched, ...]:
    stated = assumptions(season_id)
    recipe = compute.Recipe(float(kind.make_up_bees), float(kind.make_up_brood)) if kind else compute.Recipe(1, 1)
    return compute.watch(
        [start for _, start in known],
        today=today,
        until=today + timedelta(days=WATCHED_DAYS),
        weeks=weeks,
        recipe=recipe,
        keep=compute.Keep(float(stated.keep_bees_frames), float(stated.keep_brood_frames)),
        shifts={"middle": stated.middle_shift_days, "high": stated.high_shift_days},
        removed=removals(season_id, [colony.colony_id for colony, _ in known]),
    )


def _checks(season_id: int, today: date) -> dict[int, tuple[date, str]]:
    """By colony, the day cells were last looked for and what was found; "" where a task was only called done."""
    looks = Look.objects.filter(visit__season_id=season_id, visit__on__lte=today).exclude(cells="")
    rows = looks.order_by("visit__on", "id").values_list("colony_id", "visit__on", "cells")
    checks: dict[int, tuple[date, str]] = {colony: (on, cells) for colony, on, cells in rows}
    done = Task.objects.filter(season_id=season_id, rule=TaskRule.Code.CELLS, colony__isnull=False, done_on__lte=today)
    for colony, on in done.order_by("done_on", "id").values_list("colony_id", "done_on"):
        last_on, found = checks.get(colony, (date.min, ""))
        if on is not None and on > last_on and found != Look.Cells.SWARMED:
            checks[colony] = (on, "")
    return checks
