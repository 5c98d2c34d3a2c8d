"""Spreadsheets: bombs and broken files stay shut, and every cell of a good one is read as it stands."""

import random
import re
from datetime import date, datetime
from decimal import Decimal
from io import BytesIO
from time import perf_counter
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile

import pytest
from openpyxl import Workbook, load_workbook

from apiary_ops.sheets.compute import Unreadable, read_grid, xlsx_bytes

from .shapes import COLUMNS, rows_and_faults, said


def saved(*rows, title="Hives", more=None):
    book = Workbook()
    book.active.title = title
    for row in rows:
        book.active.append(row)
    if more:
        more(book)
    file = BytesIO()
    book.save(file)
    return file.getvalue()


def repacked(content, change, *, method=ZIP_DEFLATED):
    """The same archive with `change(name, bytes)` made of each part; None leaves a part out."""
    file = BytesIO()
    with ZipFile(BytesIO(content)) as old, ZipFile(file, "w", method) as new:
        for name in old.namelist():
            part = change(name, old.read(name))
            if part is not None:
                new.writestr(name, part)
    return file.getvalue()


def sheet_xml(content, body):
    """A workbook whose first sheet holds `body` as its rows."""
    xml = (
        b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
        + body
        + b"</sheetData></worksheet>"
    )
    return repacked(content, lambda name, part: xml if name.endswith("sheet1.xml") else part)


AFTERNOON = datetime(2027, 4, 3, 14, 5)  # noqa: DTZ001 - a cell knows no time zone
HEAD = ("Tag", "Day", "Frames", "Boxes", "Note")


def test_numbers_days_and_text_are_read_as_cells():
    rows, faults = rows_and_faults(
        saved(HEAD, ("c1", date(2027, 4, 3), 5.5, 2, "fine"), (12, AFTERNOON, "5,5", "2", "'=a"))
    )

    assert faults == []
    assert [dict(row.values) for row in rows] == [
        {
            "tag": tag,
            "on": date(2027, 4, 3),
            "frames": 11,
            "boxes": 2,
            "degrees": None,
            "flying": None,
            "patty": None,
            "note": note,
        }
        for tag, note in [("C1", "fine"), ("12", "=a")]
    ]


def test_formulas_and_spoiled_cells_are_refused_each_in_its_place():
    def spoil(book):
        book.active["C3"] = "#DIV/0!"
        book.active["C3"].data_type = "e"

    _, faults = rows_and_faults(saved(HEAD, ("C1", None, "=1+1", 2), ("C2", None, None, 2), more=spoil))

    assert [(fault.line, fault.column, fault.said, said(fault.saying)[:40]) for fault in faults] == [
        (2, "frames", "=1+1", "This is a formula. Put its result here: "),
        (3, "frames", "#DIV/0!", "The spreadsheet could not work this cell"),
    ]


def test_a_number_where_a_day_belongs_is_refused():
    _, faults = rows_and_faults(saved(HEAD, ("C1", 46115)))

    assert said(faults[0].saying) == "This is not a day. Write it like 2027-04-03 or 3 Apr 2027."


def test_rows_left_empty_are_passed_over_and_lines_keep_their_numbers():
    rows, _ = rows_and_faults(saved(("Hives in spring",), (), HEAD, ("C1",), (), (None, None), ("C2",)))

    assert [(row.line, row.values["tag"]) for row in rows] == [(4, "C1"), (7, "C2")]


def test_a_sheet_with_one_row_far_down_is_read_quickly():
    body = (
        b'<row r="1"><c r="A1" t="inlineStr"><is><t>Tag</t></is></c></row>'
        b'<row r="1048576"><c r="A1048576" t="inlineStr"><is><t>C1</t></is></c></row>'
    )
    started = perf_counter()

    rows, _ = rows_and_faults(sheet_xml(saved(HEAD), body))

    assert [(row.line, row.values["tag"]) for row in rows] == [(1_048_576, "C1")]
    assert perf_counter() - started < 5


