"""A promise is kept: nucs leave, the deposit is applied, the invoice numbered, the balance paid; or nothing happens."""

from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.allocation import services as allocation
from apiary_ops.allocation.models import Binding
from apiary_ops.billing import queries as billing_queries
from apiary_ops.billing import services as billing
from apiary_ops.billing.models import Invoice, Receipt
from apiary_ops.books import queries as books
from apiary_ops.books.models import Period
from apiary_ops.books.services import PeriodLocked, lock_period
from apiary_ops.nucs import services as nuc_services
from apiary_ops.nucs.models import Nuc
from apiary_ops.orders.models import Line
from apiary_ops.pickups import services
from apiary_ops.pickups.models import HandedNuc, HandOver
from tests.factories.allocation import ready
from tests.factories.billing import order_of
from tests.factories.nucs import NucKindFactory
from tests.factories.people import UserFactory
from tests.factories.pickups import DAWN, DAY, WindowFactory, booked, ready_order

pytestmark = pytest.mark.django_db


@pytest.fixture
def hand():
    return UserFactory(gate=True)


def take_deposit(order, cents, actor):
    billing.take_deposit(
        order_id=order.pk,
        cents=cents,
        received_on=date(2027, 1, 15),
        received_at=DAWN.replace(month=1, day=15),
        method="transfer",
        actor=actor,
    )


def hand_over(order, nucs, actor, *, line=None, pairs=None, **changes) -> HandOver:
    line = line or order.lines.order_by("id").first()
    given = {
        "once_key": uuid4(),
        "booking_id": None,
        "nucs": [(nuc.pk, line.pk) for nuc in nucs] if pairs is None else pairs,
        "taken_by_name": "Ada Fern",
        "payment_cents": 0,
        "method": "cash",
        "at": DAWN,
    }
    return services.hand_over(order_id=order.pk, actor=actor, **(given | changes))


def states(nucs) -> list[str]:
    return list(Nuc.objects.filter(pk__in=[nuc.pk for nuc in nucs]).order_by("number").values_list("state", flat=True))


def nothing_happened(order, nucs) -> bool:
    """No trace in nucs, bindings, lines, papers or books."""
    return (
        set(states(nucs)) == {"laying"}
        and not HandOver.objects.exists()
        and not HandedNuc.objects.exists()
        and not Binding.objects.exists()
        and not Invoice.objects.exists()
        and not Receipt.objects.filter(purpose="balance").exists()
        and {(line.state, line.collected) for line in order.lines.all()} == {("promised", 0)}
        and books.balance("cost-of-nucs") == 0
        and books.balance("receivable") == 0
    )


def test_a_whole_order_leaves_in_one_act(hand):
    order, nucs = ready_order(4, percent="5")
    take_deposit(order, 30000, hand)
    booking = booked(order)

    done = hand_over(order, nucs, hand, booking_id=booking.pk, payment_cents=93900)

    assert (done.on, done.at, done.taken_by_name, done.given_by) == (DAY, DAWN, "Ada Fern", hand)
    assert states(nucs) == ["handed over"] * 4
    assert [(row.nuc, row.queen_cost_cents) for row in done.nucs.order_by("nuc__number")] == [
        (nuc, 4800) for nuc in nucs
    ]
    line = order.lines.get()
    assert (line.state, line.collected) == ("collected", 4)
    booking.refresh_from_db()
    assert (booking.state, booking.window.booked) == ("collected", 1)
    assert done.booking == booking


