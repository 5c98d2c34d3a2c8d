"""Yards and their colonies, and all yards at a glance."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Count, Q, QuerySet
from django.utils.translation import gettext as _

from apiary_ops.kernel.rounding import half_up
from apiary_ops.yards import compute
from apiary_ops.yards.models import Colony, Task, Yard

from .grading import GradedColony, graded_colonies, rules_in_force
from .land import yards_with_certificate_over
from .work import held_yards, last_seen_on


@dataclass(frozen=True, slots=True)
class YardRow:
    """A yard at a glance: how strong, how even, when last looked at, what holds it and what waits there."""

    yard: Yard
    colonies: int
    graded: dict[str, int]  # grade -> colonies
    counts: tuple[int, ...]  # the same in the order of the rules
    gives_nucs: int
    left_out: int
    not_counted: int
    mean_frames: Decimal | None
    looked_on: date | None
    days_since_look: int | None
    hold: str  # the reason, empty when nothing is held
    open_tasks: int
    overdue_tasks: int
    is_weak: bool
    is_uneven: bool
    is_overdue: bool
    certificate_is_over: bool

    @property
    def words(self) -> str:
        """What wants attention here, the gravest first; empty when nothing does."""
        said = [
            (bool(self.hold), _("on hold")),
            (self.certificate_is_over, _("certificate ran out")),
            (self.is_overdue, _("not looked at")),
            (self.is_weak, _("weak")),
            (self.is_uneven, _("uneven")),
        ]
        return ", ".join(word for is_so, word in said if is_so)

    @property
    def urgency(self) -> int:
        """For sorting: a hold, a certificate run out, a missing look, weakness, unevenness."""
        wants = (self.is_uneven, self.is_weak, self.is_overdue, self.certificate_is_over, bool(self.hold))
        return -sum(so << grade for grade, so in enumerate(wants))

    @property
    def tone(self) -> str:
        if self.hold:
            return "broken"
        return "mind" if self.words else "quiet"


def grades_in_force(today: date) -> list[str]:
    """The grades of the rules in force, best first, each once."""
    return list(dict.fromkeys(rule.grade for rule in rules_in_force(today)))


def yards() -> QuerySet[Yard]:
    """Every yard, those in use first, by code."""
    return Yard.objects.order_by("-is_active", "code")


def yard_by_code(code: str) -> QuerySet[Yard]:
    """The one yard of that code, or nothing."""
    return Yard.objects.filter(code=code)


def colonies() -> QuerySet[Colony]:
    """Every colony with its yard, by tag."""
    return Colony.objects.select_related("yard").order_by("tag")


def colony_by_tag(tag: str) -> QuerySet[Colony]:
    """The one colony of that tag, with its yard, or nothing."""
    return Colony.objects.filter(tag=tag).select_related("yard")


def yard_overview(season_id: int, today: date) -> list[YardRow]:
    """Every yard in use at a glance, by code."""
    by_yard: dict[int, list[GradedColony]] = {}
    for colony in graded_colonies(season_id, today):
        by_yard.setdefault(colony.yard_id, []).append(colony)
    looked_on = last_seen_on(season_id, today)
    strengths = {
        yard: [colony.strength_frames for colony in rows if colony.strength_frames is not None]
        for yard, rows in by_yard.items()
    }
    states = compute.yard_states(strengths, looked_on, today)
    holds = held_yards(today)
    tasks = _open_tasks(season_id, today)
    certificate_over = yards_with_certificate_over(today)
    grades = grades_in_force(today)
    nothing = compute.YardState(None, False, False, False)
    rows = []
    for yard in Yard.objects.filter(is_active=True).order_by("code"):
        standing = by_yard.get(yard.pk, [])
        graded = Counter(colony.grade for colony in standing if colony.grade)
        state = states.get(yard.pk, nothing)
        last = looked_on.get(yard.pk)
        waiting, overdue = tasks.get(yard.pk, (0, 0))
        rows.append(
            YardRow(
                yard=yard,
                colonies=len(standing),
                graded=graded,
                counts=tuple(graded[grade] for grade in grades),
                gives_nucs=sum(colony.gives_nucs for colony in standing),
                left_out=sum(not colony.gives_nucs for colony in standing),
                not_counted=sum(colony.strength_frames is None for colony in standing),
                mean_frames=state.mean_frames,
                looked_on=last,
                days_since_look=(today - last).days if last else None,
                hold=holds.get(yard.pk, ""),
                open_tasks=waiting,
                overdue_tasks=overdue,
                is_weak=state.is_weak,
                is_uneven=state.is_uneven,
                is_overdue=state.is_overdue,
                certificate_is_over=yard.pk in certificate_over,
            )
        )
    return rows


def _open_tasks(season_id: int, today: date) -> dict[int, tuple[int, int]]:
    """Open and overdue tasks by yard."""
    rows = Task.objects.filter(season_id=season_id, done_on__isnull=True).values_list("yard_id")
    counted = rows.annotate(waiting=Count("id"), overdue=Count("id", filter=Q(due_on__lt=today)))
    return {yard_id: (waiting, overdue) for yard_id, waiting, overdue in counted}


@dataclass(frozen=True, slots=True)
class ColonySums:
    """Colonies counted up: how many, counted this season, counting for nucs, left out."""

    colonies: int
    counted: int
    gives_nucs: int
    mean_frames: Decimal | None = None

    @property
    def left_out(self) -> int:
        return self.colonies - self.gives_nucs

    @property
    def not_counted(self) -> int:
        return self.colonies - self.counted


def colony_sums(colonies: Sequence[GradedColony]) -> ColonySums:
    """The sums of one yard."""
    counted = [colony.strength_frames for colony in colonies if colony.strength_frames is not None]
    return ColonySums(
        colonies=len(colonies),
        counted=len(counted),
        gives_nucs=sum(colony.gives_nucs for colony in colonies),
        mean_frames=half_up(sum(counted, Decimal(0)) / len(counted), 1) if counted else None,
    )


def overview_sums(rows: Sequence[YardRow]) -> ColonySums:
    """The sums of all yards."""
    colonies = sum(row.colonies for row in rows)
    return ColonySums(
        colonies=colonies,
        counted=colonies - sum(row.not_counted for row in rows),
        gives_nucs=sum(row.gives_nucs for row in rows),
    )
