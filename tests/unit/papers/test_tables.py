import re
import time

import pytest

from apiary_ops.papers import Column, table, tick_box
from tests.unit.papers.reading import (
    LONG_WORD,
    boxes_of_page,
    built,
    header,
    lines_of_page,
    page_texts,
    whole_text,
    words_of_page,
)

REGISTER = [Column("Nuc"), Column("Buyer", share=2), Column("Price €", "right")]


def register_rows(count: int) -> list[tuple[str, str, str]]:
    return [(f"N-{number:04d}", "Anna Dvořák", f"{number}.00") for number in range(count)]


def test_a_long_table_repeats_its_head_on_every_page():
    pdf = built([table(REGISTER, register_rows(120))])

    heads = [page for page in range(len(page_texts(pdf))) if "Nuc Buyer Price €" in lines_of_page(pdf, page)]
    assert len(heads) == 4
    assert heads == list(range(4))


def test_a_long_table_prints_every_row_once_and_in_order():
    pdf = built([table(REGISTER, register_rows(120))])

    assert re.findall(r"N-\d{4}", whole_text(pdf)) == [f"N-{number:04d}" for number in range(120)]


def test_numbers_end_on_one_line_down_the_page():
    pdf = built(
        [table(REGISTER, [("N-1", "Anna", "9.00"), ("N-2", "Bo", "1,190.00")], total_rows=[("", "", "1,199.00")])]
    )

    ends = [word["x1"] for word in words_of_page(pdf, 0) if word["text"] in ("9.00", "1,190.00", "1,199.00", "€")]
    assert len(ends) == 4
    assert ends == pytest.approx([595.28 - 54] * 4, abs=0.1)


def test_a_number_in_a_mean_column_is_not_broken_in_two():
    columns = [Column("What", share=50), Column("Amount", "right", share=0.1)]

    pdf = built([table(columns, [("Nucs " * 60, "1 234 567,89")])])

    assert any(line.endswith("1 234 567,89") for line in lines_of_page(pdf, 0))


def test_totals_do_not_start_a_page_without_the_row_before_them():
    totals = [("", "All", "1.00"), ("", "Paid", "2.00"), ("", "Owed", "3.00")]
    starts = []
    for count in range(24, 34):
        texts = page_texts(built([table(REGISTER, register_rows(count), total_rows=totals)], on=header(cautions=())))
        page = next(text for text in texts if "All" in text)
        starts.append(f"N-{count - 1:04d}" in page)
        assert "Owed" in page

    assert starts == [True] * 10


def test_a_cell_longer_than_a_page_runs_on_without_losing_a_letter():
    pdf = built([table(REGISTER, [("N-1", "q" * 12_000, "1.00"), ("N-2", "Anna", "2.00")])])

    assert len(page_texts(pdf)) > 3
    assert whole_text(pdf).count("q") == 12_000
    assert "N-2" in page_texts(pdf)[-1]


def test_a_table_of_many_totals_still_prints():
    totals = [("", f"Rate {rate}", "1.00") for rate in range(80)]

    text = whole_text(built([table(REGISTER, register_rows(3), total_rows=totals)]))

    assert re.findall(r"Rate (\d+)", text) == [str(rate) for rate in range(80)]


def test_a_head_that_would_eat_the_page_is_cut_short():
    pdf = built([table([Column(LONG_WORD * 5), *[Column("Nuc")] * 9], [("x",) * 10])])

    assert len(page_texts(pdf)) == 1
    assert "…" in page_texts(pdf)[0]


def test_every_body_row_has_a_box_to_tick_and_the_totals_have_none():
    columns = [tick_box("Out"), Column("Nuc"), tick_box("Paid")]

    pdf = built([table(columns, [("N-1",), ("N-2",), ("N-3",)], total_rows=[("3 nucs",)])], on=header(cautions=()))

    assert len(boxes_of_page(pdf, 0)) == 6
    assert "Out Nuc Paid" in lines_of_page(pdf, 0)


def test_roomy_rows_leave_space_to_write():
    def row_step(roomy: bool) -> float:
        pdf = built([table([Column("Nuc")], [("N-1",), ("N-2",)], roomy=roomy)])
        first, second = (word["top"] for word in words_of_page(pdf, 0) if word["text"].startswith("N-"))
        return second - first

    assert row_step(roomy=False) == pytest.approx(20)
    assert row_step(roomy=True) == pytest.approx(30)


def test_an_empty_table_prints_its_head():
    assert "Nuc Buyer Price €" in lines_of_page(built([table(REGISTER, [])]), 0)


def test_a_row_of_the_wrong_length_is_refused():
    with pytest.raises(ValueError, match=r"^A row has 1 texts for 2 columns of text: \('N-1',\)\.$"):
        table([tick_box(), Column("Nuc"), Column("Buyer")], [("N-1",)])


def test_a_table_of_boxes_alone_is_refused():
    with pytest.raises(ValueError, match=r"^A table needs at least one column of text\.$"):
        table([tick_box("Out")], [])


def test_a_thousand_rows_are_set_within_two_seconds_of_work():
    started = time.process_time()

    built([table(REGISTER, register_rows(1000))])

    assert time.process_time() - started < 2