def test_the_books_after_a_hand_over(hand):
    # 4 at 295.00 and 5 % tax: 1,180.00 + 59.00 = 1,239.00; 300.00 paid ahead, 939.00 at the gate; queens at 48.00.
    order, nucs = ready_order(4, percent="5")
    take_deposit(order, 30000, hand)

    done = hand_over(order, nucs, hand, payment_cents=93900)

    assert (done.invoice.number, done.invoice.total_cents, done.invoice.deposit_cents) == ("2027-00001", 123900, 30000)
    assert (done.invoice.paid_cents, done.invoice.owed_cents) == (93900, 0)
    balances = {key: cents for key, cents in books.balances().items() if cents}
    assert balances == {
        "bank": 30000,
        "cash": 93900,
        "nuc-sales": -118000,
        "tax-due": -5900,
        "cost-of-nucs": 19200,
        "nucs-in-hand": -19200,
    }
    assert books.balance("deposits-held", subject=f"order:{order.number}") == 0
    assert books.balance("receivable", subject=f"buyer:{order.buyer_id}") == 0
    assert billing_queries.deposits_held_total(order.season_id) == 0


def test_sent_twice_it_happens_once(hand):
    order, nucs = ready_order(2)
    key = uuid4()

    first = hand_over(order, nucs, hand, once_key=key, payment_cents=59000)
    second = hand_over(order, nucs, hand, once_key=key, payment_cents=59000)

    assert second == first
    assert (HandOver.objects.count(), Invoice.objects.count(), Receipt.objects.count()) == (1, 1, 1)
    assert books.balance("cash") == 59000


def test_a_form_of_one_order_is_not_carried_out_for_another(hand):
    order, nucs = ready_order(1)
    other, key = order_of(1), uuid4()
    hand_over(order, nucs, hand, once_key=key)

    with pytest.raises(services.KeyUsedElsewhere):
        hand_over(other, ready(1), hand, once_key=key)


def test_a_nuc_that_has_left_is_not_handed_over_again(hand):
    order, nucs = ready_order(1)
    hand_over(order, nucs, hand)
    other = order_of(1)

    with pytest.raises(services.NucAlreadyHandedOver) as refusal:
        hand_over(other, nucs, hand)

    assert str(refusal.value) == (
        f"Nuc {nucs[0].number} was already handed over on Sat 5 Jun 2027, to order {order.number}. Choose another."
    )
    assert HandOver.objects.count() == 1


def test_part_of_an_order_leaves_with_its_share_of_the_deposit_and_the_rest_later(hand):
    order, nucs = ready_order(3)
    take_deposit(order, 22500, hand)

    first = hand_over(order, nucs[:1], hand, payment_cents=22000)
    line = order.lines.get()
    assert (line.state, line.collected) == ("part collected", 1)
    second = hand_over(order, nucs[1:], hand, payment_cents=44000)

    line.refresh_from_db()
    assert (line.state, line.collected) == ("collected", 3)
    assert [(row.invoice.deposit_cents, row.invoice.paid_cents) for row in (first, second)] == [
        (7500, 22000),
        (15000, 44000),
    ]
    assert books.balance("deposits-held") == 0


def test_less_than_is_owed_may_be_paid_and_the_rest_stays_owed(hand):
    order, nucs = ready_order(2)

    done = hand_over(order, nucs, hand, payment_cents=50000)

    assert done.invoice.owed_cents == 9000
    assert books.balance("receivable", subject=f"buyer:{order.buyer_id}") == 9000


def test_nothing_needs_to_be_paid_at_the_gate(hand):
    order, nucs = ready_order(1)

    done = hand_over(order, nucs, hand, payment_cents=0)

    assert done.invoice.owed_cents == 29500
    assert not Receipt.objects.exists()


def test_more_than_is_owed_is_refused_and_leaves_nothing(hand):
    order, nucs = ready_order(2)

    with pytest.raises(services.PaidTooMuch) as refusal:
        hand_over(order, nucs, hand, payment_cents=59001)

    assert str(refusal.value) == "These nucs ask only 590.00 CAD now. Enter that or less."
    assert nothing_happened(order, nucs)
    assert hand_over(order, nucs, hand).invoice.number == "2027-00001"


def test_a_locked_period_refuses_half_way_and_leaves_nothing(hand):
    order, nucs = ready_order(2)
    lock_period(period_id=Period.objects.get().pk, actor=UserFactory())

    with pytest.raises(PeriodLocked):
        hand_over(order, nucs, hand)

    assert nothing_happened(order, nucs)


