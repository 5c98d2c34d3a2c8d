"""CSV however it was saved: letters, separators, quotes, and what no reader should swallow."""

import pytest

from apiary_ops.sheets.compute import Unreadable, read_grid

from .shapes import COLUMNS, rows_and_faults, said

TEXT = "Tag;Note\nC1;Żaba, größer\nC2;\n"


def notes(content):
    return [said(note) for note in read_grid(content, COLUMNS).notes]


@pytest.mark.parametrize(
    ("codec", "letters"),
    [("utf-8", "UTF-8"), ("utf-8-sig", "UTF-8"), ("utf-16", "UTF-16"), ("utf-16-le", "UTF-16"), ("utf-32", "UTF-32")],
)
def test_unicode_is_read_with_and_without_its_mark(codec, letters):
    rows, faults = rows_and_faults(TEXT.encode(codec))

    assert faults == []
    assert [(row.values["tag"], row.values["note"]) for row in rows] == [("C1", "Żaba, größer"), ("C2", None)]
    assert notes(TEXT.encode(codec)) == [f"Read as text in {letters}, cells apart by semicolons."]


def test_windows_letters_are_read_and_said_so():
    content = "Tag,Note\nC1,Größe 5½\n".encode("cp1252")

    rows, _ = rows_and_faults(content)

    assert rows[0].values["note"] == "Größe 5½"
    assert notes(content) == ["Read as text in Windows-1252, cells apart by commas."]


def test_letters_of_no_known_alphabet_are_refused():
    with pytest.raises(Unreadable, match="These letters cannot be read as Windows-1252. Save the file as CSV in UTF-8"):
        read_grid(b"Tag,Note\nC1,\x81\x8d\n", COLUMNS)


def test_half_of_a_letter_at_the_end_is_refused():
    with pytest.raises(Unreadable, match="These letters cannot be read as UTF-16"):
        read_grid(TEXT.encode("utf-16")[:-1], COLUMNS)


@pytest.mark.parametrize("separator", [";", ",", "\t"])
def test_cells_apart_by_semicolon_comma_or_tab(separator):
    rows, faults = rows_and_faults(f'Tag{separator}Frames{separator}Note\nC1{separator}"5,5"{separator}a; b, c\n')

    if separator == "\t":
        assert (faults, rows[0].values["note"]) == ([], "a; b, c")
    else:
        assert "cells under 3 heads" in said(faults[0].saying)


def test_a_separator_named_in_the_first_line_decides_and_lines_keep_their_numbers():
    _, faults = rows_and_faults("sep=;\r\nTag;Note\r\nC1;a,b\r\n;x,y\r\n")

    assert [(fault.line, fault.column) for fault in faults] == [(4, "tag")]


def test_half_frames_with_a_bare_comma_are_said_to_have_slipped():
    rows, faults = rows_and_faults("Tag,Frames,Boxes\nC1,5,2\nC2,5,5,2\n")

    assert [row.values["tag"] for row in rows if not row.spoiled] == ["C1"]
    assert (faults[0].line, said(faults[0].saying)) == (
        3,
        "This row has 4 cells under 3 heads. A cell with a comma or semicolon of its own, such as 5,5, belongs in "
        "quotation marks.",
    )


def test_lines_are_counted_as_an_editor_counts_them():
    _, faults = rows_and_faults('Tag,Note\n\nC1,"two\nlines"\n\n,none\n')

    assert [fault.line for fault in faults] == [6]


def test_old_line_ends_are_line_ends():
    rows, _ = rows_and_faults(b"Tag,Note\rC1,a\rC2,b\r")

    assert [row.values["tag"] for row in rows] == ["C1", "C2"]


def test_a_quotation_mark_that_never_closes_names_its_line():
    with pytest.raises(Unreadable, match="From line 3 on the cells cannot be told apart"):
        read_grid(b'Tag,Note\nC1,a\nC2,"open\nC3,b\n', COLUMNS)


def test_a_formula_is_refused_and_quoted_text_is_taken():
    rows, faults = rows_and_faults("Tag,Note\nC1,=HYPERLINK(1)\nC2,'=not one\nC3,- weak\nC4,'twas cold\n")

    assert [row.values["note"] for row in rows if not row.spoiled] == ["=not one", "- weak", "'twas cold"]
    assert said(faults[0].saying) == (
        "This is a formula. Put its result here, or a ' before it if it is meant as text."
    )


def test_a_title_above_the_head_is_passed_over():
    rows, _ = rows_and_faults("Our hives in spring,,\n,,\nTag,Frames,Boxes\nC1,5,2\n")

    assert (rows[0].line, rows[0].values["tag"]) == (4, "C1")


def test_the_same_head_twice_is_nobodys():
    _, faults = rows_and_faults("Tag,Tag,Note\nC1,C2,x\n")

    assert [fault.column for fault in faults] == ["tag"]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "The file is empty."),
        (b"  \n \n", "The file is empty."),
        (b"\xef\xbb\xbf,,\n,,\n", "The file is empty."),
        (b"Tag,Note\n", "There is a head but no row below it."),
        (b"%PDF-1.7 ...", "This is a PDF."),
        (b"\xd0\xcf\x11\xe0\xa1\xb1", "This is an old .xls workbook"),
        (b"Tag,Note\n" + b"C1,x\n" * 20_001, "The file holds more than 20000 rows."),
        (b"Tag,Note\n" + b"C1,x\n" * 20_100, "The file holds more than 20000 rows."),
        (b"a," * 101 + b"\n", "Line 1 has more than 100 cells."),
        (b"Tag,Note\nC1," + b"x" * 200_000, "From line 2 on the cells cannot be told apart"),
        (b"x" * 5_000_001, "The file is larger than 5 MB."),
        (b"Tag\0,Note\nC1,x\n", "This is not a text file.|These letters cannot be read"),
    ],
)
def test_a_file_that_is_none_is_refused_with_what_to_do(content, words):
    with pytest.raises(Unreadable, match=words):
        rows_and_faults(content)
