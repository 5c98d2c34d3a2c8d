from datetime import UTC, date, datetime
from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.billing import services as billing
from apiary_ops.fieldbook.models import Record
from apiary_ops.orders.models import Line
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.nucs import BatchFactory, NucFactory
from tests.factories.orders import LineFactory, OrderFactory
from tests.factories.people import UserFactory
from tests.factories.pickups import PickupDayFactory
from tests.factories.queens import received_lot
from tests.factories.season import build_season
from tests.factories.yards import ColonyFactory, HoldFactory, TaskFactory, YardFactory

TODAY = date(2027, 6, 9)


@pytest.fixture
def today(settings):
    settings.PRETENDED_TODAY = TODAY
    return TODAY


@pytest.fixture
def desk(db, client, today):
    BusinessFactory()
    SeasonFactory()
    client.force_login(UserFactory())
    return client


def test_an_empty_desk_says_what_to_do_first(desk):
    page = desk.get(reverse("desk:home")).text

    assert "First steps of the season" in page
    assert page.count('aria-current="step"') == 1
    assert reverse("yards:add") in page
    assert "Nothing is late." in page


def test_what_is_late_stands_before_what_is_due(desk):
    yard = YardFactory(name="Mill Bank")
    TaskFactory(yard=yard, what="Pull the strips", due_on=date(2027, 6, 1), season=SeasonFactory())
    TaskFactory(yard=yard, what="Cell check", due_on=date(2027, 6, 12), season=SeasonFactory())

    response = desk.get(reverse("desk:home"))

    assert [item.text for item in response.context["late"]] == ["Pull the strips (Mill Bank)"]
    assert [item.text for item in response.context["due"]] == ["Cell check (Mill Bank)"]


def test_tasks_that_rules_made_stand_as_one_line_a_yard_and_kind(desk):
    yard, season = YardFactory(name="Mill Bank"), SeasonFactory()
    for place, day in ((1, 3), (2, 1), (3, 12)):
        colony = ColonyFactory(yard=yard, position=place)
        TaskFactory(yard=yard, colony=colony, rule="requeen", what="Requeen", due_on=date(2027, 6, day), season=season)

    late = desk.get(reverse("desk:home")).context["late"]

    assert [(item.text, item.day) for item in late] == [("Mill Bank: requeen at 3 colonies.", date(2027, 6, 1))]
    assert late[0].url == f"{reverse('yards:task-list')}?yard={yard.pk}&rule=requeen"


def test_a_record_that_waits_for_a_person_is_minded(desk):
    person = UserFactory(crew=True)
    Record.objects.create(
        key=uuid4(),
        device=uuid4(),
        kind="look",
        payload={"tag": "A1"},
        observed_by=person,
        sent_by=person,
        observed_at=datetime(2027, 6, 8, 9, tzinfo=UTC),
        received_at=datetime(2027, 6, 8, 17, tzinfo=UTC),
        state=Record.State.QUESTION,
    )

    short = desk.get(reverse("desk:home")).context["short"]

    assert "1 record from the field waits for a person." in [item.text for item in short]


def test_one_banked_queen_is_not_spoken_of_as_many(desk):
    received_lot(received=1, dead_on_arrival=0)

    late = desk.get(reverse("desk:home")).context["late"]

    assert "1 queen of lot 2027-Q01 is still banked." in [item.text for item in late]


def test_a_pickup_day_nobody_is_booked_on_is_not_work_to_do(desk):
    PickupDayFactory(on=date(2027, 6, 12))

    assert desk.get(reverse("desk:home")).context["due"] == []


def test_a_yard_on_hold_is_the_first_thing_on_the_desk(desk):
    HoldFactory(yard=YardFactory(name="Mill Bank"), starts_on=date(2027, 6, 2))

    late = desk.get(reverse("desk:home")).context["late"]

    assert late[0].text == "Mill Bank is on hold: brood disease suspected."


def test_the_gate_is_not_shown_what_it_may_not_open(desk):
    TaskFactory(what="Pull the strips", due_on=date(2027, 6, 1), season=SeasonFactory())
    desk.force_login(UserFactory(gate=True))

    assert "Pull the strips" not in desk.get(reverse("desk:home")).text


