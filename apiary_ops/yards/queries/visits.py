"""What was done, used and counted up on a visit."""

from dataclasses import dataclass

from django.db.models import Count, Q, QuerySet

from apiary_ops.yards.models import Look, MaterialUse, Tally, Visit

from .looks import standing_on
from .places import grades_in_force


@dataclass(frozen=True, slots=True)
class TallyRow:
    """A tally with its counts in the order of the grades, what it counted in all and what stood there by the book."""

    tally: Tally
    counts: tuple[tuple[str, int], ...]
    standing: int

    @property
    def counted(self) -> int:
        return sum(colonies for _grade, colonies in self.counts) + self.tally.dead

    @property
    def differs(self) -> bool:
        return self.counted != self.standing


@dataclass(frozen=True, slots=True)
class WorkSeen:
    """What the looks of a visit say was done: jobs, and how many patties went on."""

    jobs: tuple[str, ...]
    patties: int


def materials_of(visit_id: int) -> QuerySet[MaterialUse]:
    """What was used up on a visit, in the order it was noted."""
    return MaterialUse.objects.filter(visit_id=visit_id).select_related("colony").order_by("id")


def jobs_of(visit_id: int) -> list[str]:
    """The codes of the jobs done on a visit."""
    return sorted(Visit.objects.filter(pk=visit_id, jobs_done__isnull=False).values_list("jobs_done__job", flat=True))


def tally_of(visit: Visit) -> TallyRow | None:
    """The tally of a visit, or nothing. Grades that the rules of the day no longer know come last."""
    tally = Tally.objects.filter(visit=visit).first()
    if tally is None:
        return None
    counted = dict(tally.counts.order_by("grade").values_list("grade", "colonies"))
    grades = [*grades_in_force(visit.on), *counted]
    counts = {grade: counted.get(grade, 0) for grade in grades}
    return TallyRow(tally, tuple(counts.items()), standing_on(visit.yard_id, visit.on).count())


def work_seen_on(visit_id: int) -> WorkSeen:
    """What the looks of a visit say was done there, so that whoever leaves need not say it again."""
    seen = Look.objects.filter(visit_id=visit_id).aggregate(
        look=Count("id"),
        strips=Count("id", filter=Q(strips_pulled=True)),
        boxes=Count("id", filter=Q(lower_box_off=True)),
        feed=Count("id", filter=Q(patty_given=True)),
    )
    return WorkSeen(tuple(job for job, looks in seen.items() if looks), seen["feed"])
