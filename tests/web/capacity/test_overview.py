"""What the season can give, in three springs, with what binds and what it rests on."""

from datetime import date

import pytest
from django.urls import reverse
from django_tasks_db.models import DBTaskResult

from tests.factories.capacity import STATED, ForecastFactory, stand_forecast
from tests.factories.nucs import NucKindFactory
from tests.factories.orders import LineFactory, OrderFactory, RoundFactory
from tests.factories.queens import QueenOrderFactory
from tests.factories.yards import YardFactory

pytestmark = pytest.mark.django_db

PAGE = reverse("capacity:overview")
WEEK, NEXT = date(2027, 5, 3), date(2027, 5, 10)


@pytest.fixture
def forecast(season, kind):
    """Two weeks of one yard in three springs, one colony in five not seen."""
    yard = YardFactory(name="River yard")
    forecast = ForecastFactory(
        season=season,
        colonies_counted=40,
        colonies_left_out={"kept for honey": 6, "not looked at this year": 2},
        unseen_tags=["N7", "N9"],
        last_looked_on=date(2027, 4, 9),
        assumptions=STATED,
    )
    for spring, by in {"low": (10, 20), "middle": (30, 50), "high": (40, 60)}.items():
        stand_forecast(
            season, kind, dict(zip((WEEK, NEXT), by, strict=True)), spring=spring, yard=yard, forecast=forecast
        )
    return forecast


def test_without_a_forecast_the_page_says_what_to_do_first(client, season, kind, sign_in):
    sign_in()

    page = client.get(PAGE)

    assert page.status_code == 200
    assert "No forecast is made yet." in page.text
    assert "Look at the colonies in the yards, then press “Recompute”" in page.text


@pytest.mark.usefixtures("forecast")
def test_a_kind_shows_its_range_its_weeks_and_what_they_rest_on(client, sign_in):
    sign_in()

    page = client.get(PAGE)

    assert page.status_code == 200
    assert "20–60" in page.text
    assert "50 in a middle spring" in page.text
    assert "looking from Mon 12 Apr 2027" in page.text
    assert "Kept for honey" in page.text
    assert "N7, N9" in page.text
    assert "common practice: between a usual late spring of 7 and a bad year of 14 to 21" in page.text
    assert "River yard" in page.text
    assert "<style" not in page.text
    assert "style=" not in page.text


@pytest.mark.usefixtures("forecast")
def test_the_resource_that_binds_is_named_with_what_more_of_it_adds(client, season, sign_in):
    sign_in()
    QueenOrderFactory(season=season, queens=35, ship_week=NEXT)

    rows = client.get(PAGE, {"export": "csv"}).content.decode("utf-8-sig").splitlines()

    assert rows == [
        'Made up by,Late spring,Middle,Early,"Alone, middle",What binds,Can be made,More of it adds',
        "2027-05-03,10,30,40,15,queens,0,30 (next: brood)",
        "2027-05-10,20,50,60,25,queens,35,15 (next: brood)",
    ]


@pytest.mark.usefixtures("forecast")
def test_promises_stand_beside_what_could_be_sold_with_a_picture_and_its_table(client, season, kind, sign_in):
    sign_in()
    round_ = RoundFactory(season=season, starts_on=date(2027, 5, 31), ends_before=date(2027, 6, 14))
    LineFactory(order=OrderFactory(season=season), round=round_, kind=kind, quantity=12, state="promised")

    page = client.get(PAGE)

    assert '<svg class="picture"' in page.text
    assert '<title id="picture-title-wide">Capacity against promises by week of sale</title>' in page.text
    assert "12 promised" in page.text
    table = page.text[page.text.index("could be sold by the end of each week") :]
    assert table.index("week of 7 June") < table.index(">12<")


@pytest.mark.usefixtures("forecast")
def test_another_kind_is_chosen_by_its_figure(client, season, sign_in):
    sign_in()
    NucKindFactory(code="winter", name="overwintered nuc")

    page = client.get(PAGE)
    other = client.get(PAGE, {"kind": "winter"})

    assert f'href="{PAGE}?kind=winter"' in page.text
    assert "No colony can give a nuc of this kind in any of the three springs." in other.text
    assert client.get(PAGE, {"kind": "nothing"}).status_code == 404


@pytest.mark.usefixtures("forecast")
def test_a_page_out_of_date_says_so(client, sign_in):
    sign_in()

    page = client.get(PAGE)

    assert "changed since this was computed" in page.text


@pytest.mark.usefixtures("forecast")
def test_recompute_queues_the_work_and_the_page_does_not_wait(
    client, season, sign_in, django_capture_on_commit_callbacks
):
    sign_in(office=True)

    with django_capture_on_commit_callbacks(execute=True):
        page = client.post(reverse("capacity:recompute"), follow=True)

    assert "The forecast is being made" in page.text
    assert "<strong>recomputing</strong>" in client.get(PAGE).text
    task = DBTaskResult.objects.get()
    assert task.args_kwargs["kwargs"]["today"] == "2027-04-12"
    assert "A forecast waits already" in client.post(reverse("capacity:recompute"), follow=True).text
    assert DBTaskResult.objects.count() == 1


@pytest.mark.usefixtures("forecast")
def test_an_attempt_that_failed_is_not_kept_quiet(client, season, sign_in, django_capture_on_commit_callbacks):
    sign_in(office=True)
    with django_capture_on_commit_callbacks(execute=True):
        client.post(reverse("capacity:recompute"))
    DBTaskResult.objects.update(status="FAILED")

    page = client.get(PAGE)

    assert "The last attempt failed." in page.text
    assert "<strong>recomputing</strong>" not in page.text


@pytest.mark.usefixtures("forecast")
def test_crew_sees_counts_and_nothing_to_press(client, sign_in):
    sign_in(crew=True)

    page = client.get(PAGE)

    assert page.status_code == 200
    assert "20–60" in page.text
    assert "Recompute</button>" not in page.text
    assert reverse("capacity:assumptions") not in page.text


def test_more_yards_ask_the_database_no_more(client, season, kind, sign_in, django_assert_max_num_queries):
    sign_in()
    forecast = stand_forecast(season, kind, {WEEK: 3, NEXT: 4})
    for _ in range(20):
        for spring in ("low", "middle", "high"):
            stand_forecast(season, kind, {WEEK: 3, NEXT: 4}, spring=spring, yard=YardFactory(), forecast=forecast)

    with django_assert_max_num_queries(35):
        assert client.get(PAGE).status_code == 200
