"""Every paper carries the business's own head, cautions and way of writing a day."""

from datetime import date

from apiary_ops.business.models import Business
from apiary_ops.business.papers import paper_header, paper_words
from apiary_ops.papers import PaperHeader


def business(**changes: str) -> Business:
    given = {
        "name": "Fernhollow Bees",
        "address": "4 Mill Lane\n\n Alderwick ",
        "phone": "555 0100",
        "email": "desk@fernhollow.example",
        "cautions": "Lift with your legs.\nStings can kill.",
        "paper": "A4",
    }
    return Business(**(given | changes))


def test_the_head_of_a_paper_says_who_sends_it():
    head = paper_header(business())

    assert head == PaperHeader(
        business_name="Fernhollow Bees",
        address_lines=("4 Mill Lane", "Alderwick"),
        contact_line="555 0100 · desk@fernhollow.example",
        cautions=("Lift with your legs.", "Stings can kill."),
        page_size="A4",
    )


def test_a_business_without_telephone_prints_its_mail_alone():
    head = paper_header(business(phone=""))

    assert head.contact_line == "desk@fernhollow.example"


def test_letter_paper_is_kept():
    head = paper_header(business(paper="Letter"))

    assert head.page_size == "Letter"


def test_the_foot_of_a_paper_writes_the_day_as_pages_do():
    words = paper_words()

    assert words.printed.format(date=words.date_text(date(2027, 5, 3))) == "Printed Mon 3 May 2027"
