"""One act on many colonies: all of them or none."""

from datetime import date

import pytest

from apiary_ops.core.once import AlreadyDone
from apiary_ops.yards import services
from apiary_ops.yards.models import Colony, Task
from tests.factories.business import SeasonFactory
from tests.factories.yards import ColonyFactory, HoldFactory, LookFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db

KEY = "0b7e5f3c-6a5e-4a0f-9a7e-0d8a0e7d3a11"


@pytest.fixture
def three(yard):
    """Three colonies, made in another order than they are walked in."""
    return [ColonyFactory(yard=yard, tag=tag, position=place) for tag, place in [("C3", 3), ("C1", 1), ("C2", 2)]]


def ids(colonies):
    return [colony.pk for colony in colonies]


def standing(yard):
    return list(Colony.objects.filter(yard=yard).order_by("position").values_list("tag", "position"))


def test_many_are_kept_for_something_and_said_in_walking_order(three, ada):
    done = services.keep_colonies_for(
        colony_ids=ids(three), purpose="pollination", ends_on=date(2027, 5, 20), actor=ada
    )

    assert [colony.tag for colony in done] == ["C1", "C2", "C3"]
    kept = set(Colony.objects.values_list("purpose", "purpose_until"))
    assert kept == {("pollination", date(2027, 5, 20))}


def test_many_move_to_the_end_of_another_yard_in_their_order(three, ada):
    there = YardFactory()
    ColonyFactory(yard=there, tag="F1", position=7)

    services.move_colonies(colony_ids=ids(three), yard_id=there.pk, actor=ada)

    assert standing(there) == [("F1", 7), ("C1", 8), ("C2", 9), ("C3", 10)]


def test_one_on_hold_keeps_all_where_they_are(three, yard, ada):
    HoldFactory(yard=yard, colony=three[0], reason="odd brood")
    there = YardFactory()

    with pytest.raises(services.NothingMoves, match=r"^C3 is on hold \(odd brood\): C3 cannot move\."):
        services.move_colonies(colony_ids=ids(three), yard_id=there.pk, actor=ada)

    assert standing(there) == []
    assert standing(yard) == [("C1", 1), ("C2", 2), ("C3", 3)]


def test_each_is_given_the_task(three, today, ada):
    season = SeasonFactory(year=2027)

    services.add_tasks(colony_ids=ids(three), season_id=season.pk, what="Patty", due_on=today, actor=ada)

    given = Task.objects.order_by("colony__tag").values_list("colony__tag", "what", "due_on")
    assert list(given) == [("C1", "Patty", today), ("C2", "Patty", today), ("C3", "Patty", today)]


@pytest.mark.parametrize(("by", "boxes"), [(1, 3), (-1, 1)])
def test_boxes_go_on_and_come_off(by, boxes, three, ada):
    services.change_boxes(colony_ids=ids(three), by=by, actor=ada)

    assert set(Colony.objects.values_list("boxes", "version")) == {(boxes, 2)}


@pytest.mark.parametrize(
    ("boxes", "by", "words"),
    [
        (1, -1, "C9 has no box to spare. Leave it out."),
        (6, 1, "C9 already has 6 boxes. Leave it out."),
    ],
)
def test_no_box_comes_from_nowhere(boxes, by, words, three, yard, ada):
    odd = ColonyFactory(yard=yard, tag="C9", position=9, boxes=boxes)

    with pytest.raises(services.BoxesRunOut) as refusal:
        services.change_boxes(colony_ids=ids([*three, odd]), by=by, actor=ada)

    assert str(refusal.value) == words
    assert set(Colony.objects.exclude(pk=odd.pk).values_list("boxes", flat=True)) == {2}


def test_many_are_lost_of_one_cause(three, today, ada):
    services.lose_colonies(colony_ids=ids(three), on=today, today=today, cause="starved", actor=ada)

    assert set(Colony.objects.values_list("state", "ended_on", "loss_cause")) == {("lost", today, "starved")}


def test_one_looked_at_later_leaves_all_alive(three, yard, today, ada):
    LookFactory(visit=VisitFactory(yard=yard, on=today), colony=three[0])

    with pytest.raises(services.LookedAtLater, match="C3 was still looked at on Mon 12 Apr 2027"):
        services.lose_colonies(colony_ids=ids(three), on=date(2027, 4, 1), today=today, cause="starved", actor=ada)

    assert set(Colony.objects.values_list("state", flat=True)) == {"live"}


def test_an_ended_colony_takes_neither_task_nor_box(yard, today, ada):
    dead = ColonyFactory(yard=yard, tag="D1", state="lost", ended_on=date(2027, 4, 1))

    with pytest.raises(services.AlreadyEnded, match="D1 ended on Thu 1 Apr 2027"):
        services.change_boxes(colony_ids=[dead.pk], by=1, actor=ada)
    with pytest.raises(services.AlreadyEnded):
        services.add_tasks(
            colony_ids=[dead.pk], season_id=SeasonFactory(year=2027).pk, what="Patty", due_on=today, actor=ada
        )


def test_nothing_ticked_is_refused(ada):
    with pytest.raises(services.NoColonies, match=r"^Tick the colonies first\.$"):
        services.change_boxes(colony_ids=[], by=1, actor=ada)


def test_a_form_sent_twice_puts_one_box_on(three, ada):
    services.change_boxes(colony_ids=ids(three), by=1, actor=ada, once_key=KEY)

    with pytest.raises(AlreadyDone):
        services.change_boxes(colony_ids=ids(three), by=1, actor=ada, once_key=KEY)

    assert set(Colony.objects.values_list("boxes", flat=True)) == {3}
