from datetime import date, time

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.business import stamps
from apiary_ops.orders import services as order_services
from apiary_ops.pickups import queries, services
from apiary_ops.pickups.models import Booking, BookingLine, Window
from tests.factories.billing import open_books, order_of
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.pickups import PickupDayFactory, WindowFactory, booked

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    open_books()
    return UserFactory(office=True)


def taken(window: Window) -> int:
    window.refresh_from_db()
    return window.booked


def test_an_order_takes_one_place_however_many_nucs_it_collects(office):
    window, order = WindowFactory(), order_of(2, 4)

    booking = booked(order, window)

    assert booking.state == "booked"
    assert [(row.line, row.quantity) for row in booking.lines.order_by("id")] == [
        (line, line.quantity) for line in order.lines.order_by("id")
    ]
    assert taken(window) == 1


def test_the_last_place_is_given_once(office):
    window = WindowFactory(places=1)
    booked(order_of(1), window)

    with pytest.raises(services.WindowFull, match=r"^The window 05:00–06:00 is full\. Choose another\.$"):
        booked(order_of(1), window)

    assert taken(window) == 1


def test_an_order_has_one_open_booking(office):
    order = order_of(1)
    booked(order)

    with pytest.raises(services.AlreadyBooked) as refusal:
        booked(order, WindowFactory(starts_at=time(7), ends_at=time(8)))

    assert str(refusal.value) == f"Order {order.number} already has the window 05:00–06:00. Move it instead."


def test_no_more_is_booked_than_is_to_come(office):
    order = order_of(2)
    line = order.lines.get()

    with pytest.raises(services.NothingToCollect) as refusal:
        services.book(order_id=order.pk, window_id=WindowFactory().pk, quantities={line.pk: 3}, actor=office)

    assert str(refusal.value) == "Only 2 nucs are still to come on this line. Book that many or fewer."


@pytest.mark.parametrize("nucs", [{}, {"own": 0}])
def test_a_booking_collects_something(office, nucs):
    order = order_of(2)
    quantities = {order.lines.get().pk: count for count in nucs.values()}

    with pytest.raises(services.NothingToCollect, match=r"^Nothing is to be collected\. Say how many nucs"):
        services.book(order_id=order.pk, window_id=WindowFactory().pk, quantities=quantities, actor=office)


def test_only_promised_lines_are_booked(office):
    order = order_of(2)
    order_services.cancel_line(line_id=order.lines.get().pk, on=date(2027, 5, 1), reason="ill", actor=office)

    with pytest.raises(services.NothingToCollect) as refusal:
        booked(order)

    assert str(refusal.value) == f"A line is not promised to order {order.number}. Promise it first."


def test_a_line_of_another_order_is_not_booked(office):
    order, other = order_of(1), order_of(1)

    with pytest.raises(services.NothingToCollect):
        services.book(
            order_id=order.pk, window_id=WindowFactory().pk, quantities={other.lines.get().pk: 1}, actor=office
        )


def test_a_day_of_another_season_is_refused(office):
    window = WindowFactory(day=PickupDayFactory(season=SeasonFactory(year=2028)))

    with pytest.raises(services.DayIsClosed, match=r"^That pickup day belongs to another season\."):
        booked(order_of(1), window)


def test_moving_frees_the_old_place_and_takes_the_new_one(office):
    old, new = WindowFactory(), WindowFactory(places=1)
    booking = booked(order_of(1), old)

    moved = services.move_booking(booking_id=booking.pk, window_id=new.pk, actor=office)

    assert moved.window == new
    assert (taken(old), taken(new)) == (0, 1)


def test_nobody_moves_into_a_full_window(office):
    old, full = WindowFactory(), WindowFactory(places=1)
    booked(order_of(1), full)
    booking = booked(order_of(1), old)

    with pytest.raises(services.WindowFull):
        services.move_booking(booking_id=booking.pk, window_id=full.pk, actor=office)

    assert (taken(old), taken(full)) == (1, 1)


def test_moving_to_the_window_it_has_changes_nothing_even_when_it_is_full(office):
    window = WindowFactory(places=1)
    booking = booked(order_of(1), window)

    services.move_booking(booking_id=booking.pk, window_id=window.pk, actor=office)

    assert taken(window) == 1


