from datetime import date

import pytest
from django.urls import reverse

from apiary_ops.pickups import queries, services
from apiary_ops.pickups.models import Booking, PickupDay
from tests.factories.allocation import ready
from tests.factories.billing import open_books, order_of
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.pickups import DAWN, DAY, PickupDayFactory, WindowFactory, booked, ready_order
from tests.factories.yards import YardFactory
from tests.web.reading import text

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def desk(time_machine):
    time_machine.move_to(f"{DAY} 15:00+00:00")
    open_books()
    SeasonFactory()


def test_before_the_first_day_the_list_says_what_to_do(client, office):
    page = text(client.get(reverse("pickups:day-list")))

    assert "No pickup day is open yet." in page
    assert "Open a pickup day" in page


def test_the_list_shows_places_and_saves_as_a_file(client, office):
    window = WindowFactory(day=PickupDayFactory(yard__name="Mill yard"))
    booked(order_of(1), window)

    page = text(client.get(reverse("pickups:day-list")))
    saved = client.get(reverse("pickups:day-list"), {"export": "csv"}).content.decode()

    assert "Sat 5 Jun 2027" in page
    assert "Mill yard" in page
    assert "2027-06-05,Mill yard,6,1,0" in saved


def test_a_day_is_opened_with_places_from_the_hands(client, office):
    yard = YardFactory(is_pickup_yard=True)

    response = client.post(
        reverse("pickups:day-open"),
        {"yard": yard.pk, "on": "2027-06-12", "starts_at": "05:00", "ends_at": "07:00", "minutes": 60, "hands": 2},
        follow=True,
    )

    assert "The day is open. Book buyers into its windows." in text(response)
    day = PickupDay.objects.get()
    assert (day.on, [window.places for window in queries.windows_of(day)]) == (date(2027, 6, 12), [13, 13])


def test_a_refused_day_says_why_beside_the_field_and_keeps_what_was_typed(client, office):
    yard = YardFactory(is_pickup_yard=True)

    response = client.post(
        reverse("pickups:day-open"),
        {"yard": yard.pk, "on": "2027-06-12", "starts_at": "07:00", "ends_at": "05:00", "minutes": 60, "hands": 2,
         "notes": "Mind the dog."},
    )  # fmt: skip

    assert response.status_code == 422
    assert "The last cars leave after the first ones come. Choose a later time." in text(response)
    assert "Mind the dog." in text(response)


def test_a_second_day_at_the_yard_is_refused(client, office):
    day = PickupDayFactory(yard__name="Mill yard")

    response = client.post(
        reverse("pickups:day-open"),
        {"yard": day.yard_id, "on": "2027-06-05", "starts_at": "05:00", "ends_at": "07:00", "minutes": 60, "hands": 2},
    )

    assert response.status_code == 422
    assert "Mill yard already has a pickup day on Sat 5 Jun 2027. Open that one." in text(response)


def test_without_a_pickup_yard_the_form_says_what_is_missing(client, office):
    assert "No yard is marked as one where buyers collect." in text(client.get(reverse("pickups:day-open")))


def test_a_day_shows_its_windows_with_bookings_and_free_places(client, office):
    order, nucs = ready_order(2, buyer__name="Ada Fern")
    booking = booked(order)

    page = text(client.get(reverse("pickups:day", args=[booking.window.day_id])))

    assert "05:00–06:00" in page
    assert "1 of 6 places taken, 5 free" in page
    assert "Ada Fern" in page
    assert "not numbered yet" in page
    assert "590.00" in page


def test_a_day_takes_the_same_queries_for_many_bookings(client, office, django_assert_max_num_queries):
    window = WindowFactory(places=30)
    for _ in range(20):
        booked(order_of(2), window)

    with django_assert_max_num_queries(20):
        client.get(reverse("pickups:day", args=[window.day_id]))


def test_the_run_sheet_is_a_pdf(client, office):
    window = WindowFactory()

    response = client.get(reverse("pickups:run-sheet", args=[window.day_id]))

    assert response["Content-Type"] == "application/pdf"
    assert response["Content-Disposition"] == 'inline; filename="run-sheet-2027-06-05.pdf"'
    assert response.content.startswith(b"%PDF")


def test_a_buyer_is_found_and_booked(client, office):
    order, _nucs = ready_order(3, buyer__name="Ada Fern", buyer__search_key="ada fern")
    line, window = order.lines.get(), WindowFactory()
    address = reverse("pickups:book", args=[window.day_id])

    found = text(client.get(address, {"q": "fern"}))
    step = text(client.get(address, {"order": order.number}))
    response = client.post(f"{address}?order={order.number}", {"window": window.pk, f"line-{line.pk}": 2}, follow=True)

    assert f"?order={order.number}" in found
    assert "Book Ada Fern" in step
    assert "05:00–06:00, 6 places free" in step
    assert "Ada Fern is booked." in text(response)
    assert [row.quantity for row in Booking.objects.get().lines.all()] == [2]