def test_a_row_beyond_the_end_of_any_sheet_is_refused():
    body = b'<row r="999999999"><c t="inlineStr"><is><t>C1</t></is></c></row>'

    with pytest.raises(Unreadable, match="This spreadsheet cannot be read"):
        read_grid(sheet_xml(saved(HEAD), body), COLUMNS)


def test_a_size_the_file_states_wrongly_hides_nothing():
    content = repacked(
        saved(HEAD, ("C1",), ("C2",)),
        lambda name, part: re.sub(rb'dimension ref="[^"]+"', b'dimension ref="A1:A2"', part),
    )

    rows, _ = rows_and_faults(content)

    assert [row.values["tag"] for row in rows] == ["C1", "C2"]


def test_more_rows_than_can_be_taken_are_refused():
    body = b"".join(
        b'<row r="%d"><c t="inlineStr"><is><t>%s</t></is></c></row>' % (line, b"Tag" if line == 1 else b"C1")
        for line in range(1, 20_100)
    )

    with pytest.raises(Unreadable, match="more than 20000 rows. Cut it into smaller files."):
        rows_and_faults(sheet_xml(saved(HEAD), body))


# --- The right sheet.


def with_two_sheets(book):
    other = book.create_sheet("Spring")
    other.append(HEAD)
    other.append(("C9", None, 4, 1))


def test_the_sheet_whose_head_fits_best_is_taken_and_said():
    content = saved(("Shopping", "Price"), ("sugar", 3), title="Errands", more=with_two_sheets)

    grid = read_grid(content, COLUMNS)

    assert (grid.sheet, grid.sheets) == ("Spring", ("Errands", "Spring"))
    assert [said(note) for note in grid.notes] == ["Read from the sheet “Spring”; the file has 2 sheets."]


def test_the_sheet_asked_for_is_taken():
    rows, _ = rows_and_faults(saved(HEAD, ("C1",), more=with_two_sheets), sheet="Spring")

    assert [row.values["tag"] for row in rows] == ["C9"]


def test_a_hidden_sheet_is_not_looked_at():
    def hide(book):
        with_two_sheets(book)
        book["Spring"].sheet_state = "hidden"

    assert read_grid(saved(("Shopping",), ("sugar",), more=hide), COLUMNS).sheets == ("Hives",)


@pytest.mark.parametrize(("cells", "refused"), [("A1:E1", False), ("A3:A4", True), ("C3:D3", True)])
def test_merged_cells_are_refused_below_the_head_only(cells, refused):
    content = saved(
        ("Spring",), HEAD, ("C1", None, 5, 2), ("C2", None, 5, 2), more=lambda book: book.active.merge_cells(cells)
    )

    if refused:
        with pytest.raises(Unreadable, match=f"The cells {cells} are merged"):
            rows_and_faults(content)
    else:
        assert len(rows_and_faults(content)[0]) == 2


# --- What stays shut.


def test_a_bomb_is_weighed_before_it_is_opened():
    content = repacked(
        saved(HEAD, ("C1",)), lambda name, part: b" " * 50_000_000 if name.endswith("sheet1.xml") else part
    )
    started = perf_counter()

    with pytest.raises(Unreadable, match="Unpacked, this spreadsheet is far larger than a list of 20000 rows"):
        read_grid(content, COLUMNS)
    assert len(content) < 100_000
    assert perf_counter() - started < 1


def test_many_small_bombs_count_together():
    file = BytesIO()
    with ZipFile(file, "w", ZIP_DEFLATED) as archive:
        for number in range(70):
            archive.writestr(f"xl/{number}.xml", b"0" * 900_000)

    with pytest.raises(Unreadable, match="far larger"):
        read_grid(file.getvalue(), COLUMNS)


def test_an_archive_that_lies_about_its_sizes_is_refused():
    content = bytearray(saved(HEAD, ("C1",)))
    place = content.rfind(b"PK\x01\x02")  # the last entry of the directory: its stated size
    content[place + 24 : place + 28] = (5).to_bytes(4, "little")

    with pytest.raises(Unreadable, match="This spreadsheet cannot be read"):
        read_grid(bytes(content), COLUMNS)


