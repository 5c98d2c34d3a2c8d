"""What a phone takes along to one yard, in a handful of queries, and what stands of what it brings home."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

from apiary_ops.people.models import User
from apiary_ops.yards.models import LOSS_CAUSES, Look, MaterialUse, Tally, Task, Treatment

from .grading import factor_table
from .looks import LookRow, strength_of


def last_looks(season_id: int, colony_ids: Collection[int], today: date) -> dict[int, LookRow]:
    """The latest look of the season at each colony, with the strength it gives; a colony never looked at is missing."""
    rows = Look.objects.filter(colony_id__in=colony_ids, visit__season_id=season_id, visit__on__lte=today)
    looks = rows.select_related("visit", "colony").order_by("visit__on", "id")
    latest = {look.colony_id: look for look in looks}
    factors = factor_table(today)
    return {
        colony_id: LookRow(look, strength_of(look, look.visit, look.colony, factors))
        for colony_id, look in latest.items()
    }


def treatments_in(yard_id: int) -> QuerySet[Treatment]:
    """Treatments of a yard, and of the colonies standing there, that have not ended."""
    rows = Treatment.objects.filter(yard_id=yard_id, ended_on__isnull=True).select_related("kind")
    return rows.order_by("due_out_on", "id")


def loss_causes() -> list[tuple[str, str]]:
    """What colonies commonly die of: the word kept, and the word shown."""
    return [(code, str(words)) for code, words in LOSS_CAUSES]


@dataclass(frozen=True, slots=True)
class TallySaid:
    """A tally as it stands: colonies by grade, and the dead."""

    counts: Mapping[str, int]
    dead: int


def look_standing(visit_ref: str, tag: str) -> Look | None:
    """The look at a colony on the visit of a Ref, if there is one."""
    return Look.objects.filter(visit_id=_visit_key(visit_ref), colony__tag=tag).first()


def tally_standing(visit_ref: str) -> TallySaid | None:
    """The tally of the visit of a Ref, if there is one."""
    tally = Tally.objects.filter(visit_id=_visit_key(visit_ref)).first()
    return TallySaid(dict(tally.counts.values_list("grade", "colonies")), tally.dead) if tally else None


def materials_standing(visit_ref: str) -> str:
    """What was used on the visit of a Ref, in words."""
    rows = MaterialUse.objects.filter(visit_id=_visit_key(visit_ref)).order_by("material", "id")
    return ", ".join(f"{row.get_material_display()}: {row.quantity.normalize():f}" for row in rows)


def _visit_key(ref: str) -> int:
    """The key of a visit's Ref; 0, which no visit has, for anything else."""
    kind, _colon, key = ref.partition(":")
    return int(key) if kind == "visit" else 0


def names_of(people: Collection[int]) -> list[str]:
    """The names of people, by name."""
    return [str(person) for person in User.objects.filter(pk__in=people).order_by("full_name", "id")]


def task(pk: int) -> QuerySet[Task]:
    """One task, or nothing."""
    return Task.objects.filter(pk=pk)
