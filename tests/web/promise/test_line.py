"""One line: is there room, promise it, let it wait, or promise it all the same."""

from datetime import UTC, datetime

import pytest
from django.urls import reverse

from apiary_ops.promise.models import Override, Telling

pytestmark = pytest.mark.django_db


def page_of(line, name="promise-line"):
    return reverse(f"promise:{name}", args=[line.pk])


@pytest.mark.usefixtures("forecast")
def test_a_line_with_room_is_promised_by_one_press(client, ask, sign_in):
    sign_in(office=True)
    line = ask(8)

    before = client.get(page_of(line))
    after = client.post(page_of(line), follow=True)

    assert "Promise it</button>" in before.text
    assert after.redirect_chain[0][0] == reverse("orders:order", args=[line.order.number])
    assert "8 × 5-frame spring nuc are promised to Ada Fell for the first round." in after.text
    line.refresh_from_db()
    assert line.state == "promised"


@pytest.mark.usefixtures("forecast")
def test_the_deposit_is_complete_at_the_hour_of_the_place(client, ask, sign_in):
    sign_in(office=True)
    line = ask(2)
    line.order.deposit_complete_at = datetime(2027, 1, 5, 1, 30, tzinfo=UTC)
    line.order.save()

    page = client.get(page_of(line))

    assert "Mon 4 Jan 2027, 21:30" in page.text


@pytest.mark.usefixtures("forecast")
def test_a_line_without_room_waits_and_says_why(client, ask, sign_in):
    sign_in(office=True)
    line = ask(9)

    before = client.get(page_of(line))
    after = client.post(page_of(line), follow=True)

    assert "Put it on the waitlist</button>" in before.text
    assert "Promise it all the same" not in before.text
    assert "9 asked, 8 more are safe in a late spring (5-frame spring nuc, first round)." in after.text
    again = client.get(page_of(line))
    assert "There is not yet room for it." in again.text
    assert "Put it on the waitlist</button>" not in again.text


@pytest.mark.usefixtures("forecast")
def test_a_promised_line_is_not_promised_again(client, ask, sign_in):
    sign_in(office=True)
    line = ask(2, state="promised")

    page = client.get(page_of(line))
    after = client.post(page_of(line), follow=True)

    assert "This line is promised." in " ".join(page.text.split())
    assert "This line is promised already." in after.text


@pytest.mark.usefixtures("forecast")
def test_from_the_waitlist_one_comes_back_to_it(client, ask, sign_in):
    sign_in(office=True)
    line = ask(2, state="waiting")

    form = client.get(page_of(line), {"back": "waitlist"})
    after = client.post(page_of(line), {"back": "waitlist"}, follow=True)

    assert 'name="back" value="waitlist"' in form.text
    assert after.redirect_chain[0][0] == reverse("promise:waitlist")


@pytest.mark.usefixtures("forecast")
def test_the_owner_promises_beyond_with_a_reason(client, ask, sign_in):
    owner = sign_in()
    line = ask(9, state="waiting")

    offered = client.get(page_of(line))
    after = client.post(page_of(line, "override-line"), {"reason": "the second yard is early"}, follow=True)

    assert page_of(line, "override-line") in offered.text
    assert "are promised to Ada Fell" in after.text
    assert "1 beyond the safe number, by" in after.text
    assert Override.objects.get().made_by == owner


@pytest.mark.usefixtures("forecast")
def test_beyond_without_a_reason_is_refused_beside_the_field(client, ask, sign_in):
    sign_in()
    line = ask(9)

    page = client.post(page_of(line, "override-line"), {"reason": ""})

    assert page.status_code == 422
    assert "This field is required." in page.text
    assert "In a late spring someone who was promised a nuc of this round would not get it in time." in page.text


def test_a_week_is_written_down_as_told(client, ask, sign_in):
    user = sign_in(office=True)
    line = ask(2, state="promised")

    form = client.get(page_of(line, "tell"))
    after = client.post(page_of(line, "tell"), {"firmness": "week", "on": "2027-06-09"}, follow=True)

    assert form.status_code == 200
    assert "Ada Fell was told: week of 7 June." in after.text
    assert f"as a week, on Mon 12 Apr by {user}" in after.text
    telling = Telling.objects.get()
    assert (str(telling.starts_on), str(telling.ends_before)) == ("2027-06-07", "2027-06-14")


def test_a_day_is_written_down_with_its_reason(client, ask, sign_in):
    sign_in(office=True)
    line = ask(2, state="promised")

    data = {"firmness": "day", "on": "2027-06-09", "reason": "rain on Tuesday"}
    after = client.post(page_of(line, "tell"), data, follow=True)

    assert "Wed 9 Jun 2027" in after.text
    assert "rain on Tuesday" in after.text


def test_nothing_is_told_of_a_line_that_waits(client, ask, sign_in):
    sign_in(office=True)
    line = ask(2, state="waiting")

    page = client.post(page_of(line, "tell"), {"firmness": "week", "on": "2027-06-09"})

    assert page.status_code == 422
    assert "This line is waiting. Promise it first." in page.text
