"""The tally of a yard: one number a grade, corrected on the same page."""

from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.yards import services
from apiary_ops.yards.models import Tally
from tests.factories.yards import ColonyFactory, VisitFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(yard):
    ColonyFactory.create_batch(6, yard=yard)
    return VisitFactory(yard=yard, depth="tally")


def at(visit):
    return reverse("yards:tally", args=[visit.pk])


def counted():
    return dict(Tally.objects.get().counts.values_list("grade", "colonies"))


def test_the_page_asks_for_each_grade_in_order_and_for_the_dead(client, crew, visit):
    page = client.get(at(visit))

    labels = [str(field.label) for field in page.context["form"].visible_fields()]
    assert labels == ["Best", "Ordinary", "Slow", "Behind", "Dead"]
    assert "6 colonies stand here by the book." in page.text


def test_a_tally_is_noted_and_shown_with_the_visit(client, crew, visit):
    response = client.post(
        at(visit), {"once_key": uuid4(), "grade_0": "2", "grade_1": "3", "grade_2": "", "dead": "1"}, follow=True
    )

    assert response.redirect_chain[0][0] == reverse("yards:visit", args=[visit.pk])
    assert counted() == {"best": 2, "ordinary": 3}
    assert "The tally is noted." in response.text
    assert "Correct the tally" in response.text
    assert "were counted, but" not in response.text


def test_a_count_that_is_not_the_books_gets_a_word(client, crew, visit):
    response = client.post(at(visit), {"once_key": uuid4(), "grade_0": "4"}, follow=True)

    assert "4 were counted, but 6 stand here by the book. Add or end what differs." in response.text


def test_a_slip_of_the_pen_is_refused_and_stays_typed(client, crew, visit):
    response = client.post(at(visit), {"once_key": uuid4(), "grade_0": "40"})

    assert response.status_code == 422
    assert "40 were counted, but 6 stand in Mill Lane. Count again, or add the colonies first." in response.text
    assert response.context["form"]["grade_0"].value() == "40"


def test_a_double_click_notes_one_tally(client, crew, visit):
    fields = {"once_key": uuid4(), "grade_0": "4"}
    client.post(at(visit), fields)

    response = client.post(at(visit), fields)

    assert response.url == reverse("yards:visit", args=[visit.pk])
    assert Tally.objects.count() == 1


def test_two_people_who_tally_one_visit_are_told(client, crew, visit):
    client.post(at(visit), {"once_key": uuid4(), "grade_0": "4"})

    response = client.post(at(visit), {"once_key": uuid4(), "grade_0": "5"})

    assert response.status_code == 422
    assert "Mill Lane was already tallied on this visit. Correct that tally instead." in response.text
    assert counted() == {"best": 4}


def test_a_tally_is_corrected_on_the_same_page(client, crew, visit):
    services.record_tally(visit_id=visit.pk, counts={"best": 4}, dead=0, actor=crew)

    opened = client.get(at(visit)).context["form"]
    client.post(at(visit), {"version": 1, "grade_0": "3", "grade_1": "2", "dead": "1"})

    assert (opened["grade_0"].value(), opened["grade_1"].value()) == (4, 0)
    assert counted() == {"best": 3, "ordinary": 2}


def test_a_correction_of_an_older_tally_is_a_question(client, crew, visit):
    tally = services.record_tally(visit_id=visit.pk, counts={"best": 4}, dead=0, actor=crew)
    services.correct_tally(tally_id=tally.pk, version=1, counts={"best": 5}, dead=0, actor=crew)

    response = client.post(at(visit), {"version": 1, "grade_0": "3", "dead": "0"})

    assert response.status_code == 422
    assert response.context["form"].errors["grade_0"] == ["Now stands as: 5"]
    assert 'name="version" value="2"' in response.text


def test_a_first_tally_has_nothing_that_changed(client, crew, visit):
    assert "What changed" not in client.get(at(visit)).text


def test_what_changed_of_a_tally_does_not_repeat_the_page(client, crew, visit):
    services.record_tally(visit_id=visit.pk, counts={"best": 4}, dead=0, actor=crew)

    page = client.get(at(visit)).text

    assert "What changed" in page
    assert page.count("6 colonies stand here by the book.") == 1
