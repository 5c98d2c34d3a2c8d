from concurrent.futures import ThreadPoolExecutor
from datetime import date
from io import BytesIO
from time import sleep

import pytest
from pypdf import PdfReader
from reportlab.pdfbase.ttfonts import TTFontFile

from apiary_ops.papers import (
    Column,
    Words,
    build,
    cautions,
    facts,
    heading,
    paragraph,
    signature_line,
    table,
    tick_box,
    title,
)
from apiary_ops.papers.lettering import REPLACEMENT
from apiary_ops.papers.sheet import FOOT_ABOVE_EDGE, RUNNING_HEAD_BELOW_EDGE, SIDE_MARGIN
from tests.unit.papers.reading import (
    LONG_WORD,
    PRINTED_ON,
    boxes_of_page,
    built,
    header,
    lines_of_page,
    page_texts,
    placed_letters,
    whole_text,
)

SCRIPTS = "Čížek, Łukasz, Nguyễn Thị Hương, Παπαδόπουλος, Иванова"
MARKUP = "<b>Bob</b> & <img src='http://nowhere.invalid/x.png'/> &lt; <para> {page} %(x)s </i>"


def everything(text: str) -> list:
    """One of each block, with the same text wherever a person's words can stand."""
    return [
        title(text, text),
        facts([(text, text), ("Due", text)]),
        heading(text),
        paragraph(text),
        table(
            [tick_box("Out"), Column("Left"), Column("Middle", "centre"), Column("Right", "right")],
            [(text, text, text)] * 3,
            total_rows=[(text, text, text)],
        ),
        cautions([text]),
        signature_line(text),
    ]


def header_of(text: str, page_size: str):
    return header(page_size, business_name=text, address_lines=(text, text), contact_line=text, cautions=(text, text))


@pytest.mark.parametrize("page_size", ["A4", "Letter"])
@pytest.mark.parametrize(
    "text",
    [LONG_WORD, "W" * 300, "a b " * 120, MARKUP * 2, "\n" * 60 + "end", "王" * 300, ("ẘ" * 40 + " ") * 4],
    ids=["word", "wide", "many", "markup", "newlines", "unknown", "accents"],
)
def test_nothing_runs_off_the_page(text, page_size):
    pdf = built(everything(text), on=header_of(text, page_size), title=text, number=text)

    width, height = {"A4": (595.276, 841.89), "Letter": (612, 792)}[page_size]
    letters = placed_letters(pdf)
    assert {round(letter["page_width"], 3) for letter in letters} == {width}
    assert {round(letter["page_height"], 3) for letter in letters} == {height}
    assert min(letter["x0"] for letter in letters) >= SIDE_MARGIN - 0.01
    assert max(letter["x1"] for letter in letters) <= width - SIDE_MARGIN + 0.01
    assert min(letter["top"] for letter in letters) >= RUNNING_HEAD_BELOW_EDGE - 10
    assert max(letter["bottom"] for letter in letters) <= height - FOOT_ABOVE_EDGE + 4


def test_body_letters_keep_clear_of_the_foot():
    letters = placed_letters(built([paragraph("line\n" * 200)]))

    body = [letter["bottom"] for letter in letters if letter["size"] > 9]
    foot = [letter["top"] for letter in letters if letter["size"] < 8.2 and letter["top"] > 400]
    assert max(body) < min(foot) - 10


def test_every_page_says_which_of_how_many_it_is():
    pdf = built([paragraph("line\n" * 200)], title="Care sheet")

    pages = len(page_texts(pdf))
    assert pages == 5
    for number, text in enumerate(page_texts(pdf), start=1):
        assert f"Page {number} of {pages}" in text
        assert "Care sheet · Printed 2027-05-03" in text


def test_the_letterhead_opens_the_paper_and_a_running_head_follows():
    pdf = built([paragraph("line\n" * 90)], number="2027-0042")

    assert lines_of_page(pdf, 0)[:3] == ["Alder Bank Bees Mill Lane 4", "Lower Thornby", "office@alderbank.example"]
    assert lines_of_page(pdf, 1)[0] == "Alder Bank Bees Invoice 2027-0042"
    assert "Mill Lane 4" not in page_texts(pdf)[1]


def test_the_cautions_close_every_paper_in_a_box():
    pdf = built([paragraph("Thank you.")])

    lines = lines_of_page(pdf, 0)
    assert lines.index("Mind this") > lines.index("Thank you.")
    assert "• A nuc is heavy: lift with two." in lines
    assert len(boxes_of_page(pdf, 0)) == 1


