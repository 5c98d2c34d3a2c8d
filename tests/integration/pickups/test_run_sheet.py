"""The run sheet as it prints: who, when, which nucs, what is owed, room for ticks and a signature."""

from datetime import date, time
from io import BytesIO

import pdfplumber
import pytest

from apiary_ops.business.models import Business
from apiary_ops.pickups import papers, services
from tests.factories.billing import open_books, order_of
from tests.factories.people import UserFactory
from tests.factories.pickups import DAWN, PickupDayFactory, WindowFactory, booked, ready_order

pytestmark = pytest.mark.django_db

PRINTED = date(2027, 6, 4)


def pages(day) -> list[str]:
    """The words of each page, with any run of spaces as one."""
    with pdfplumber.open(BytesIO(papers.run_sheet_pdf(day.pk, printed_on=PRINTED))) as pdf:
        return [" ".join(page.extract_text().split()) for page in pdf.pages]


def test_a_booking_prints_with_its_nucs_and_what_is_owed():
    order, nucs = ready_order(2, buyer__name="Ada Fern", buyer__phone="555 0177")
    day = PickupDayFactory(yard__name="Mill yard", notes="Gate code 12.")
    booking = booked(order, WindowFactory(day=day))
    services.choose_nucs(
        booking_id=booking.pk,
        nucs=[(nuc.pk, order.lines.get().pk) for nuc in nucs],
        at=DAWN,
        actor=UserFactory(gate=True),
    )

    (page,) = pages(day)

    for words in ("Run sheet", "Sat 5 Jun 2027 · Mill yard", "05:00–06:00 · 5 places free", "Ada Fern", order.number):
        assert words in page
    for words in (
        "555 0177",
        "2 × 5-frame spring",
        "590.00",
        "Owed",
        "Signature",
        "Paid",
        "Gone",
        "Gate code 12.",
    ):
        assert words in page
    assert f"{nucs[0].number}, {nucs[1].number} at" in page
    assert "Printed Fri 4 Jun 2027" in page


def test_an_empty_window_says_so():
    open_books()
    day = PickupDayFactory()
    WindowFactory(day=day, starts_at=time(6), ends_at=time(7))

    (page,) = pages(day)

    assert "06:00–07:00 · 6 places free Nobody is booked." in page


def test_the_business_cautions_and_those_of_the_gate_are_printed():
    open_books()
    Business.objects.update(cautions="Smoker out before you leave.")

    page = " ".join(pages(PickupDayFactory()))

    assert "Smoker out before you leave." in page
    assert "Ask every buyer about sting allergy" in page


def test_names_in_any_script_and_long_ones_stay_on_the_page():
    open_books()
    day = PickupDayFactory()
    window = WindowFactory(day=day, places=40)
    names = ["Nguyễn Thị Ánh Tuyết", "Żółć & Söhne <script>", "Пасека Липовая Роща", "Μελισσοκομία Θυμάρι", "W" * 120]
    for name in names:
        booked(order_of(1, buyer__name=name, buyer__phone="+44 20 7946 0958 ext. 12345"), window)

    with pdfplumber.open(BytesIO(papers.run_sheet_pdf(day.pk, printed_on=PRINTED))) as pdf:
        text = " ".join(" ".join(page.extract_text().split()) for page in pdf.pages)
        edges = [(word["x0"], word["x1"], page.width) for page in pdf.pages for word in page.extract_words()]

    for words in ("Nguyễn", "Żółć", "<script>", "Пасека", "Θυμάρι"):
        assert words in text
    assert all(left > 0 and right < width for left, right, width in edges)


def test_a_full_day_runs_over_pages_that_repeat_their_heads():
    open_books()
    day = PickupDayFactory()
    window = WindowFactory(day=day, places=60)
    for number in range(40):
        booked(order_of(1, buyer__name=f"Buyer number {number}"), window)

    sheets = pages(day)

    assert len(sheets) > 2
    assert all("Telephone" in sheet for sheet in sheets[:-1])
    assert f"Page {len(sheets)} of {len(sheets)}" in sheets[-1]


def test_missed_bookings_are_left_out():
    open_books()
    day = PickupDayFactory()
    booking = booked(order_of(1, buyer__name="Ada Fern"), WindowFactory(day=day))
    services.miss_booking(booking_id=booking.pk, actor=UserFactory(gate=True))

    assert "Ada Fern" not in " ".join(pages(day))
