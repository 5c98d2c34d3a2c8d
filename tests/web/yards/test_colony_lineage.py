"""What colonies have to do with each other: swapped, split, united, frames given and taken."""

from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.yards.models import Colony, FrameMove
from tests.factories.yards import ColonyFactory, FrameMoveFactory, HoldFactory, YardFactory
from tests.web.reading import text

pytestmark = pytest.mark.django_db


@pytest.fixture
def colony(yard):
    return ColonyFactory(yard=yard, tag="C0001", position=4)


@pytest.fixture
def other(yard):
    return ColonyFactory(yard=yard, tag="C0002", position=5)


def url(name, tag="C0001"):
    return reverse(f"yards:colony-{name}", args=[tag])


def page(client, tag="C0001"):
    return text(client.get(reverse("yards:colony", args=[tag])))


# --- Swapped.


def test_two_colonies_change_places(client, crew, colony, other):
    response = client.post(url("swap"), {"other": "C0002"}, follow=True)

    assert "C0001 stands at position 5 of Mill Lane." in response.text
    assert "C0002 stands at position 4 of Mill Lane." in response.text


def test_only_neighbours_are_offered_for_a_swap(client, crew, colony, other):
    ColonyFactory(yard=YardFactory(), tag="F1")

    response = client.post(url("swap"), {"other": "F1"})

    assert response.status_code == 422
    assert "5 · C0002" in response.text
    assert list(response.context["form"].errors) == ["other"]


# --- Split.

SPLIT = {"tag": "c0101", "started_on": "2027-04-12", "boxes": "1", "brood_frames": "3", "food_frames": "1"}


def test_a_split_is_shown_on_both_pages(client, crew, yard, colony):
    response = client.post(url("split"), SPLIT | {"yard": yard.pk, "once_key": uuid4()}, follow=True)

    assert "C0101 is split from C0001 and stands at position 5 of Mill Lane." in response.text
    assert '<dt>Split from</dt><dd><a href="/yards/colonies/C0001/">C0001</a>' in text(response)
    assert 'took from <a href="/yards/colonies/C0001/">C0001</a>' in text(response)
    parent = page(client)
    assert '<dt>Split off</dt><dd><a href="/yards/colonies/C0101/">C0101</a>' in parent
    assert "3 frames of brood and 1 frame of food, with bees" in parent


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"tag": "C0001"}, "tag", "The tag C0001 is already used. Each colony has its own; choose another."),
        ({"position": "4"}, "position", "C0001 already stands at position 4 of Mill Lane. Choose another."),
        (
            {"started_on": "2026-05-31"},
            "started_on",
            "C0001 started on Mon 1 Jun 2026. It cannot have been split before.",
        ),
        ({"brood_frames": "11"}, "brood_frames", "Ensure this value is less than or equal to 10."),
    ],
)
def test_a_split_that_cannot_be_is_refused_beside_its_field(change, field, words, client, crew, yard, colony):
    fields = SPLIT | {"yard": yard.pk, "once_key": uuid4(), "queen_origin": "own cells"} | change

    response = client.post(url("split"), fields)

    assert response.status_code == 422
    assert response.context["form"].errors[field] == [words]
    assert 'value="own cells"' in response.text
    assert Colony.objects.count() == 1


def test_a_split_sent_twice_leads_to_the_one_made(client, crew, yard, colony):
    fields = SPLIT | {"yard": yard.pk, "once_key": uuid4()}
    client.post(url("split"), fields)

    response = client.post(url("split"), fields)

    assert response.url == reverse("yards:colony", args=["C0101"])
    assert Colony.objects.count() == 2


# --- United.


def test_a_union_is_shown_on_both_pages(client, crew, colony, other):
    fields = {"other": "C0001", "on": "2027-04-12", "because": "queenless", "version": 1}

    response = client.post(url("unite", "C0002"), fields, follow=True)

    assert "C0002 is united into C0001; its position is free." in response.text
    assert "Mon 12 Apr 2027: queenless" in text(response)
    assert '<dt>United into</dt><dd><a href="/yards/colonies/C0001/">C0001</a>' in page(client, "C0002")