def test_the_season_line_answers_from_every_office_page(db, client, today, season_line, django_assert_max_num_queries):
    tiny = build_season()
    NucFactory(batch=BatchFactory(split_day__season=tiny.season), number=900, ready=True)
    client.force_login(tiny.owner)

    with django_assert_max_num_queries(60):
        response = client.get(reverse("desk:home"))

    figures = {figure.label: figure.value for figure in response.context["shell"].season_line}
    assert list(figures) == [
        "Graded", "Capacity", "Promised", "Queens landed", "Ready", "Handed over", "Deposits held",
    ]  # fmt: skip
    assert figures["Handed over"] == "6"
    assert figures["Ready"] == "1"


def test_crew_sees_no_season_line_and_no_money(db, client, today, season_line):
    build_season()
    client.force_login(UserFactory(crew=True))

    response = client.get(reverse("desk:home"))

    assert response.context["shell"].season_line == []
    assert "CAD" not in response.text


def test_one_hit_opens_at_once(desk):
    colony = ColonyFactory(tag="0042")

    response = desk.get(reverse("desk:search"), {"q": "0042"})

    assert response.url == reverse("yards:colony", args=[colony.tag])


def test_a_nuc_is_opened_by_the_number_on_its_box(desk):
    NucFactory(number=7)
    nuc = NucFactory(batch=BatchFactory(split_day__season=SeasonFactory()), number=41)

    response = desk.get(reverse("desk:search"), {"q": "#41"})

    assert response.url == reverse("nucs:nuc", args=[nuc.pk])


def test_several_hits_are_listed(desk):
    ColonyFactory(tag="0042")
    ColonyFactory(tag="0421")

    page = desk.get(reverse("desk:search"), {"q": "042"}).text

    assert "0042" in page
    assert "0421" in page


@pytest.mark.parametrize(("number", "page"), [("2027-00001", "billing:invoice"), ("r2027-00001", "billing:receipt")])
def test_a_paper_is_found_by_its_number(db, client, today, number, page):
    tiny = build_season()
    client.force_login(tiny.owner)

    response = client.get(reverse("desk:search"), {"q": number})

    assert response.url == reverse(page, args=[number.upper()])


def test_nothing_found_says_how_to_search(desk):
    assert "Nothing goes by that name." in desk.get(reverse("desk:search"), {"q": "zebra"}).text


@pytest.mark.parametrize("words", ["", "   ", "%", "' OR 1=1 --", "9" * 300, "<script>", "\u202eevil", "😀"])
def test_odd_words_are_harmless(desk, words):
    response = desk.get(reverse("desk:search"), {"q": words})

    assert response.status_code == 200
    assert "<script>" not in response.text


def test_crew_does_not_find_buyers(db, client, today):
    build_season()
    client.force_login(UserFactory(crew=True))

    response = client.get(reverse("desk:search"), {"q": "2027-0001"})

    assert response.context["hits"] == []


def test_one_banked_queen_is_told_in_the_singular(desk):
    received_lot(received=1, received_on=date(2027, 5, 20))

    late = [item.text for item in desk.get(reverse("desk:home")).context["late"]]

    assert "1 queen of lot 2027-Q01 is still banked." in late


def test_the_search_box_keeps_its_words_on_the_search_page_only(desk):
    kept = 'id="search-words" type="search" name="q" value="Fell"'

    assert kept in desk.get(reverse("desk:search"), {"q": "Fell"}).text
    assert kept not in desk.get(reverse("orders:new"), {"q": "Fell"}).text


def test_a_deposit_held_for_nothing_is_pointed_at(db, client, today):
    tiny = build_season()
    client.force_login(tiny.owner)
    billing.take_deposit(
        order_id=open_order(tiny).pk,
        cents=7_500,
        received_on=TODAY,
        received_at=datetime(2027, 6, 9, 12, tzinfo=UTC),
        method="cash",
        actor=tiny.owner,
    )
    Line.objects.filter(order__number="2027-0900").update(state="cancelled")

    texts = [item.text for item in client.get(reverse("desk:home")).context["short"]]
    assert any(text.startswith("Order 2027-0900 of") and "a deposit is still held" in text for text in texts)


def open_order(tiny):
    order = OrderFactory(season=tiny.season, number="2027-0900")
    LineFactory(order=order, kind=tiny.spring, round=tiny.round)
    return order
