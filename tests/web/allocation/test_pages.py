from datetime import UTC, datetime

import pytest
from django.urls import reverse

from apiary_ops.allocation import queries, services
from apiary_ops.allocation.models import Pin, Plan
from apiary_ops.business import stamps
from tests.factories.allocation import TODAY, owed, ready
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.nucs import NucKindFactory
from tests.web.reading import text

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def day(settings):
    settings.PRETENDED_TODAY = TODAY
    BusinessFactory()
    return SeasonFactory()


def worked_out(client) -> Plan:
    client.post(reverse("allocation:propose"))
    return Plan.objects.latest("pk")


def test_before_the_first_plan_the_page_says_what_to_do(client, office):
    page = text(client.get(reverse("allocation:plan")))

    assert "No plan is worked out yet." in page
    assert "Work out the first plan" in page


def test_a_plan_is_worked_out_and_shown_line_by_line(client, office):
    owed(2, name="Ada Fern")
    owed(3, name="Ben Moss")
    ready(4)

    response = client.post(reverse("allocation:propose"), follow=True)

    page = text(response)
    assert "A new plan is worked out. Look at what it changes before you accept it." in page
    assert "2, week of 31 May" in page
    assert "Given the week of 31 May, the earliest it can take." in page
    assert "Short of 3: it goes whole, and the best of its weeks had only 2 left after the lines before it." in page
    assert "Accept this plan" in page


def test_working_it_out_again_without_a_change_says_so(client, office):
    owed(1)
    worked_out(client)

    response = client.post(reverse("allocation:propose"), follow=True)

    assert "Nothing has changed since this plan was made; it comes out the same." in text(response)


def test_accepting_asks_first_and_then_makes_the_plan_stand(client, office, day):
    owed(1, name="Ada Fern")
    plan = worked_out(client)
    address = reverse("allocation:accept", args=[plan.pk])

    asked = client.get(address)
    assert "Make this the plan that stands?" in text(asked)
    assert "1 nuc stays short." in text(asked)
    response = client.post(address, follow=True)

    assert "This plan stands now." in text(response)
    assert "The plan that stands, made" in text(response)
    assert queries.standing_plan(day.pk) == plan


def test_a_stale_plan_is_refused_with_what_changed(client, office, day):
    owed(1)
    plan = worked_out(client)
    stamps.bump(day.pk, "nucs")

    shown = client.get(reverse("allocation:plan"))
    response = client.post(reverse("allocation:accept", args=[plan.pk]))

    assert "This has changed since the plan was made: nucs. Work out a new one." in text(shown)
    assert response.status_code == 422
    assert "This has changed since the plan was made: nucs. Work out a new plan" in text(response)
    assert queries.standing_plan(day.pk) is None


def test_a_proposal_shows_who_gains_and_who_slips(client, office, day):
    late = owed(1, name="Late Payer")
    services.accept_plan(plan_id=worked_out(client).pk, now=datetime(2027, 6, 2, 9, tzinfo=UTC), actor=office)
    ready(1)
    stamps.bump(day.pk, "nucs")

    page = text(client.post(reverse("allocation:propose"), follow=True))

    assert "Who gains, who slips" in page
    assert '<span class="state state-good">gains</span>' in page
    assert "nothing" in page
    assert late.order.number in page


def test_the_list_narrows_by_buyer_and_to_short_lines_and_saves_as_a_file(client, office):
    owed(1, name="Ada Fern", tier="wholesale")
    owed(1, name="Ben Moss")
    ready(1)
    worked_out(client)
    address = reverse("allocation:plan")

    by_name = text(client.get(address, {"q": "fern"}))
    short = text(client.get(address, {"show": "short"}))
    saved = client.get(address, {"export": "csv"}).content.decode()

    assert "Ada Fern" in by_name
    assert "Ben Moss" not in by_name
    assert "Ben Moss" in short
    assert "Ada Fern" not in short
    assert "Ada Fern" in saved
    assert "Order,Buyer,Kind,Owed,Given,Short,Why" in saved


