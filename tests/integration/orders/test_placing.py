"""An order is written down under the terms and prices of its day."""

from datetime import UTC, date, datetime
from uuid import uuid4

import pytest

from apiary_ops.business import stamps
from apiary_ops.business.queries import NothingSetUp
from apiary_ops.core.once import AlreadyDone
from apiary_ops.orders import queries, services
from apiary_ops.orders.models import Line, Order
from apiary_ops.orders.services import LineDraft
from tests.factories.business import SeasonFactory, TermsFactory
from tests.factories.nucs import NucKindFactory
from tests.factories.orders import BuyerFactory, PriceFactory, RoundFactory
from tests.factories.people import UserFactory
from tests.factories.yards import YardFactory

pytestmark = pytest.mark.django_db

DAY = date(2027, 1, 12)


@pytest.fixture
def clerk():
    return UserFactory(office=True)


@pytest.fixture
def price():
    """One kind at 295.00, one round, terms of 75.00 a nuc within 14 days."""
    TermsFactory()
    return PriceFactory()


def place(price, clerk, *, quantity=2, **changes):
    given = {
        "season_id": price.season_id,
        "buyer_id": BuyerFactory().pk,
        "placed_on": DAY,
        "lines": [LineDraft(price.kind_id, quantity, RoundFactory(season=price.season).pk)],
        "actor": clerk,
    }
    return services.place_order(**(given | changes))


def test_an_order_freezes_price_terms_and_deposit_of_the_day(price, clerk):
    yard = YardFactory(is_pickup_yard=True)

    order = place(price, clerk, pickup_yard_id=yard.pk, notes=" rings after six ")

    order.refresh_from_db()
    line = order.lines.get()
    assert order.number == "2027-0001"
    assert (order.deposit_due_cents, order.deposit_due_on) == (15000, date(2027, 1, 26))
    assert (order.pickup_yard, order.notes, order.taken_by) == (yard, "rings after six", clerk)
    assert (line.state, line.quantity, line.price_cents) == (Line.State.ASKED, 2, 29500)
    assert line.tax_category == price.tax_category
    assert order.deposit_complete_at is None
    assert stamps.read(price.season_id, ["orders"])["orders"] == 1
    assert order.history.get().history_user == clerk


def test_numbers_run_on_within_a_season(price, clerk):
    numbers = [place(price, clerk).number for _ in range(3)]

    assert numbers == ["2027-0001", "2027-0002", "2027-0003"]


def test_a_number_already_taken_is_passed_over(price, clerk):
    first = place(price, clerk)
    second = place(price, clerk)
    Order.objects.filter(pk=second.pk).update(number="2027-0003")
    Order.objects.filter(pk=first.pk).update(number="2027-0004")

    assert place(price, clerk).number == "2027-0005"


def test_a_wholesale_buyer_gets_the_wholesale_price(price, clerk):
    PriceFactory(tier="wholesale", cents=23000)
    buyer = BuyerFactory(tier="wholesale")

    order = place(price, clerk, buyer_id=buyer.pk, quantity=40)

    assert order.lines.get().price_cents == 23000
    assert order.deposit_due_cents == 300_000


def test_several_lines_with_substitutes_and_part_loads(price, clerk):
    other = NucKindFactory(code="spring-4", name="4-frame spring nuc", frames=4, sale_covered=3, sale_brood=2)
    PriceFactory(kind=other, cents=25000)
    round_ = RoundFactory(season=price.season)
    lines = [
        LineDraft(price.kind_id, 3, round_.pk, substitute_ids=[other.pk, price.kind_id]),
        LineDraft(other.pk, 10, round_.pk, part_loads=True, price_cents=24000),
    ]

    order = place(price, clerk, lines=lines)

    first, second = queries.lines_of(order)
    assert [kind.code for kind in first.substitutes.all()] == ["spring-4"]
    assert (second.part_loads, second.price_cents) == (True, 24000)
    assert order.deposit_due_cents == 13 * 7500


