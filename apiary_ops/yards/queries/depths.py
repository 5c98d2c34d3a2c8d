"""What a tally or a sample of a yard says of colonies nobody looked at one by one."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, Protocol

from django.db.models import Count, Q

from apiary_ops.yards import compute
from apiary_ops.yards.models import Colony, Look, Tally, TallyCount, Visit

from .colonies import alive_on

COUNTED = Q(looks__below_halves__isnull=False) | Q(looks__above_halves__isnull=False)


class LookedAt(Protocol):
    """What the looks of a season say of one colony."""

    @property
    def looked_on(self) -> date | None: ...
    @property
    def strength(self) -> Any: ...
    @property
    def sealed(self) -> Decimal | None: ...


@dataclass(frozen=True, slots=True)
class Told:
    """What a yard's tally or sample of a day says of one colony; without an estimate it was not counted alive."""

    basis: str  # "tally" or "sample"
    on: date
    estimate: compute.Estimate | None


class Strengths:
    """Strengths by what they depend on: a season repeats few counts and temperatures."""

    def __init__(self, factors: Sequence[compute.Factor]) -> None:
        self.factors = factors
        self.known: dict[tuple[Any, ...], compute.Strength | None] = {}

    def of(self, key: tuple[Any, ...]) -> compute.Strength | None:
        if key not in self.known:
            below, above, temperature, flying, boxes = key
            self.known[key] = compute.standard_strength(
                below_halves=below,
                above_halves=above,
                temperature_c=temperature,
                flying=flying,
                factors=self.factors,
                boxes=boxes,
            )
        return self.known[key]


def told_of_unlooked(
    season_id: int,
    today: date,
    *,
    yard_id: int | None,
    seen: Mapping[int, LookedAt],
    rules: Sequence[compute.Rule],
    strengths: Strengths,
) -> dict[int, Told]:
    """By colony, what the latest tally or sample of its yard says, where no look of its own stands.

    A look of the same day, later, or of the 21 days before stands. A colony that came to the books later is not told
    of. A tally's grades are those of the rules in force on its day.
    """
    latest = _latest_rounds(season_id, today, yard_id)
    if not latest:
        return {}
    samples = _samples([pk for _, basis, pk in latest.values() if basis == "sample"], strengths)
    tallies = _tallies([pk for _, basis, pk in latest.values() if basis == "tally"])
    told: dict[int, Told] = {}
    for yard, colonies in _standing(latest, today).items():
        on, basis, pk = latest[yard]
        unlooked = [colony for colony in colonies if not _stands(seen.get(colony), on)]
        if basis == "sample":
            estimates = compute.from_sample(samples[pk], len(unlooked))
        else:
            waiting = set(unlooked)
            looked = [
                (seen[colony].strength.frames, seen[colony].sealed) for colony in colonies if colony not in waiting
            ]
            rules_then = compute.rule_set_on(rules, on)
            estimates = compute.from_tally(tallies[pk], looked, len(unlooked), rules_then)
        told |= {colony: Told(basis, on, what) for colony, what in zip(unlooked, estimates, strict=True)}
    return told


def _latest_rounds(season_id: int, today: date, yard_id: int | None) -> dict[int, tuple[date, str, int]]:
    """The latest tally or large enough sample of each yard: its day, what it is, and the pk of tally or visit."""
    visits = Visit.objects.filter(season_id=season_id, on__lte=today)
    tallied = Tally.objects.filter(visit__season_id=season_id, visit__on__lte=today)
    if yard_id is not None:
        visits, tallied = visits.filter(yard_id=yard_id), tallied.filter(visit__yard_id=yard_id)
    sampled = visits.filter(depth=Visit.Depth.SAMPLE).annotate(counted=Count("looks", filter=COUNTED))
    sampled = sampled.filter(counted__gte=compute.FEWEST_IN_A_SAMPLE)
    rounds = [(on, "tally", pk, yard) for yard, on, pk in tallied.values_list("visit__yard_id", "visit__on", "pk")]
    rounds += [(on, "sample", pk, yard) for yard, on, pk in sampled.values_list("yard_id", "on", "pk")]
    # On one day a tally, which has seen every colony, goes before a sample.
    ordered = sorted(rounds, key=lambda row: (row[0], row[1] == "tally", row[2]))
    return {yard: (on, basis, pk) for on, basis, pk, yard in ordered}


def _standing(latest: Mapping[int, tuple[date, str, int]], today: date) -> dict[int, list[int]]:
    """Colonies of each yard in walking order that are alive and were in the books on the day of the round."""
    alive = Colony.objects.filter(alive_on(today), yard_id__in=latest)
    rows = alive.order_by("yard_id", "position", "id").values_list("yard_id", "id", "started_on")
    standing: dict[int, list[int]] = defaultdict(list)
    for yard, colony, started_on in rows:
        if started_on <= latest[yard][0]:
            standing[yard].append(colony)
    return standing


def _stands(seen: LookedAt | None, on: date) -> bool:
    if seen is None or seen.strength is None or seen.looked_on is None:
        return False
    return (on - seen.looked_on).days <= compute.LOOK_STANDS_DAYS


def _samples(visit_ids: Iterable[int], strengths: Strengths) -> dict[int, list[compute.Strength]]:
    looks = Look.objects.filter(visit_id__in=list(visit_ids)).order_by("id")
    columns = ("below_halves", "above_halves", "visit__temperature_c", "flying", "colony__boxes")
    samples: dict[int, list[compute.Strength]] = defaultdict(list)
    for visit_id, *count in looks.values_list("visit_id", *columns):
        if (strength := strengths.of(tuple(count))) is not None:
            samples[visit_id].append(strength)
    return samples


def _tallies(tally_ids: Iterable[int]) -> dict[int, dict[str, int]]:
    counts: dict[int, dict[str, int]] = defaultdict(dict)
    rows = TallyCount.objects.filter(tally_id__in=list(tally_ids)).values_list("tally_id", "grade", "colonies")
    for tally_id, grade, colonies in rows:
        counts[tally_id][grade] = colonies
    return counts
