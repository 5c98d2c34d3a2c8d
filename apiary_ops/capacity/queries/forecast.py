"""What a forecast is made from, and the latest one made."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Count
from django.utils.translation import gettext as _
from django_tasks_db.models import DBTaskResult

from apiary_ops.business import stamps
from apiary_ops.business.models import Season
from apiary_ops.capacity import compute
from apiary_ops.capacity.models import Assumptions, Forecast
from apiary_ops.nucs import queries as nucs
from apiary_ops.nucs.models import Nuc, NucKind
from apiary_ops.yards import queries as yards

from .stated import assumptions

# What a forecast is made from: when one of these counters has moved, it is out of date.
AREAS = ("capacity", "nucs", "yards")
TASK_PATH = "apiary_ops.capacity.jobs.recompute_forecast"
LATEST_TASKS = 20
FRAMES_PER_BOX = 10
# How yards says that a colony has no count; here it is told in one reason with counts of an earlier year.
NOT_COUNTED = "not counted this season"


@dataclass(frozen=True, slots=True)
class Inputs:
    """Everything a forecast rests on, as read at one moment; the stamps were read first."""

    stamps: dict[str, int]
    assumptions: Assumptions
    weeks: tuple[date, ...]
    kinds: tuple[NucKind, ...]
    colonies: tuple[compute.ColonyStart, ...]
    removed: tuple[compute.Removal, ...]
    left_out: dict[str, int]
    unseen_tags: tuple[str, ...]
    counted_by: dict[str, int]  # colonies that count, by what told their strength: look, sample, tally
    last_looked_on: date | None
    nucs_made: dict[int, int]


@dataclass(frozen=True, slots=True)
class LatestForecast:
    """The forecast that stands. `is_stale`: facts it came from have changed since."""

    pk: int
    season_id: int
    made_at: datetime
    today: date
    is_stale: bool
    colonies_counted: int
    colonies_left_out: dict[str, int]
    unseen_tags: list[str]
    counted_by: dict[str, int]
    last_looked_on: date | None
    assumptions: dict[str, Any]
    nucs_made: dict[int, int]

    @property
    def colonies(self) -> int:
        """Every live colony, counted or not."""
        return self.colonies_counted + sum(self.colonies_left_out.values())

    @property
    def share_looked_at(self) -> int:
        """Colonies looked at one by one this year, in percent of all live ones, rounded down."""
        looked_at = self.colonies - len(self.unseen_tags) - self.by_sample - self.by_tally
        return 100 * looked_at // self.colonies if self.colonies else 0

    @property
    def by_look(self) -> int:
        return self.colonies_counted - self.by_sample - self.by_tally

    @property
    def by_sample(self) -> int:
        return self.counted_by.get("sample", 0)

    @property
    def by_tally(self) -> int:
        return self.counted_by.get("tally", 0)


def forecast_inputs(season_id: int, today: date) -> Inputs:
    """Read what a forecast needs. Stamps come first: a change during the reading makes the result stale, not wrong."""
    counters = stamps.read(season_id, AREAS)
    season = Season.objects.get(pk=season_id)
    starts, left_out, unseen, counted_by = _colonies(season, today)
    return Inputs(
        stamps=counters,
        assumptions=assumptions(season_id),
        weeks=tuple(compute.make_up_weeks(season.year, today)),
        kinds=tuple(nucs.kinds()),
        colonies=tuple(starts.values()),
        removed=removals(season_id, list(starts)),
        left_out=dict(left_out),
        unseen_tags=tuple(unseen),
        counted_by=dict(counted_by),
        last_looked_on=max((start.looked_on for start in starts.values()), default=None),
        nucs_made=nucs_made(season_id),
    )


def _colonies(
    season: Season, today: date
) -> tuple[dict[int, compute.ColonyStart], Counter[str], list[str], Counter[str]]:
    """Colonies that count by pk, left out by reason, the tags of those nobody looked at this year, counted by depth."""
    starts: dict[int, compute.ColonyStart] = {}
    left_out: Counter[str] = Counter()
    unseen: list[str] = []
    counted_by: Counter[str] = Counter()
    for row in yards.graded_colonies(season.pk, today):
        start = start_of(row, season.year)
        if start is None and (row.gives_nucs or row.left_out_because == NOT_COUNTED):
            left_out[_("not looked at this year")] += 1
            unseen.append(row.tag)
        elif start is None or not row.gives_nucs:
            left_out[row.left_out_because] += 1
        else:
            starts[row.colony_id] = start
            counted_by[row.basis] += 1
    return starts, left_out, unseen, counted_by


def start_of(row: yards.GradedColony, year: int) -> compute.ColonyStart | None:
    """A colony as it goes into a run, as it was counted this spring; None when it was not."""
    if row.strength_frames is None or row.looked_on is None or not compute.is_of_this_spring(row.looked_on, year):
        return None
    return compute.ColonyStart(
        key=row.tag,
        yard=str(row.yard_id),
        bees_frames=float(row.strength_frames),
        sealed_frames=None if row.sealed_frames is None else float(row.sealed_frames),
        looked_on=row.looked_on,
        box_frames=row.boxes * FRAMES_PER_BOX,
        shared_spread=float(row.shared_spread),
    )


def removals(season_id: int, colony_ids: Sequence[int]) -> tuple[compute.Removal, ...]:
    """What colonies gave already, by their place in the run; gifts before a colony's look are in the look."""
    places = {colony_id: place for place, colony_id in enumerate(colony_ids)}
    return tuple(
        compute.Removal(places[row.colony_id], row.on, float(row.bees_frames), float(row.brood_frames))
        for row in nucs.donations(season_id)
        if row.colony_id in places
    )