def test_more_than_is_to_come_is_refused_beside_the_field(client, office):
    order, _nucs = ready_order(3)
    line, window = order.lines.get(), WindowFactory()

    response = client.post(
        f"{reverse('pickups:book', args=[window.day_id])}?order={order.number}",
        {"window": window.pk, f"line-{line.pk}": 4},
    )

    assert response.status_code == 422
    assert "Ensure this value is less than or equal to 3." in text(response)


def test_a_window_that_filled_up_meanwhile_is_refused(client, office):
    window = WindowFactory(places=1)
    booked(order_of(1), window)
    order = order_of(1)

    shown = client.get(f"{reverse('pickups:book', args=[window.day_id])}?order={order.number}")

    assert "Every window of this day is full." in text(shown)


def test_a_booking_is_moved_missed_and_cancelled(client, office):
    booking = booked(order_of(1, buyer__name="Ada Fern"))
    later = WindowFactory(day=booking.window.day, starts_at="07:00", ends_at="08:00")

    page = text(client.get(reverse("pickups:booking", args=[booking.pk])))
    moved = client.post(reverse("pickups:booking-move", args=[booking.pk]), {"window": later.pk}, follow=True)
    asked = text(client.get(reverse("pickups:booking-miss", args=[booking.pk])))
    missed = client.post(reverse("pickups:booking-miss", args=[booking.pk]), follow=True)
    ended = client.post(reverse("pickups:booking-cancel", args=[booking.pk]), follow=True)
    again = client.post(reverse("pickups:booking-cancel", args=[booking.pk]))

    assert "Ada Fern" in page
    assert "Moved to 07:00–08:00." in text(moved)
    assert "Did nobody come for this booking?" in asked
    assert "Written down: nobody came." in text(missed)
    assert "The booking is cancelled." in text(ended)
    assert again.status_code == 422
    assert "This booking is cancelled already and stays so." in text(again)


def test_a_booking_remembers_who_ended_it(client, office):
    booking = booked(order_of(1))

    client.post(reverse("pickups:booking-cancel", args=[booking.pk]))

    last = client.get(reverse("pickups:booking", args=[booking.pk])).context["history"][0]
    assert last.who == str(office)
    assert [(change.before, change.after) for change in last.changes] == [("booked", "cancelled")]


def test_the_nucs_of_a_booking_are_chosen(client, office):
    order, nucs = ready_order(2)
    booking, line = booked(order), order.lines.get()
    ready(1)
    address = reverse("pickups:booking-nucs", args=[booking.pk])

    shown = text(client.get(address))
    response = client.post(address, {f"line-{line.pk}": [nuc.pk for nuc in nucs]}, follow=True)

    assert "Another nuc" in shown
    assert f"{nucs[0].number}, {nucs[1].number} at" in text(response)


def test_a_nuc_taken_meanwhile_is_refused(client, office):
    order, nucs = ready_order(1)
    booking, other = booked(order), booked(order_of(1))
    services.choose_nucs(
        booking_id=other.pk,
        nucs=[(nucs[0].pk, other.order.lines.get().pk)],
        at=DAWN,
        actor=office,
    )

    response = client.post(
        reverse("pickups:booking-nucs", args=[booking.pk]), {f"line-{order.lines.get().pk}": [nucs[0].pk]}
    )

    assert response.status_code == 422
    assert "A nuc on the list cannot leave any more. Look at the ticks and send again." in text(response)


def test_the_bookkeeper_reads_a_day_and_books_nothing(client):
    client.force_login(UserFactory(bookkeeper=True))
    booking = booked(order_of(1))

    day = client.get(reverse("pickups:day", args=[booking.window.day_id]))
    page = client.get(reverse("pickups:booking", args=[booking.pk]))

    assert day.status_code == page.status_code == 200
    assert "Book a buyer" not in text(day)
    assert "Run sheet" not in text(day)
    assert "Hand over" not in text(page)
    assert "Did not come" not in text(page)
    assert client.post(reverse("pickups:booking-miss", args=[booking.pk])).status_code == 403


def test_pages_of_another_season_are_not_there(client, office):
    day = PickupDayFactory(season=SeasonFactory(year=2029))

    assert client.get(reverse("pickups:day", args=[day.pk])).status_code == 404