def test_the_plan_takes_the_same_queries_for_many_lines(client, office, django_assert_max_num_queries):
    for number in range(20):
        owed(1, name=f"Buyer {number}")
    ready(12)
    worked_out(client)

    with django_assert_max_num_queries(15):
        client.get(reverse("allocation:plan"))


def test_totals_by_week_are_shown(client, office):
    owed(2)
    ready(3)
    services.accept_plan(plan_id=worked_out(client).pk, now=datetime(2027, 6, 2, 9, tzinfo=UTC), actor=office)

    page = text(client.get(reverse("allocation:weeks")))

    assert "week of 31 May" in page
    assert "Become ready" in page


def test_totals_by_week_say_when_there_is_nothing(client, office):
    assert "Nothing is coming and nothing is promised." in text(client.get(reverse("allocation:weeks")))


def test_a_line_is_pinned_in_two_steps(client, office):
    line = owed(2, name="Ada Fern")
    address = reverse("allocation:pin-add")

    assert "Find its lines" in text(client.get(address))
    step = text(client.get(address, {"order": line.order.number}))
    assert "2 × 5-frame spring nuc, first round" in step
    response = client.post(
        f"{address}?order={line.order.number}",
        {"line": line.pk, "day": "2027-06-09", "kind": line.kind_id, "reason": "on holiday before"},
        follow=True,
    )

    assert f"Order {line.order.number} is pinned to the week of 7 June." in text(response)
    assert "on holiday before" in text(response)
    assert Pin.objects.get().pinned_by == office


def test_an_unknown_order_cannot_be_pinned(client, office):
    response = client.get(reverse("allocation:pin-add"), {"order": "2027-9999"})

    assert response.status_code == 422
    assert "No order of that number is owed nucs without a pin. Check the number." in text(response)


def test_a_refused_pin_keeps_what_was_typed(client, office):
    line = owed(2)

    response = client.post(
        f"{reverse('allocation:pin-add')}?order={line.order.number}",
        {"line": line.pk, "day": "2027-08-09", "kind": line.kind_id, "reason": "as asked"},
    )

    assert response.status_code == 422
    assert "The line can go from the week of 31 May to the week of 14 June only." in text(response)
    assert "as asked" in text(response)


def test_a_kind_of_another_order_cannot_be_smuggled_in(client, office):
    line, other = owed(2), NucKindFactory(code="winter", name="overwintered nuc")

    response = client.post(
        f"{reverse('allocation:pin-add')}?order={line.order.number}",
        {"line": line.pk, "day": "2027-06-09", "kind": other.pk, "reason": "as asked"},
    )

    assert response.status_code == 422
    assert Pin.objects.count() == 0


def test_pins_are_saved_as_they_stand(client, office):
    line = owed(2, name="Ada Fern")
    services.pin_line(line_id=line.pk, week=TODAY, kind_id=line.kind_id, reason="as asked", today=TODAY, actor=office)

    response = client.get(reverse("allocation:pin-list"), {"export": "csv"})

    assert response["Content-Disposition"] == 'attachment; filename="pins-2027.csv"'
    assert "Ada Fern,2," in response.text


def test_a_pin_is_removed_after_asking(client, office):
    line = owed(1)
    pin = services.pin_line(
        line_id=line.pk,
        week=TODAY,
        kind_id=line.kind_id,
        reason="as asked",
        today=TODAY,
        actor=office,
    )
    address = reverse("allocation:pin-remove", args=[pin.pk])

    assert "Remove this pin?" in text(client.get(address))
    response = client.post(address, follow=True)

    assert "The pin is removed; the next plan decides." in text(response)
    assert "No line is pinned." in text(response)


def test_a_pin_that_cannot_be_kept_is_told_on_the_plan(client, office):
    line = owed(2)
    services.pin_line(line_id=line.pk, week=TODAY, kind_id=line.kind_id, reason="as asked", today=TODAY, actor=office)

    page = text(client.post(reverse("allocation:propose"), follow=True))

    assert (
        f"The pin of order {line.order.number} cannot be kept. "
        "The line needs 2, and the week of 31 May had nothing ready." in page
    )
