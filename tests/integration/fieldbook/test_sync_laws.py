"""Laws of sync: whatever the order, the repeats and the losses on the way, the same facts stand in the end."""

from collections import Counter
from dataclasses import replace
from uuid import UUID, uuid5

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from apiary_ops.fieldbook.models import Record
from apiary_ops.yards.models import Colony, FrameMove, Look, Task, Visit
from tests.factories.yards import TaskFactory

from .conftest import Phone

pytestmark = pytest.mark.django_db
NAMES = UUID("8f6f5b0a-9a1e-4d0d-9a53-0f4b2c1d7e90")
TAGS = ("A1", "B2", "C3")
# Each example undoes what it wrote, so the yard, its task and its people are the same for all.
UNDONE = [HealthCheck.function_scoped_fixture]
LOOKS = st.fixed_dictionaries(
    {"below_halves": st.integers(0, 20)},
    optional={
        "patty": st.sampled_from(["gone", "half", "plenty"]),
        "lower_box": st.sampled_from(["empty", "few"]),
        "note": st.sampled_from(["", "lid cracked"]),
    },
)


@st.composite
def walks(draw: DrawFn, *, tags: tuple[str, ...], minute: int) -> list[tuple[str, dict]]:
    """What one phone records on one visit: its header, some looks, a loss, frames, a task and the leave."""
    header = {
        "temperature_c": draw(st.sampled_from([None, "5.0", "6.5", "8.0"])),
        "sky": draw(st.sampled_from(["", "cloud"])),
        "km": draw(st.sampled_from([60, 64])),
        "arrived": f"09:{minute:02d}",
    }
    said: list[tuple[str, dict]] = [("visit", header)]
    said += [("look", {"tag": tag} | draw(LOOKS)) for tag in draw(st.lists(st.sampled_from(tags), unique=True))]
    if draw(st.booleans()):
        said.append(("lost", {"tag": draw(st.sampled_from(tags)), "cause": "starved"}))
    if draw(st.booleans()):
        said.append(("task_done", {"task": 0}))
    if draw(st.booleans()):
        said.append(("leave", {"left": f"11:{minute:02d}", "jobs": draw(st.sampled_from([["look"], ["look", "mow"]]))}))
    return said


def worded(phone: Phone, said: list[tuple[str, dict]], task: Task) -> list[dict]:
    """The records of a walk, each with the key that its place gives it."""
    keys = [str(uuid5(NAMES, f"{phone.device} {place}")) for place in range(len(said))]
    records = []
    for place, (kind, payload) in enumerate(said):
        made = phone.visit(**payload) if kind == "visit" else phone.record(kind, payload, keys[0])
        if kind == "task_done":
            made["payload"] = {"task": task.pk}
        records.append(made | {"key": keys[place], "observed_at": f"2027-04-03T09:{place:02d}:00-03:00"})
    return records


@pytest.fixture
def task(yard, season) -> Task:
    return TaskFactory(yard=yard, season=season, what="Mow")


@pytest.fixture
def tove(tove) -> Phone:
    return replace(tove, device=uuid5(NAMES, "Tove"))


@pytest.fixture
def ib(ib) -> Phone:
    return replace(ib, device=uuid5(NAMES, "Ib"))


def sent_and_undone(parcels: list[tuple[Phone, list[dict]]]) -> tuple:
    """What stands after these parcels came in, in this order; then all of it is undone."""
    with transaction.atomic():
        for phone, records in parcels:
            phone.send(*records)
        facts = standing()
        transaction.set_rollback(True)
    return facts


def standing() -> tuple:
    """The facts that stand, without who was first to tell them: nothing in here depends on keys of the database."""
    visits = [
        (
            visit.on,
            visit.arrived_at,
            visit.left_at,
            visit.minutes,
            visit.km,
            visit.temperature_c,
            visit.sky,
            sorted(visit.crew.values_list("full_name", flat=True)),
            sorted(visit.jobs_done.values_list("job", flat=True)),
        )
        for visit in Visit.objects.all()
    ]
    looks = Look.objects.values_list(
        "colony__tag", "below_halves", "patty", "lower_box", "note", "visit__temperature_c"
    )
    losses = Colony.objects.exclude(state="live").values_list("tag", "state", "ended_on", "loss_cause")
    tasks = Task.objects.filter(rule="").values_list("what", "done_on")
    moves = FrameMove.objects.values_list("from_colony__tag", "to_colony__tag", "brood_frames")
    states = Record.objects.values_list("key", "state")
    return (
        sorted(visits, key=repr),
        *(sorted(map(tuple, rows), key=repr) for rows in (looks, losses, tasks, moves, states)),
    )