def test_a_cancelled_booking_gives_its_place_back_and_stays_so(office):
    window = WindowFactory()
    booking = booked(order_of(1), window)

    services.cancel_booking(booking_id=booking.pk, actor=office)

    assert taken(window) == 0
    with pytest.raises(services.BookingIsOver) as refusal:
        services.move_booking(booking_id=booking.pk, window_id=window.pk, actor=office)
    assert str(refusal.value) == (
        "This booking is cancelled already and stays so. Book the order anew if nucs are still to come."
    )


def test_a_missed_booking_gives_its_place_back_and_can_be_moved(office):
    window, later = WindowFactory(), WindowFactory()
    booking = booked(order_of(1), window)
    services.miss_booking(booking_id=booking.pk, actor=office)
    assert taken(window) == 0

    moved = services.move_booking(booking_id=booking.pk, window_id=later.pk, actor=office)

    assert (moved.state, taken(later)) == ("booked", 1)


def test_a_missed_booking_does_not_open_again_beside_another(office):
    order = order_of(1)
    missed = booked(order, WindowFactory())
    services.miss_booking(booking_id=missed.pk, actor=office)
    booked(order, WindowFactory())

    with pytest.raises(services.AlreadyBooked, match="has another open booking"):
        services.move_booking(booking_id=missed.pk, window_id=WindowFactory().pk, actor=office)


def test_a_booking_cannot_be_missed_twice(office):
    booking = booked(order_of(1))
    services.miss_booking(booking_id=booking.pk, actor=office)

    with pytest.raises(services.BookingIsOver, match="did not come"):
        services.miss_booking(booking_id=booking.pk, actor=office)


def test_every_change_of_a_booking_is_stamped(office):
    booking = booked(order_of(1))
    season_id = booking.order.season_id
    before = stamps.read(season_id, ("pickups",))["pickups"]

    services.move_booking(booking_id=booking.pk, window_id=WindowFactory().pk, actor=office)
    services.miss_booking(booking_id=booking.pk, actor=office)
    services.cancel_booking(booking_id=booking.pk, actor=office)

    assert stamps.read(season_id, ("pickups",))["pickups"] == before + 3


def test_free_windows_leave_out_full_ones_and_days_gone_by(office):
    full = WindowFactory(places=1)
    booked(order_of(1), full)
    past = WindowFactory(day=PickupDayFactory(on=date(2027, 6, 4)))
    free = WindowFactory(day=PickupDayFactory(on=date(2027, 6, 6)))

    assert list(queries.free_windows(full.day.season_id, date(2027, 6, 5))) == [free]
    assert past in queries.free_windows(full.day.season_id, date(2027, 6, 4))


# --- What the database keeps by itself.


def test_the_database_refuses_one_car_too_many(office):
    window = WindowFactory(places=1)
    booked(order_of(1), window)

    with pytest.raises(IntegrityError), transaction.atomic():
        Booking.objects.create(window=window, order=order_of(1), booked_by=office)
    assert taken(window) == 1


def test_a_booking_moves_only_along_its_path(office):
    booking = booked(order_of(1))
    services.cancel_booking(booking_id=booking.pk, actor=office)

    with pytest.raises(IntegrityError, match="cannot move between these states"), transaction.atomic():
        Booking.objects.filter(pk=booking.pk).update(state="collected")


def test_a_booking_is_never_deleted_and_stays_with_its_order(office):
    booking = booked(order_of(1))

    with pytest.raises(IntegrityError, match="never deleted"), transaction.atomic():
        Booking.objects.filter(pk=booking.pk)._raw_delete("default")
    with pytest.raises(IntegrityError, match="stays with its order"), transaction.atomic():
        Booking.objects.filter(pk=booking.pk).update(order=order_of(1))


def test_what_was_booked_never_changes_and_is_of_its_own_order(office):
    booking = booked(order_of(2))
    other = order_of(1).lines.get()

    with pytest.raises(IntegrityError, match="What was booked never changes"), transaction.atomic():
        BookingLine.objects.filter(booking=booking).update(quantity=1)
    with pytest.raises(IntegrityError, match="lines of its own order"), transaction.atomic():
        BookingLine.objects.create(booking=booking, line=other, quantity=1)