def test_a_failure_at_the_last_step_leaves_nothing(hand, monkeypatch):
    order, nucs = ready_order(2)

    def power_cut(**_):
        raise OSError("the lights went out")

    monkeypatch.setattr("apiary_ops.orders.services.move_line", power_cut)
    with pytest.raises(OSError, match="the lights went out"), transaction.atomic():
        hand_over(order, nucs, hand, payment_cents=59000)

    assert nothing_happened(order, nucs)


def test_a_held_nuc_does_not_leave_even_when_it_was_bound_before(hand):
    order, nucs = ready_order(1)
    line = order.lines.get()
    allocation.bind_nucs(line_id=line.pk, nuc_ids=[nucs[0].pk], now=DAWN, actor=hand)
    Nuc.objects.filter(pk=nucs[0].pk).update(hold_reason="disease suspected")

    with pytest.raises(nuc_services.NucOnHold, match="disease suspected"):
        hand_over(order, nucs, hand)

    assert states(nucs) == ["laying"]


def test_a_nuc_that_is_not_ready_does_not_leave(hand):
    order, nucs = ready_order(1)
    Nuc.objects.filter(pk=nucs[0].pk).update(ready_on=DAY + timedelta(days=1))

    with pytest.raises(allocation.NucNotFit):
        hand_over(order, nucs, hand)

    assert nothing_happened(order, nucs)


def test_a_nuc_bound_to_another_order_does_not_leave(hand):
    order, nucs = ready_order(1)
    other = order_of(1)
    allocation.bind_nucs(line_id=other.lines.get().pk, nuc_ids=[nucs[0].pk], now=DAWN, actor=hand)

    with pytest.raises(allocation.NucAlreadyGiven, match=f"is already given to order {other.number}"):
        hand_over(order, nucs, hand)

    assert states(nucs) == ["laying"]


def test_a_nuc_of_a_kind_the_line_does_not_take_does_not_leave(hand):
    order, _nucs = ready_order(1)
    winter = ready(1, kind=NucKindFactory(code="winter", name="overwintered nuc"))

    with pytest.raises(allocation.WrongKind):
        hand_over(order, winter, hand)

    order.lines.get().substitutes.add(winter[0].kind)
    assert hand_over(order, winter, hand).nucs.count() == 1


def test_no_more_leave_than_are_owed(hand):
    order, nucs = ready_order(1)

    with pytest.raises(allocation.MoreThanOwed):
        hand_over(order, [*nucs, *ready(1)], hand)

    assert nothing_happened(order, nucs)


def test_a_line_that_is_not_promised_is_not_handed_over(hand):
    order, nucs = ready_order(1)
    Line.objects.filter(order=order).update(state="waiting")

    with pytest.raises(allocation.NotPromised):
        hand_over(order, nucs, hand)


@pytest.mark.parametrize(
    ("changes", "kind"),
    [({"pairs": []}, services.NothingToHandOver), ({"taken_by_name": "  "}, services.NobodyTakesThem)],
)
def test_a_hand_over_names_the_nucs_and_who_takes_them(hand, changes, kind):
    order, nucs = ready_order(1)

    with pytest.raises(kind):
        hand_over(order, nucs, hand, **changes)

    assert nothing_happened(order, nucs)


def test_a_line_or_a_booking_of_another_order_is_refused(hand):
    order, nucs = ready_order(1)
    other = order_of(1)
    booking = booked(other)

    with pytest.raises(services.AnotherOrder):
        hand_over(order, nucs, hand, line=other.lines.get())
    with pytest.raises(services.AnotherOrder):
        hand_over(order, nucs, hand, booking_id=booking.pk)
    assert nothing_happened(order, nucs)


def test_a_nuc_ticked_on_two_lines_is_refused(hand):
    order, nucs = ready_order(1, 1)
    lines = order.lines.order_by("id")

    with pytest.raises(services.AnotherOrder, match=r"^A nuc is ticked on two lines\. Tick it on one of them\.$"):
        hand_over(order, nucs, hand, pairs=[(nucs[0].pk, line.pk) for line in lines])