def test_the_deposit_never_passes_the_price(price, clerk):
    order = place(price, clerk, lines=[LineDraft(price.kind_id, 2, RoundFactory().pk, price_cents=5000)])

    assert order.deposit_due_cents == 10_000


def test_an_order_without_lines_is_refused(price, clerk):
    with pytest.raises(services.NothingOrdered, match="Say how many nucs of which kind"):
        place(price, clerk, lines=[])


@pytest.mark.parametrize("quantity", [0, -1, 2001, 10**9])
def test_an_impossible_number_of_nucs_is_refused(price, clerk, quantity):
    with pytest.raises(services.WrongNumberOfNucs, match="Ask for 1 to 2,000 nucs."):
        place(price, clerk, quantity=quantity)


def test_a_kind_without_a_price_is_refused_by_name(clerk):
    TermsFactory()
    kind = NucKindFactory()
    round_ = RoundFactory()

    with pytest.raises(services.NoPrice, match="5-frame spring nuc has no price yet"):
        services.place_order(
            season_id=round_.season_id,
            buyer_id=BuyerFactory().pk,
            placed_on=DAY,
            lines=[LineDraft(kind.pk, 1, round_.pk)],
            actor=clerk,
        )


def test_a_round_of_another_season_is_refused(price, clerk):
    other = RoundFactory(season=SeasonFactory(year=2028))

    with pytest.raises(services.WrongRound, match="does not belong to the season 2027"):
        place(price, clerk, lines=[LineDraft(price.kind_id, 1, other.pk)])


def test_a_round_that_is_over_is_refused(price, clerk):
    with pytest.raises(services.RoundIsOver, match="The first round ended before Mon 21 Jun 2027"):
        place(price, clerk, placed_on=date(2027, 6, 21))


def test_a_closed_season_takes_no_orders(price, clerk):
    type(price.season).objects.filter(pk=price.season_id).update(closed_on=date(2027, 9, 30))

    with pytest.raises(services.SeasonIsClosed, match="The season 2027 is closed"):
        place(price, clerk)


def test_an_order_before_any_terms_is_refused(clerk):
    price = PriceFactory()
    TermsFactory(valid_from=date(2027, 2, 1))

    with pytest.raises(NothingSetUp, match="No deposit terms are stated"):
        place(price, clerk)


def test_a_form_sent_twice_places_one_order(price, clerk):
    key = uuid4()
    first = place(price, clerk, once_key=key)

    with pytest.raises(AlreadyDone) as refusal:
        place(price, clerk, once_key=key)

    assert refusal.value.result == f"/orders/{first.number}/"
    assert Order.objects.count() == 1


def test_terms_that_ask_no_deposit_are_met_on_the_day(clerk):
    TermsFactory(deposit_cents_per_nuc=0)

    order = place(PriceFactory(), clerk)

    assert order.deposit_due_cents == 0
    assert order.deposit_complete_at == datetime(2027, 1, 12, tzinfo=UTC)


def test_the_list_adds_up_what_stands_and_says_it_in_a_word(price, clerk):
    order = place(price, clerk, quantity=3)
    services.cancel_line(line_id=order.lines.get().pk, on=DAY, reason="moved away", actor=clerk)
    standing = place(price, clerk, quantity=2)

    rows = {row.number: row for row in queries.orders(price.season_id)}

    assert (rows[order.number].nucs, rows[order.number].total_cents) == (0, 0)
    assert queries.state_of(rows[order.number]) == "cancelled"
    assert (rows[standing.number].nucs, rows[standing.number].total_cents) == (2, 59000)
    assert queries.state_of(rows[standing.number]) == "asked"


def test_where_an_order_is_collected_can_be_changed(price, clerk):
    order = place(price, clerk)
    yard = YardFactory(is_pickup_yard=True)

    services.edit_order(
        order_id=order.pk, version=1, changes={"pickup_yard_id": yard.pk, "notes": "two trips"}, actor=clerk
    )

    again = queries.orders_in_full().get(pk=order.pk)
    assert (again.pickup_yard, again.notes, again.version) == (yard, "two trips", 2)
