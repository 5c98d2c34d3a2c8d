"""Visits, tasks and holds."""

from datetime import date

from django.db.models import Count, F, Max, Q, QuerySet

from apiary_ops.yards.models import Hold, Task, TaskRule, Visit


def visits_of_season(season_id: int) -> QuerySet[Visit]:
    """Visits of a season, latest first, each with the number of looks taken (`look_count`)."""
    rows = Visit.objects.filter(season_id=season_id).select_related("yard", "recorded_by")
    return rows.annotate(look_count=Count("looks")).order_by("-on", "-id")


def visit(pk: int) -> QuerySet[Visit]:
    """One visit with its yard, season and crew."""
    return Visit.objects.filter(pk=pk).select_related("yard", "season", "recorded_by").prefetch_related("crew")


def tasks(season_id: int) -> QuerySet[Task]:
    """Tasks of a season, the earliest due first, by yard."""
    rows = Task.objects.filter(season_id=season_id).select_related("yard", "colony", "done_by")
    return rows.order_by("due_on", "yard__code", "id")


def open_tasks_of(yard_id: int, season_id: int) -> list[Task]:
    """What is to be done at a yard and its colonies, the earliest due first."""
    rows = Task.objects.filter(yard_id=yard_id, season_id=season_id, done_on__isnull=True)
    return list(rows.order_by("due_on", "id"))


def task_rules() -> QuerySet[TaskRule]:
    """The rules of what makes a task of itself, by their words."""
    return TaskRule.objects.order_by("code")


def holds() -> QuerySet[Hold]:
    """Every hold, those still open first, then the latest."""
    rows = Hold.objects.select_related("yard", "colony", "placed_by")
    return rows.order_by(F("ended_on").desc(nulls_first=True), "-starts_on", "-id")


def holds_open(on: date) -> QuerySet[Hold]:
    """Holds in force on a day. One without a colony holds its whole yard."""
    return (
        Hold.objects.filter(starts_on__lte=on)
        .filter(Q(ended_on__isnull=True) | Q(ended_on__gt=on))
        .select_related("yard", "colony")
        .order_by("starts_on", "id")
    )


def held_yards(on: date) -> dict[int, str]:
    """Why each yard is on hold on a day, by the hold that began first."""
    rows = holds_open(on).filter(colony__isnull=True).reverse()
    return dict(rows.values_list("yard_id", "reason"))


def last_seen_on(season_id: int, today: date) -> dict[int, date]:
    """The last day on which some colony of each yard was looked at, or the yard was tallied."""
    seen = Q(looks__isnull=False) | Q(tally__isnull=False)
    visits = Visit.objects.filter(seen, season_id=season_id, on__lte=today)
    return dict(visits.values_list("yard_id").annotate(Max("on")).order_by())


def open_holds_of(*, yard_id: int, colony_id: int | None = None) -> QuerySet[Hold]:
    """Holds not yet ended that stop a yard, or a colony in it; without a colony only those of the whole yard."""
    whose = Q(colony__isnull=True) | Q(colony_id=colony_id) if colony_id else Q(colony__isnull=True)
    return Hold.objects.filter(whose, yard_id=yard_id, ended_on__isnull=True).order_by("starts_on", "id")


def hold(pk: int) -> QuerySet[Hold]:
    """One hold with what it holds, or nothing."""
    return Hold.objects.filter(pk=pk).select_related("yard", "colony")
