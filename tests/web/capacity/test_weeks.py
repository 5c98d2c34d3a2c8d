"""What each week adds, a week a row."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from apiary_ops.capacity.models import WeekLimit

pytestmark = pytest.mark.django_db

PAGE = reverse("capacity:weeks")
WEEK, NEXT = date(2027, 4, 12), date(2027, 4, 19)


def sent(*rows):
    data = {"weeks-TOTAL_FORMS": len(rows), "weeks-INITIAL_FORMS": len(rows)}
    for place, row in enumerate(rows):
        data |= {f"weeks-{place}-{name}": value for name, value in ({"version": 0} | row).items()}
    return data


def test_every_week_to_come_has_its_row(client, season, sign_in):
    sign_in(office=True)
    WeekLimit.objects.create(season=season, week=NEXT, boxes=40)

    page = client.get(PAGE)

    assert page.status_code == 200
    weeks = [WEEK + timedelta(weeks=number) for number in range(14)]
    assert [f'value="{week}"' in page.text for week in weeks] == [True] * 14
    assert "week of 12 April" in page.text
    assert 'value="40"' in page.text


def test_what_is_typed_is_kept(client, season, sign_in):
    user = sign_in(office=True)

    page = client.post(PAGE, sent({"week": WEEK, "boxes": 40, "person_days": "2.5"}, {"week": NEXT}), follow=True)

    assert "The weeks are saved." in page.text
    row = WeekLimit.objects.get()
    assert (row.week, row.boxes, row.person_days, row.drawn_combs) == (WEEK, 40, 2.5, None)
    assert row.history.first().history_user == user


def test_less_than_nothing_is_refused_beside_its_field(client, season, sign_in):
    sign_in(office=True)

    page = client.post(PAGE, sent({"week": WEEK, "boxes": -3}))

    assert page.status_code == 422
    assert "Ensure this value is greater than or equal to 0." in page.text
    assert "Not saved. What you typed is still here" in page.text
    assert "week of 12 April" in page.text


def test_a_week_someone_overtook_says_what_stands_now(client, season, sign_in):
    sign_in(office=True)
    WeekLimit.objects.create(season=season, week=WEEK, boxes=40, version=2)

    page = client.post(PAGE, sent({"week": WEEK, "boxes": 50, "version": 1}))

    assert page.status_code == 422
    assert "Now stands as: 40" in page.text
    assert 'name="weeks-0-version" value="2"' in page.text


@pytest.mark.parametrize("week", ["2027-04-13", "no day"])
def test_a_week_that_is_none_is_refused(client, season, sign_in, week):
    sign_in(office=True)

    page = client.post(PAGE, sent({"week": week, "boxes": 1}))

    assert page.status_code == 422
    assert not WeekLimit.objects.exists()
