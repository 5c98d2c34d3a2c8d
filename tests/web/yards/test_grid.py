"""The sheet typed on a keyboard: one row a colony, one sending, all or none, nothing lost."""

from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.yards import services
from apiary_ops.yards.models import Look
from tests.factories.yards import ColonyFactory, LookFactory, VisitFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(yard):
    return VisitFactory(yard=yard, temperature_c=Decimal(12))


@pytest.fixture
def colonies(yard):
    return [ColonyFactory(yard=yard, tag=f"A{position}", position=position) for position in (2, 1, 3)]


def at(visit):
    return reverse("yards:grid", args=[visit.pk])


def opened(client, visit):
    """What a browser would send of the page as it was opened."""
    grid = client.get(at(visit)).context["grid"]
    fields = {"once_key": str(uuid4())}
    for row in grid.rows:
        for cell in [*row.cells, row["was"]]:
            fields[cell.html_name] = cell.value() or ""
    return fields


def typed(colony, **cells):
    return {f"colony{colony.pk}-{name}": value for name, value in cells.items()}


def test_the_rows_stand_in_walking_order_with_a_name_for_each_cell(client, crew, visit, colonies):
    page = client.get(at(visit))

    assert [row.stop.colony.tag for row in page.context["grid"].rows] == ["A1", "A2", "A3"]
    assert 'aria-label="A1, Lower box"' in page.text
    assert page.text.index('aria-label="A1, Note"') < page.text.index('aria-label="A2, Below"')  # Tab goes by row


def test_short_words_and_commas_are_understood(client, crew, visit, colonies):
    second, first, _third = colonies
    fields = opened(client, visit)
    fields |= typed(first, below_halves="5,5", lower_box="f", patty="G", queen="ok", sealed_halves="2")
    fields |= typed(second, above_halves="7½", queen="sp", note="mouse inside")

    response = client.post(at(visit), fields)

    assert response.url == reverse("yards:visit", args=[visit.pk])
    assert list(
        Look.objects.order_by("colony__position").values_list(
            "colony__tag", "below_halves", "above_halves", "lower_box", "patty", "sealed_halves", "queen", "note"
        )
    ) == [
        ("A1", 11, None, "few", "gone", 4, "seen", ""),
        ("A2", None, 15, "", "", None, "spotty", "mouse inside"),
    ]


def test_every_error_stands_beside_its_cell_and_no_row_is_saved(client, crew, visit, colonies, yard):
    second, first, _third = colonies
    single = ColonyFactory(yard=yard, tag="S1", position=9, boxes=1)
    fields = opened(client, visit)
    fields |= typed(first, below_halves="5.3") | typed(second, queen="s") | typed(single, below_halves="11")

    response = client.post(at(visit), fields)

    page = response.text
    assert response.status_code == 422
    assert Look.objects.count() == 0
    assert "A1: “5.3” is not in half frames. Type 5, 5.5 or 5½." in page
    assert "A2: “s” is not plain. Type one of: ok, spotty." in page
    assert "S1: At most 10 frames fit its boxes." in page
    assert f'<a href="#id_colony{single.pk}-below_halves">S1, Below</a>' in page
    assert f'name="colony{first.pk}-below_halves" value="5.3"' in page


def test_a_look_taken_before_is_mended_on_the_sheet(client, crew, visit, colonies):
    look = LookFactory(visit=visit, colony=colonies[0], below_halves=11, lower_box="spilling", queen="none")
    fields = opened(client, visit)

    client.post(at(visit), fields | typed(colonies[0], below_halves="6", queen=""))

    look.refresh_from_db()
    assert fields[f"colony{colonies[0].pk}-below_halves"] == "5.5"
    assert (fields[f"colony{colonies[0].pk}-lower_box"], fields[f"colony{colonies[0].pk}-queen"]) == (
        "spilling",
        "queenless",
    )
    assert (look.below_halves, look.lower_box, look.queen, look.version) == (12, "spilling", "", 2)


def test_a_sheet_sent_as_it_was_opened_changes_nothing(client, crew, visit, colonies):
    look = LookFactory(visit=visit, colony=colonies[0], below_halves=11, note="a | b")

    response = client.post(at(visit), opened(client, visit), follow=True)

    look.refresh_from_db()
    assert look.version == 1
    assert response.redirect_chain[0][0] == reverse("yards:visit", args=[visit.pk])


def test_somebody_elses_look_is_not_typed_over_unasked(client, crew, visit, colonies):
    fields = opened(client, visit) | typed(colonies[0], below_halves="6") | typed(colonies[1], below_halves="4")
    LookFactory(visit=visit, colony=colonies[0], below_halves=11)

    asked = client.post(at(visit), fields)
    again = fields | {cell.html_name: cell.value() for cell in [row["was"] for row in asked.context["grid"].rows]}
    answered = client.post(at(visit), again)

    assert asked.status_code == 422
    assert "A2: Now stands as: 5.5" in asked.text
    assert answered.url == reverse("yards:visit", args=[visit.pk])
    assert dict(Look.objects.values_list("colony__tag", "below_halves")) == {"A2": 12, "A1": 8}


def test_a_row_nobody_touched_keeps_what_somebody_else_corrected(client, crew, visit, colonies):
    look = LookFactory(visit=visit, colony=colonies[0], below_halves=11)
    fields = opened(client, visit) | typed(colonies[1], below_halves="4")
    services.correct_look(look_id=look.pk, version=1, changes={"below_halves": 14}, actor=crew)

    response = client.post(at(visit), fields)

    look.refresh_from_db()
    assert response.status_code == 302
    assert look.below_halves == 14


def test_a_row_emptied_altogether_is_refused_by_name(client, crew, visit, colonies):
    LookFactory(visit=visit, colony=colonies[0], below_halves=11)
    fields = opened(client, visit) | typed(colonies[0], below_halves="")

    response = client.post(at(visit), fields)

    assert response.status_code == 422
    assert "Nothing was noted of A2. Tap what you saw, or skip it." in response.text


def test_a_double_click_notes_the_sheet_once(client, crew, visit, colonies):
    fields = opened(client, visit) | typed(colonies[0], below_halves="6")
    client.post(at(visit), fields)

    response = client.post(at(visit), fields)

    assert response.url == reverse("yards:visit", args=[visit.pk])
    assert Look.objects.get().version == 1


def test_frames_out_in_the_cold_are_said_once(client, crew, yard, colonies):
    visit = VisitFactory(yard=yard, temperature_c=Decimal(6))
    fields = opened(client, visit) | typed(colonies[0], sealed_halves="2") | typed(colonies[1], sealed_halves="3")

    page = client.post(at(visit), fields, follow=True).text

    assert page.count("Frames were out at 6 °C.") == 1


def test_forty_colonies_take_a_fixed_number_of_queries(client, crew, visit, yard, django_assert_max_num_queries):
    for colony in ColonyFactory.create_batch(40, yard=yard):
        LookFactory(visit=visit, colony=colony)

    with django_assert_max_num_queries(12):
        response = client.get(at(visit))

    assert response.status_code == 200
