"""The yard sheet as it prints: walking order, last look, open tasks, room for a pencil, cautions."""

from datetime import date
from io import BytesIO

import pdfplumber
import pytest

from apiary_ops.business.models import Business
from apiary_ops.yards import papers
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.yards import ColonyFactory, HoldFactory, LookFactory, TaskFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db

PRINTED = date(2027, 4, 12)


@pytest.fixture
def yard():
    BusinessFactory()
    return YardFactory(
        name="Mill Lane", place="behind the mill", hazards="Deep ditch on the left.", gate_code="4711", has_bears=True
    )


def sheet(yard):
    return papers.yard_sheet_pdf(yard.pk, season_id=SeasonFactory(year=2027).pk, printed_on=PRINTED)


def pages(yard) -> list[str]:
    """The words of each page, with any run of spaces as one."""
    with pdfplumber.open(BytesIO(sheet(yard))) as pdf:
        return [" ".join(page.extract_text().split()) for page in pdf.pages]


def test_a_colony_prints_with_its_last_look_and_its_open_tasks(yard):
    colony = ColonyFactory(yard=yard, tag="A7", position=3)
    LookFactory(visit=VisitFactory(yard=yard, on=date(2027, 3, 3)), colony=colony, below_halves=8)
    LookFactory(visit=VisitFactory(yard=yard, on=date(2027, 4, 3)), colony=colony, below_halves=12, patty="gone")
    TaskFactory(yard=yard, colony=colony, what="Give a patty", due_on=date(2027, 4, 14))
    TaskFactory(yard=yard, colony=colony, what="Done already", done_on=PRINTED, done_by=UserFactory(crew=True))

    (page,) = pages(yard)

    assert "Yard sheet Mill Lane · 1 colony" in page
    assert "3 Apr: 6.0 ± 0.5 frames;" in page
    assert "3 Mar" not in page
    assert "→ Give a patty, 14 Apr" in page
    assert "Done already" not in page
    assert "e f s b g h p ok q sp d" in page
    assert "Printed Mon 12 Apr 2027" in page


def test_colonies_print_in_walking_order(yard):
    for position, tag in ((2, "B2"), (1, "C1"), (10, "A9")):
        ColonyFactory(yard=yard, tag=tag, position=position)
    ColonyFactory(yard=yard, tag="D1", state="lost", ended_on=date(2027, 4, 1))

    (page,) = pages(yard)

    assert page.index("C1") < page.index("B2") < page.index("A9")
    assert "D1" not in page
    assert page.count("not looked at") == 4  # each colony, and the line that says how


def test_the_yard_itself_prints_with_its_dangers_but_not_its_gate_code(yard):
    TaskFactory(yard=yard, what="Mow round the fence", due_on=date(2027, 4, 20))

    (page,) = pages(yard)

    for words in ("behind the mill", "Deep ditch on the left.", "Mow round the fence, 20 Apr"):
        assert words in page
    for words in ("Veil on before the gate.", "The fence is live", "Disease suspected?", "Stings can kill"):
        assert words in page
    assert "4711" not in page
    assert "No colony stands here yet." in page


def test_a_yard_on_hold_says_so_before_anything_else(yard):
    ColonyFactory(yard=yard)
    HoldFactory(yard=yard, reason="brood disease suspected")

    (page,) = pages(yard)

    assert page.index("On hold: brood disease suspected. Nothing leaves") < page.index("behind the mill")


@pytest.mark.parametrize(("paper", "size"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_a_long_yard_repeats_its_heads_and_stays_on_the_page(yard, paper, size):
    Business.objects.update(paper=paper)
    for colony in ColonyFactory.create_batch(45, yard=yard):
        LookFactory(visit=VisitFactory(yard=yard), colony=colony, lower_box="spilling", note="long word " * 12)

    with pdfplumber.open(BytesIO(sheet(yard))) as pdf:
        texts = [page.extract_text() for page in pdf.pages]
        letters = [letter for page in pdf.pages for letter in page.chars]
        sizes = {(round(page.width), round(page.height)) for page in pdf.pages}

    assert sizes == {size}
    assert len(texts) > 3
    assert all("Last look, and what to do" in text for text in texts[:-1])
    assert all(f"Page {number} of {len(texts)}" in text for number, text in enumerate(texts, start=1))
    assert min(letter["x0"] for letter in letters) >= 53
    assert max(letter["x1"] for letter in letters) <= size[0] - 53


def test_forty_colonies_take_a_fixed_number_of_queries(yard, django_assert_max_num_queries):
    for colony in ColonyFactory.create_batch(40, yard=yard):
        LookFactory(visit=VisitFactory(yard=yard), colony=colony)
        TaskFactory(yard=yard, colony=colony)
    season = SeasonFactory(year=2027)

    with django_assert_max_num_queries(18):
        papers.yard_sheet_pdf(yard.pk, season_id=season.pk, printed_on=PRINTED)
