import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from apiary_ops.papers.lettering import (
    BODY,
    BOLD,
    REGULAR,
    REPLACEMENT,
    STRONG_BODY,
    Face,
    clip,
    letters,
    printable,
    width_of,
    wrap,
)


def without_spaces(text: str) -> str:
    return "".join(text.split())


@pytest.mark.parametrize(
    "name",
    [
        "Čížek",
        "Łukasz",
        "Nguyễn Thị Hương",
        "Παπαδόπουλος",
        "Иванова",
        "Ганбаатар Өү",
        "Սարգսյան",
        "ბერიძე",
        "Ọ̀ṣun",
    ],
)
def test_a_name_in_a_script_we_promise_prints_whole(name):
    assert printable(name) == unicodedata.normalize("NFC", name)
    assert REPLACEMENT not in printable(name)


def test_a_name_typed_in_loose_accents_prints_composed():
    loose = unicodedata.normalize("NFD", "Nguyễn")

    assert printable(loose) == "Nguyễn"


@pytest.mark.parametrize(("name", "count"), [("王小明", 3), ("김철수", 3), ("अमर", 3), ("สมชา", 4), ("\ud800", 1)])
def test_each_letter_the_typeface_lacks_shows_a_replacement(name, count):
    assert printable(f"Bob {name}.") == f"Bob {REPLACEMENT * count}."
    assert ord(REPLACEMENT) in letters()


def test_controls_become_spaces_and_invisible_marks_go():
    assert printable("a\tb\x00c\u202ed\u200de\u3000f") == "a b cde f"


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r", "\u2028", "\x85", "\v", "\f"])
def test_any_line_ending_starts_a_new_line(ending):
    assert wrap(f"Mill Lane 4{ending}Thornby", BODY, 300) == ("Mill Lane 4", "Thornby")


@pytest.mark.parametrize("font", [REGULAR, BOLD])
def test_figures_are_all_equally_wide(font):
    widths = {round(width_of(figure, Face(font, 10, 14)), 6) for figure in "0123456789"}

    assert len(widths) == 1


def test_words_stay_whole_when_they_fit():
    width = width_of("Nuc on five", BODY)

    assert wrap("Nuc on five frames", BODY, width) == ("Nuc on five", "frames")


def test_a_hard_space_holds_a_number_to_its_unit():
    width = width_of("lift 12", BODY) + 1

    assert wrap("lift 12\u00a0kg", BODY, width) == ("lift", "12\u00a0kg")


def test_a_broken_word_keeps_its_accents_on_their_letters():
    word = "Ọ̀" * 60

    for width in range(20, 60):
        lines = wrap(word, BODY, width)
        assert len(lines) > 1
        assert not any(unicodedata.combining(line[0]) for line in lines)


def test_an_empty_text_is_one_empty_line():
    assert wrap("", BODY, 100) == ("",)


@settings(deadline=None)
@given(st.text(max_size=80), st.floats(20, 300))
def test_no_line_is_wider_than_its_column_and_no_letter_is_lost(text, width):
    lines = wrap(text, STRONG_BODY, width)

    assert all(width_of(line, STRONG_BODY) <= width for line in lines)
    assert without_spaces("".join(lines)) == without_spaces(printable(text))


def test_a_clipped_line_says_that_it_goes_on():
    width = width_of("Alder Bank…", BODY)

    assert clip("Alder Bank Bees", BODY, width) == "Alder Bank…"
    assert clip("Alder\nBank", BODY, width) == "Alder Bank"


@settings(deadline=None)
@given(st.text(max_size=80), st.floats(20, 300))
def test_a_clipped_line_fits(text, width):
    line = clip(text, BODY, width)

    assert width_of(line, BODY) <= width
