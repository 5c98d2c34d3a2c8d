"""Several colonies at once: ticked, one act chosen, all or none, then said which."""

from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.yards.models import Colony, Task
from tests.factories.yards import ColonyFactory, HoldFactory, LookFactory, VisitFactory, YardFactory
from tests.web.reading import text

pytestmark = pytest.mark.django_db


@pytest.fixture
def three(yard):
    return [ColonyFactory(yard=yard, tag=f"C{place}", position=place) for place in (1, 2, 3)]


@pytest.fixture
def url():
    return reverse("yards:bulk", args=["mill-lane"])


def send(client, url, act, colonies=("C1", "C3"), **more):
    fields = {"act": act, "colonies": colonies, "purpose": "nucs", "once_key": uuid4()} | more
    return client.post(url, fields, follow=True)


def test_a_yard_leads_to_its_colonies_together(client, crew, three, url):
    assert f'href="{url}"' in client.get(reverse("yards:detail", args=["mill-lane"])).text


def test_colonies_are_kept_for_something_and_the_summary_names_them(client, crew, three, url):
    response = send(client, url, "keep", purpose="honey", ends_on="2027-05-20")

    assert "Kept for honey: 2 colonies, C1, C3." in response.text
    assert list(Colony.objects.order_by("tag").values_list("purpose", flat=True)) == ["honey", "nucs", "honey"]


def test_colonies_move_together(client, crew, three, url):
    there = YardFactory(name="Far Field")

    response = send(client, url, "move", yard=there.pk)

    assert "Moved to Far Field: 2 colonies, C1, C3." in response.text
    assert Colony.objects.filter(yard=there).count() == 2


def test_each_is_given_a_task(client, crew, three, url, today):
    response = send(client, url, "task", what="Give a patty", due_on="2027-04-15")

    assert "Task noted, Give a patty: 2 colonies, C1, C3." in response.text
    assert Task.objects.count() == 2


@pytest.mark.parametrize(("act", "said", "boxes"), [("box_on", "A box put on", 3), ("box_off", "A box taken off", 1)])
def test_boxes_change_together(act, said, boxes, client, crew, three, url):
    response = send(client, url, act, ("C2",))

    assert f"{said}: 1 colony, C2." in response.text
    assert Colony.objects.get(tag="C2").boxes == boxes


def test_dead_ones_are_written_off_together(client, crew, three, url, today):
    response = send(client, url, "lost", on="2027-04-12", common="disease suspected")

    assert "Lost, disease suspected: 2 colonies, C1, C3." in response.text
    assert "Close the hive so that no bee robs it" in response.text
    assert Colony.objects.filter(state="lost", loss_cause="disease suspected").count() == 2


# --- Refused.


def test_a_refusal_keeps_the_ticks_and_what_was_typed(client, crew, yard, three, url):
    HoldFactory(yard=yard, colony=three[2], reason="odd brood")
    there = YardFactory(name="Far Field")

    response = send(client, url, "move", yard=there.pk, what="Give a patty")

    assert response.status_code == 422
    assert "C3 is on hold (odd brood): C3 cannot move." in response.text
    assert response.text.count('name="colonies"') == 3
    assert text(response).count("checked") == 4  # two ticks, the act, the cause not chosen
    assert 'value="Give a patty"' in response.text
    assert Colony.objects.filter(yard=there).count() == 0


@pytest.mark.parametrize(
    ("act", "colonies", "field", "words"),
    [
        ("box_on", (), "colonies", "Tick the colonies first."),
        ("box_on", ("X9",), "colonies", "Select a valid choice. X9 is not one of the available choices."),
        ("", ("C1",), "act", "Choose what is done with them."),
        ("move", ("C1",), "yard", "This is needed for what you chose."),
        ("task", ("C1",), "what", "This is needed for what you chose."),
        ("lost", ("C1",), "cause", "This is needed for what you chose."),
    ],
)
def test_what_is_missing_is_said_beside_its_field(act, colonies, field, words, client, crew, three, url):
    response = send(client, url, act, colonies)

    assert response.status_code == 422
    assert response.context["form"].errors[field] == [words]


def test_a_form_sent_twice_is_carried_out_once(client, crew, three, url):
    key = uuid4()
    send(client, url, "box_on", once_key=key)

    response = send(client, url, "box_on", once_key=key)

    assert "This was already recorded; nothing was done twice." in response.text
    assert Colony.objects.get(tag="C1").boxes == 3


# --- Ticked beforehand.


def test_a_grade_or_all_are_ticked_beforehand(client, crew, yard, three, url, third_of_april):
    LookFactory(visit=VisitFactory(yard=yard, on=third_of_april), colony=three[1], below_halves=12)

    def ticked(query):
        return client.get(url + query).context["form"]["colonies"].value()

    assert ticked("?tick=best") == ["C2"]
    assert ticked("?tick=every") == ["C1", "C2", "C3"]
    assert ticked("") == []
    assert "best (1)" in client.get(url).text


def test_an_empty_yard_says_what_to_do_first(client, crew, yard, url):
    assert "Add them in walking order" in client.get(url).text


def test_forty_colonies_take_a_fixed_number_of_queries(client, crew, yard, url, django_assert_max_num_queries):
    ColonyFactory.create_batch(40, yard=yard)

    with django_assert_max_num_queries(14):
        client.get(url)