def test_a_paper_without_cautions_has_no_box():
    pdf = built([paragraph("Thank you.")], on=header(cautions=()))

    assert "Mind this" not in whole_text(pdf)
    assert boxes_of_page(pdf, 0) == []


def test_names_in_many_scripts_can_be_read_back():
    pdf = built([table([Column("Buyers")], [(SCRIPTS,)]), heading(SCRIPTS)])

    assert whole_text(pdf).count(SCRIPTS) == 2


def test_a_name_the_typeface_cannot_print_is_seen_to_be_missing():
    pdf = built([facts([("Buyer", "王小明")])])

    assert f"Buyer\n{REPLACEMENT * 3}" in whole_text(pdf)


def test_markup_prints_as_it_was_typed():
    pdf = built(
        [
            title(MARKUP),
            paragraph(MARKUP),
            table([Column("What")], [(MARKUP,)]),
            signature_line("<b>"),
            cautions([MARKUP]),
        ],
        on=header(business_name="<i>A & B</i>"),
        title="<u>",
    )

    text = whole_text(pdf)
    assert " ".join(text.split()).count(MARKUP) == 4
    assert "<i>A & B</i>" in text
    assert "<u> · Printed" in text
    assert all(not page.images and "/Annots" not in page for page in PdfReader(BytesIO(pdf)).pages)


def test_the_file_says_what_it_is():
    reader = PdfReader(BytesIO(built([], title="Invoice", number="2027-0042\ud800")))

    assert reader.metadata.title == f"Invoice 2027-0042{REPLACEMENT}"
    assert reader.metadata.author == "Alder Bank Bees"
    assert reader.trailer["/Root"]["/Lang"] == "en"


def test_the_same_paper_twice_is_the_same_file():
    assert built(everything(SCRIPTS)) == built(everything(SCRIPTS))


def test_papers_made_at_once_by_several_workers_do_not_mix():
    papers = [everything(text) for text in (SCRIPTS, MARKUP, "Иванова " * 50, "ẘ" * 30)]
    alone = [built(paper) for paper in papers]

    with ThreadPoolExecutor(4) as workers:
        together = list(workers.map(built, papers * 3))

    assert together == alone * 3


def test_one_paper_at_a_time_reads_the_font(monkeypatch):
    inside, most = [], []
    cut = TTFontFile.makeSubset

    def watched(face, subset):
        inside.append(face)
        most.append(len(inside))
        sleep(0.02)  # long enough for a second worker to come in, if nothing keeps it out
        inside.pop()
        return cut(face, subset)

    monkeypatch.setattr(TTFontFile, "makeSubset", watched)

    with ThreadPoolExecutor(4) as workers:
        list(workers.map(built, [everything(SCRIPTS)] * 4))

    assert max(most) == 1


def test_a_paper_speaks_the_words_it_is_given():
    words = Words("Seite {page} von {pages}", "Gedruckt {date}", "Achtung", "de", lambda day: f"{day:%d.%m.%Y}")

    pdf = build(header(), [], title="Rechnung", printed_on=PRINTED_ON, words=words)

    text = whole_text(pdf)
    assert "Seite 1 von 1" in text
    assert "Rechnung · Gedruckt 03.05.2027" in text
    assert "Achtung" in text


def test_without_words_a_paper_speaks_the_readers_language():
    pdf = build(header(), [], title="Invoice", printed_on=date(2027, 5, 3))

    assert "Page 1 of 1" in whole_text(pdf)


def test_a_line_to_sign_keeps_room_above_it_at_the_top_of_a_page():
    pdf = built([signature_line(f"Buyer {number}") for number in range(30)], on=header(cautions=()))

    labels = [
        letter for letter in placed_letters(pdf) if letter["text"] == "B" and letter["size"] == pytest.approx(8.5)
    ]
    assert len(labels) == 30
    assert min(letter["top"] for letter in labels) > 72 + 38


def test_a_header_of_letters_for_a_whole_page_still_leaves_a_paper():
    pdf = built([paragraph("Thank you.")], on=header(address_lines=tuple(f"Line {n}" for n in range(120))))

    assert "Line 119" in whole_text(pdf)
    assert "Thank you." in page_texts(pdf)[-1]