def test_lines_of_two_kinds_leave_together_on_one_invoice(hand):
    order, nucs = ready_order(1, 2)
    first, second = order.lines.order_by("id")

    done = hand_over(
        order,
        nucs,
        hand,
        pairs=[(nucs[0].pk, first.pk), (nucs[1].pk, second.pk), (nucs[2].pk, second.pk)],
    )

    assert [line.quantity for line in done.invoice.lines.order_by("id")] == [1, 2]
    assert set(order.lines.values_list("state", flat=True)) == {"collected"}


def test_what_leaves_stays_bound_to_its_line_and_another_bound_nuc_is_free_again(hand):
    order, nucs = ready_order(1)
    line, spare = order.lines.get(), ready(1)
    allocation.bind_nucs(line_id=line.pk, nuc_ids=[nucs[0].pk], now=DAWN, actor=hand)

    hand_over(order, spare, hand)

    bindings = {binding.nuc_id: binding.release_reason for binding in Binding.objects.all()}
    assert bindings == {nucs[0].pk: "another nuc was taken at the gate", spare[0].pk: ""}


def test_a_nuc_bound_for_the_rest_of_the_line_stays_bound(hand):
    order, nucs = ready_order(2)
    line = order.lines.get()
    allocation.bind_nucs(line_id=line.pk, nuc_ids=[nuc.pk for nuc in nucs], now=DAWN, actor=hand)

    hand_over(order, nucs[:1], hand)

    assert not Binding.objects.filter(released_at__isnull=False).exists()


def test_an_order_collected_without_its_booking_gives_the_place_back(hand):
    order, nucs = ready_order(1)
    booking = booked(order, WindowFactory())

    hand_over(order, nucs, hand)

    booking.refresh_from_db()
    assert (booking.state, booking.window.booked) == ("cancelled", 0)


def test_a_booking_that_was_missed_is_not_collected_by_its_old_place(hand):
    order, nucs = ready_order(1)
    booking = booked(order)
    services.miss_booking(booking_id=booking.pk, actor=hand)

    with pytest.raises(services.AnotherOrder, match="not open for this order any more"):
        hand_over(order, nucs, hand, booking_id=booking.pk)


def test_the_day_of_a_hand_over_is_the_day_at_the_gate(hand):
    """00:30 by the clock of Greenwich is the evening before in the business's own time zone."""
    from django.utils import timezone

    order, nucs = ready_order(1)

    with timezone.override("America/Halifax"):
        done = hand_over(order, nucs, hand, at=DAWN.replace(hour=0))

    assert done.on == date(2027, 6, 4)


# --- What the database keeps by itself.


def test_a_hand_over_and_its_nucs_never_change(hand):
    order, nucs = ready_order(1)
    done = hand_over(order, nucs, hand)

    with pytest.raises(IntegrityError, match="A hand-over never changes"), transaction.atomic():
        HandOver.objects.filter(pk=done.pk).update(taken_by_name="Somebody else")
    with pytest.raises(IntegrityError, match="stays handed over"), transaction.atomic():
        HandedNuc.objects.filter(hand_over=done).delete()


def test_only_a_nuc_that_left_is_written_down_as_handed_over(hand):
    order, nucs = ready_order(1)
    done = hand_over(order, nucs, hand)
    (other,) = ready(1)

    with pytest.raises(IntegrityError, match="Only a nuc that left"), transaction.atomic():
        HandedNuc.objects.create(hand_over=done, nuc=other, line=order.lines.get(), queen_cost_cents=0)


def test_the_database_counts_what_was_collected(hand):
    order, nucs = ready_order(2)
    line = order.lines.get()

    hand_over(order, nucs[:1], hand)

    line.refresh_from_db()
    assert line.collected == 1
    with pytest.raises(IntegrityError), transaction.atomic():
        Line.objects.filter(pk=line.pk).update(collected=3)
