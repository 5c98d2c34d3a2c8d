"""Invoice and receipt on paper: lawful content, frozen bytes, and names that stay on the page."""

from datetime import UTC, date, datetime

import pytest

from apiary_ops.billing import papers, queries, services
from apiary_ops.business.models import Business
from apiary_ops.orders.models import Buyer
from tests.factories.billing import open_books, order_of
from tests.factories.orders import LineFactory
from tests.factories.people import UserFactory
from tests.unit.papers.reading import page_texts, placed_letters, whole_text

pytestmark = pytest.mark.django_db

DAY = date(2027, 6, 5)
NASTY_NAMES = {
    "long": "Hundredmetre" * 16 + "enduring",
    "markup": "<b>Robert</b> & 'Söhne' <script>alert(1)</script>",
    "cyrillic": "Дарья Ёлкина",
    "right to left": "مریم نوری",
    "vietnamese": "Nguyễn Thị Hoa",
    "emoji": "Bees 🐝 of 山田",
}


@pytest.fixture
def clerk():
    open_books()
    Business.objects.update(registration="12345 6789 RT0001", payment_instructions="By transfer, or cash at the gate.")
    return UserFactory(office=True)


def deposited(order, cents, clerk):
    return services.take_deposit(
        order_id=order.pk,
        cents=cents,
        received_on=date(2027, 1, 15),
        received_at=datetime(2027, 1, 15, 12, tzinfo=UTC),
        method="transfer",
        actor=clerk,
    )


def invoiced(order, clerk, *nucs):
    keys = order.lines.order_by("pk").values_list("pk", flat=True)
    return services.issue_invoice(
        order_id=order.pk,
        source=f"hand-over:{order.pk}",
        supplied_on=DAY,
        issued_on=date(2027, 6, 7),
        quantities=dict(zip(keys, nucs, strict=True)),
        actor=clerk,
    )


def test_an_invoice_carries_what_canada_the_eu_and_the_uk_ask(clerk):
    # Canada: Input Tax Credit Information Regulations s. 3, 500.00 and more. EU: Directive 2006/112/EC art. 226.
    # UK: HMRC COG941020, full VAT invoice.
    order = order_of(2, percent="15", buyer__name="Willa Marsh", buyer__address="2 Hill Road\nAlderwick")
    deposited(order, 15000, clerk)

    text = whole_text(papers.invoice_pdf(invoiced(order, clerk, 2).pk))

    for words in (
        "Fernhollow Bees",  # seller's name and address
        "4 Mill Lane",
        "12345 6789 RT0001",  # registration
        "Willa Marsh",  # buyer's name and address
        "2 Hill Road",
        "2027-00001",  # sequential number
        "Mon 7 Jun 2027",  # issue
        "Sat 5 Jun 2027",  # supply
        "5-frame spring nuc",  # what
        "295.00",  # unit price
        "590.00",  # taxable amount
        "standard rate 15 %",  # category and rate
        "88.50",  # tax
        "678.50",  # total with tax
        "−150.00",  # deposit taken off
        "528.50",  # left to pay
        "Due when the nucs are handed over",  # terms of payment
        "By transfer, or cash at the gate.",
        "Page 1 of 1",
        "Issued Mon 7 Jun 2027",
    ):
        assert words in text.replace("\N{NO-BREAK SPACE}", " "), words


def test_zero_rated_supplies_say_so_and_carry_the_note(clerk):
    order = order_of(1)
    category = order.lines.get().tax_category
    category.note = "Zero-rated supply of bees."
    category.save()

    text = whole_text(papers.invoice_pdf(invoiced(order, clerk, 1).pk))

    assert "zero rated 0" in text
    assert "Zero-rated supply of bees." in text


def test_an_invoice_settled_by_its_deposit_asks_for_nothing(clerk):
    order = order_of(1, price_cents=7500)
    deposited(order, 7500, clerk)

    text = whole_text(papers.invoice_pdf(invoiced(order, clerk, 1).pk))

    assert "Settled in full by the deposit." in text
    assert "By transfer" not in text


def test_an_invoice_prints_the_same_whatever_changed_since(clerk):
    order = order_of(2, buyer__name="Willa Marsh")
    paper = invoiced(order, clerk, 1)
    before = papers.invoice_pdf(paper.pk)

    Business.objects.update(name="Other Bees", address="Elsewhere", registration="", cautions="")
    Buyer.objects.update(name="Someone Else", address="Elsewhere")
    services.take_balance(invoice_id=paper.pk, cents=100, received_on=DAY, method="cash", actor=clerk)

    assert papers.invoice_pdf(paper.pk) == before


def test_a_receipt_for_a_deposit_states_the_terms(clerk):
    receipt = deposited(order_of(1, buyer__name="Willa Marsh"), 7500, clerk)

    text = whole_text(papers.receipt_pdf(receipt.pk))

    for words in ("R2027-00001", "Willa Marsh", "75.00 CAD", "Deposit for order", "transfer", "refunded in full until"):
        assert words in text, words


def test_a_receipt_for_a_balance_names_its_invoice(clerk):
    paper = invoiced(order_of(1), clerk, 1)
    receipt = services.take_balance(invoice_id=paper.pk, cents=100, received_on=DAY, method="card", actor=clerk)

    text = whole_text(papers.receipt_pdf(receipt.pk))

    assert "Payment of invoice 2027-00001" in text
    assert "card terminal" in text
    assert "Terms of the deposit" not in text


def test_a_receipt_prints_the_same_whatever_changed_since(clerk):
    receipt = deposited(order_of(1), 7500, clerk)
    before = papers.receipt_pdf(receipt.pk)

    Business.objects.update(name="Other Bees", cautions="")
    Buyer.objects.update(name="Someone Else")

    assert papers.receipt_pdf(receipt.pk) == before


@pytest.mark.parametrize("name", NASTY_NAMES.values(), ids=NASTY_NAMES.keys())
@pytest.mark.parametrize("sheet", ["A4", "Letter"])
def test_no_name_runs_off_the_page(clerk, name, sheet):
    Business.objects.update(paper=sheet, name=name[:120])
    order = order_of(1, buyer__name=name, buyer__address=f"{name}\n{name}")
    receipt = deposited(order, 7500, clerk)
    paper = invoiced(order, clerk, 1)

    for pdf in (papers.receipt_pdf(receipt.pk), papers.invoice_pdf(paper.pk)):
        letters = placed_letters(pdf)
        assert letters
        assert all(letter["x0"] >= 0 and letter["x1"] <= letter["page_width"] for letter in letters)


def test_markup_in_a_name_is_printed_as_it_was_typed(clerk):
    order = order_of(1, buyer__name=NASTY_NAMES["markup"])

    text = whole_text(papers.invoice_pdf(invoiced(order, clerk, 1).pk))

    assert "<b>Robert</b> & 'Söhne'" in text


def test_an_invoice_of_sixty_lines_repeats_its_head_and_counts_its_pages(clerk):
    order = order_of(1)
    first = order.lines.get()
    for _ in range(59):
        LineFactory(order=order, quantity=1, tax_category=first.tax_category, state="promised")

    pages = page_texts(papers.invoice_pdf(invoiced(order, clerk, *[1] * 60).pk))

    assert len(pages) == 3
    assert all(f"Page {number} of 3" in text for number, text in enumerate(pages, 1))
    assert all("Before tax (CAD)" in text for text in pages[:2])
    assert queries.invoices().get().net_cents == 60 * 29500