def routes(records: dict[str, tuple[Phone, dict]]) -> st.SearchStrategy[list[str]]:
    """An order in which keys come in: each once at least, many more than once, children before parents too."""
    keys = list(records)
    again = st.lists(st.sampled_from(keys), max_size=len(keys))
    return st.tuples(st.permutations(keys), again).flatmap(
        lambda both: st.permutations([*both[0], *both[1]]) if both[1] else st.just(list(both[0]))
    )


@given(data=st.data())
@settings(max_examples=20, suppress_health_check=UNDONE)
def test_records_that_agree_end_in_the_same_facts_however_they_come(data, tove, ib, task):
    mine = worded(tove, data.draw(walks(tags=("A1", "B2"), minute=10)), task)
    other = worded(ib, data.draw(walks(tags=("C3",), minute=5)), task)
    records = {record["key"]: (phone, record) for phone, walk in ((tove, mine), (ib, other)) for record in walk}
    once = sent_and_undone([(tove, mine), (ib, other)])

    route = data.draw(routes(records))
    arrived = sent_and_undone([(records[key][0], [records[key][1]]) for key in route])

    assert arrived == once
    assert Counter(state for _key, state in once[-1]) == {"landed": len(records)}


@given(data=st.data())
@settings(max_examples=15, suppress_health_check=UNDONE)
def test_a_lost_answer_and_a_parcel_sent_again_change_nothing(data, tove, ib, task):
    walks_of = {
        tove: worded(tove, data.draw(walks(tags=TAGS, minute=10)), task),
        ib: worded(ib, data.draw(walks(tags=TAGS, minute=5)), task),
    }
    first = data.draw(st.sampled_from([tove, ib]))
    second = ib if first is tove else tove
    once = sent_and_undone([(first, walks_of[first]), (second, walks_of[second])])

    parcels: list[tuple[Phone, list[dict]]] = []
    for phone in (first, second):
        waiting = list(walks_of[phone])
        while waiting:
            size = data.draw(st.integers(1, len(waiting)))
            parcels.append((phone, waiting[:size]))
            if data.draw(st.booleans()):  # the answer reached the phone: it strikes them off
                waiting = waiting[size:]
            elif len(parcels) > 12:
                break
        parcels.append((phone, waiting))
    arrived = sent_and_undone(parcels)

    assert arrived == once


@given(data=st.data())
@settings(max_examples=20, suppress_health_check=UNDONE)
def test_two_phones_that_disagree_lose_nothing_and_overwrite_nothing(data, tove, ib, task):
    mine = worded(tove, data.draw(walks(tags=TAGS, minute=10)), task)
    other = worded(ib, data.draw(walks(tags=TAGS, minute=5)), task)
    records = {record["key"]: (phone, record) for phone, walk in ((tove, mine), (ib, other)) for record in walk}
    route = data.draw(routes(records))

    with transaction.atomic():
        for key in route:
            records[key][0].send(records[key][1])
        kept = {str(record.pk): record for record in Record.objects.all()}
        looks = {look.colony.tag: look.below_halves for look in Look.objects.select_related("colony")}
        transaction.set_rollback(True)

    assert {key: record.payload for key, record in kept.items()} == {
        key: record["payload"] for key, (_phone, record) in records.items()
    }
    assert {record.state for record in kept.values()} <= {"landed", "question"}
    said: dict[str, list[Record]] = {}
    for record in kept.values():
        if record.kind == "look":
            said.setdefault(record.payload["tag"], []).append(record)
    assert looks.keys() == said.keys()
    for tag, both in said.items():
        landed = [record for record in both if record.state == "landed"]
        assert looks[tag] in {record.payload["below_halves"] for record in landed}
        assert (len(landed) == 2) == (len(both) == 2 and _agree(*both))


def _agree(one: Record, other: Record) -> bool:
    """Whether two looks say the same, an empty note and none at all being the same."""
    return {**one.payload, "note": one.payload.get("note", "")} == {
        **other.payload,
        "note": other.payload.get("note", ""),
    }