def test_entities_are_never_unfolded():
    bomb = (
        b'<?xml version="1.0"?><!DOCTYPE w [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]>'
        b'<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">&b;</workbook>'
    )

    for part in ("xl/workbook.xml", "xl/worksheets/sheet1.xml", "docProps/core.xml"):
        content = repacked(saved(HEAD, ("C1",)), lambda name, old, part=part: bomb if name == part else old)
        with pytest.raises(Unreadable, match="This spreadsheet cannot be read"):
            read_grid(content, COLUMNS)


def hidden(content):
    """The same workbook with noise in it, so that what it unpacks to is no longer out of proportion."""
    file = BytesIO(content)
    with ZipFile(file, "a") as archive:
        archive.writestr("docProps/noise.bin", random.Random(1).randbytes(300_000))
    return file.getvalue()


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (b"<row>" + b"<c/>" * 250_000 + b"</row>", "This spreadsheet cannot be read"),
        ((b"<row>" + b"<c/>" * 1_000 + b"</row>") * 3_100, "Unpacked, this spreadsheet is far larger"),
    ],
)
def test_rows_without_end_are_refused_however_well_they_hide(rows, words):
    content = hidden(sheet_xml(saved(HEAD, ("C1",)), rows))
    started = perf_counter()

    with pytest.raises(Unreadable, match=words):
        read_grid(content, COLUMNS)
    assert perf_counter() - started < 5


def test_macros_are_refused_unread():
    content = repacked(saved(HEAD, ("C1",)), lambda name, part: part)
    file = BytesIO(content)
    with ZipFile(file, "a") as archive:
        archive.writestr("xl/vbaProject.bin", b"macro")

    with pytest.raises(Unreadable, match="This workbook holds macros"):
        read_grid(file.getvalue(), COLUMNS)


@pytest.mark.parametrize("part", ["xl/workbook.xml", "xl/worksheets/sheet1.xml", "xl/styles.xml"])
def test_a_workbook_with_a_broken_part_is_refused(part):
    content = repacked(saved(HEAD, ("C1",)), lambda name, old: b"<nothing" if name == part else old)

    with pytest.raises(Unreadable, match="This spreadsheet cannot be read"):
        rows_and_faults(content)


def test_other_archives_and_cut_off_files_are_refused():
    file = BytesIO()
    with ZipFile(file, "w", ZIP_STORED) as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")

    with pytest.raises(Unreadable, match="This is not an .xlsx workbook"):
        read_grid(file.getvalue(), COLUMNS)
    with pytest.raises(Unreadable, match="This spreadsheet cannot be read"):
        read_grid(saved(HEAD, ("C1",))[:-200], COLUMNS)
    with pytest.raises(Unreadable, match="This spreadsheet cannot be read"):
        read_grid(b"PK\x03\x04 and then nothing", COLUMNS)


def test_the_name_of_a_file_says_nothing_a_spreadsheet_is_told_by_its_bytes():
    rows, _ = rows_and_faults(saved(HEAD, ("C1", None, Decimal("4.5"))))

    assert rows[0].values["frames"] == 9


def test_a_control_character_hides_no_formula_in_what_is_saved():
    book = load_workbook(BytesIO(xlsx_bytes("Hives", COLUMNS, [{"tag": "C1", "note": "\x01=1+1"}])))

    cell = book["Hives"]["H2"]

    assert (cell.value, cell.data_type, cell.quotePrefix) == ("=1+1", "s", True)


def test_a_tag_of_digits_stays_text_where_it_is_typed_and_where_it_was_saved():
    book = load_workbook(BytesIO(xlsx_bytes("Hives", COLUMNS, [{"tag": "0031", "boxes": 2, "note": "weak"}])))

    sheet = book["Hives"]
    columns = {column.name: sheet.column_dimensions[letter] for column, letter in zip(COLUMNS, "ABCDEFGH", strict=True)}
    assert columns["tag"].number_format == "@"
    assert columns["boxes"].number_format == "General"
    assert [(sheet[at].value, sheet[at].number_format) for at in ("A2", "D2", "H2")] == [
        ("0031", "@"),
        (2, "General"),
        ("weak", "General"),
    ]