def test_a_held_colony_is_not_united_and_keeps_what_was_typed(client, crew, yard, colony, other):
    HoldFactory(yard=yard, colony=other, reason="odd brood")
    fields = {"other": "C0001", "on": "2027-04-12", "because": "too weak", "version": 1}

    response = client.post(url("unite", "C0002"), fields)

    assert response.status_code == 422
    assert "C0002 is on hold (odd brood): C0002 cannot be united. Ask the inspector first." in response.text
    assert 'value="too weak"' in response.text


def test_a_stale_union_says_so(client, crew, colony, other):
    fields = {"other": "C0001", "on": "2027-04-12", "because": "", "version": 9}

    response = client.post(url("unite", "C0002"), fields)

    assert response.status_code == 422
    assert "Someone changed this record after you opened it." in response.text


# --- Frames.

MOVE = {"way": "gave", "other": " c0002 ", "on": "2027-04-12", "brood_frames": "2", "food_frames": ""}


def test_frames_given_are_recorded_and_shown(client, crew, colony, other):
    response = client.post(url("frames"), MOVE | {"once_key": uuid4()}, follow=True)

    assert "C0001 gave C0002 2 frames of brood." in response.text
    assert 'gave to <a href="/yards/colonies/C0002/">C0002</a>' in text(response)


def test_frames_taken_go_the_other_way(client, crew, colony, other):
    client.post(url("frames"), MOVE | {"way": "took", "with_bees": "on", "once_key": uuid4()})

    move = FrameMove.objects.get()
    assert (move.from_colony, move.to_colony, move.with_bees) == (other, colony, True)


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"other": "X9"}, "other", "No colony has the tag X9. Read the lid again."),
        ({"other": "C0001"}, "other", "Frames move from one colony to another. Choose two."),
        ({"brood_frames": ""}, "brood_frames", "Say how many frames moved, at most 10 of each."),
        (
            {"on": "2027-04-13"},
            "on",
            "A move of frames cannot be recorded before it happens: Tue 13 Apr 2027 is still to come.",
        ),
    ],
)
def test_a_move_that_cannot_be_is_refused_beside_its_field(change, field, words, client, crew, colony, other):
    response = client.post(url("frames"), MOVE | change | {"once_key": uuid4()})

    assert response.status_code == 422
    assert response.context["form"].errors[field] == [words]
    assert not FrameMove.objects.exists()


def test_frames_do_not_leave_a_yard_on_hold(client, crew, yard, colony, other):
    HoldFactory(yard=yard, reason="brood disease suspected")

    response = client.post(url("frames"), MOVE | {"once_key": uuid4()})

    assert response.status_code == 422
    assert "Mill Lane is on hold (brood disease suspected): C0001 cannot give frames." in response.text


def test_a_mistake_is_struck_and_stays_on_the_page(client, crew, colony, other):
    move = FrameMoveFactory(from_colony=colony, to_colony=other)
    strike = reverse("yards:frames-strike", args=[move.pk])
    assert "C0001 gave C0002 2 frames of brood." in client.get(strike).text

    response = client.post(strike, {"because": "recorded twice"}, follow=True)

    assert "<del>2 frames of brood</del>" in response.text
    assert "recorded twice" in response.text
    again = client.post(strike, {"because": "recorded twice"})
    assert again.status_code == 422
    assert "This move was already struck on Mon 12 Apr 2027." in again.text


# --- The page.


def test_a_colony_page_takes_a_fixed_number_of_queries(client, crew, yard, colony, django_assert_max_num_queries):
    for number in range(20):
        child = ColonyFactory(yard=yard, split_from=colony, tag=f"N{number}", position=50 + number)
        FrameMoveFactory(from_colony=colony, to_colony=child)

    with django_assert_max_num_queries(25):
        client.get(reverse("yards:colony", args=["C0001"]))