def nucs_made(season_id: int) -> dict[int, int]:
    """Nucs made this season by kind, whatever became of them."""
    rows = Nuc.objects.filter(season_id=season_id).values_list("kind_id").annotate(made=Count("id")).order_by()
    return dict(rows)


def latest_forecast(season_id: int) -> LatestForecast | None:
    """The forecast that stands, or None before the first."""
    row = Forecast.objects.filter(season_id=season_id).order_by("-id").first()
    if row is None:
        return None
    return LatestForecast(
        pk=row.pk,
        season_id=season_id,
        made_at=row.made_at,
        today=row.today,
        is_stale=row.stamps != stamps.read(season_id, AREAS),
        colonies_counted=row.colonies_counted,
        colonies_left_out=row.colonies_left_out,
        unseen_tags=row.unseen_tags,
        counted_by=row.counted_by,
        last_looked_on=row.last_looked_on,
        assumptions=row.assumptions,
        nucs_made={int(kind): made for kind, made in row.nucs_made.items()},
    )


def is_recomputing(season_id: int) -> bool:
    """Whether a forecast of this season waits for the worker or is being made."""
    return _has_task(season_id, "READY", "RUNNING")


def is_waiting(season_id: int) -> bool:
    """Whether a forecast of this season waits and nobody has begun it: to ask again would add nothing."""
    return _has_task(season_id, "READY")


def has_failed(season_id: int) -> bool:
    """Whether the last attempt to make a forecast of this season failed."""
    tasks = DBTaskResult.objects.filter(task_path=TASK_PATH).order_by("-enqueued_at")
    latest = next((task for task in tasks[:LATEST_TASKS] if _is_of(task, season_id)), None)
    return latest is not None and latest.status == "FAILED"


def _has_task(season_id: int, *states: str) -> bool:
    tasks = DBTaskResult.objects.filter(task_path=TASK_PATH, status__in=states)
    return any(_is_of(task, season_id) for task in tasks)


def _is_of(task: Any, season_id: int) -> bool:
    return bool(task.args_kwargs["kwargs"].get("season_id") == season_id)
