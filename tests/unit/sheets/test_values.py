"""Cells become days, half frames, degrees, words; what could mean two things is refused."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.sheets.compute import DegreesKind, HalvesKind

from .shapes import WAYS, rows_and_faults, said, value


@pytest.mark.parametrize(
    ("text", "halves"), [("5", 10), ("5.5", 11), ("5,5", 11), ("5½", 11), ("½", 1), ("5,50", 11), ("0", 0), ("20", 40)]
)
def test_half_frames_are_read_however_they_are_written(text, halves):
    assert value(text, "frames") == halves


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("5,3", "Frames are counted in halves, such as 5 or 5.5."),
        ("20,5", "Frames must lie between 0 and 20."),
        ("-1", "Frames must lie between 0 and 20."),
        ("five", "This is not a number. Write it in digits, such as 5.5."),
        ("1,000", "This is not a number. Write it in digits, such as 5.5."),
        ("1e3", "This is not a number. Write it in digits, such as 5.5."),
        ("٣", "This is not a number. Write it in digits, such as 5.5."),
        ("nan", "This is not a number. Write it in digits, such as 5.5."),
    ],
)
def test_frames_that_cannot_be_are_refused(text, words):
    assert value(text, "frames") == words


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2027-04-03", date(2027, 4, 3)),
        ("2027/4/3", date(2027, 4, 3)),
        ("3 Apr 2027", date(2027, 4, 3)),
        ("Sat 3 Apr 2027", date(2027, 4, 3)),
        ("3. April 2027", date(2027, 4, 3)),
        ("27.03.2027", date(2027, 3, 27)),
        ("03/27/2027", date(2027, 3, 27)),
        ("4/4/2027", date(2027, 4, 4)),
    ],
)
def test_days_that_can_be_only_one_day_are_read(text, day):
    assert value(text, "on") == day


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            "03/04/2027",
            "This could be two different days. Say above how days are written, or write 2027-04-03.",
        ),
        ("3/4/27", "Write the year with four digits, such as 2027-04-03."),
        ("31.02.2027", "There is no such day."),
        ("2027-04-13", "This day is still to come. Facts are recorded once they have happened."),
        ("1999-12-31", "The year must lie between 2000 and 2099."),
        ("46115", "This is not a day. Write it like 2027-04-03 or 3 Apr 2027."),
        ("yesterday", "This is not a day. Write it like 2027-04-03 or 3 Apr 2027."),
    ],
)
def test_days_that_are_none_or_two_are_refused(text, words):
    assert value(text, "on") == words


def test_a_stated_order_settles_what_could_be_two_days():
    assert value("03/04/2027", "on", ways=replace(WAYS, day_order="day")) == date(2027, 4, 3)
    assert value("03/04/2027", "on", ways=replace(WAYS, day_order="month")) == date(2027, 3, 4)
    assert value("27/03/2027", "on", ways=replace(WAYS, day_order="month")) == "There is no such day."


@pytest.mark.parametrize("text", ["300", "-31", "45,1"])
def test_a_temperature_that_is_no_weather_is_refused(text):
    assert value(text, "degrees") == "The temperature must lie between -30.0 and 45.0 °C."


@pytest.mark.parametrize(("text", "degrees"), [("6,5", "6.5"), ("−4", "-4.0"), ("45", "45.0")])
def test_temperatures_are_read_with_comma_and_sign(text, degrees):
    assert value(text, "degrees") == Decimal(degrees)


def test_words_are_taken_by_code_or_label_in_any_case():
    assert value("PLENTY", "patty") == "plenty"
    assert value("none", "patty") == "gone"
    assert value("some", "patty") == "This must be one of: gone, plenty."


def test_yes_is_yes_and_nonsense_is_refused():
    assert [value(text, "flying") for text in ("yes", "X", "1", "no", "0")] == [True, True, True, False, False]
    assert value("perhaps", "flying") == "Write yes, or leave it empty."


def test_text_too_long_or_with_hidden_characters_is_refused():
    assert value("a" * 41, "note") == "This is too long: at most 40 letters."
    assert value("a\x07b", "note") == "There are characters here that cannot be seen. Type the words anew."


def test_a_whole_number_has_bounds_and_no_halves():
    assert value("2,0", "boxes") == 2
    assert value("2,5", "boxes") == "This is not a whole number."
    assert value("7", "boxes") == "It must lie between 1 and 6."


def test_everything_wrong_in_a_line_is_said_at_once():
    rows, faults = rows_and_faults("Tag;Frames;Boxes\n;5,3;9\nC2;5;2\n")

    assert [row.values["tag"] for row in rows if not row.spoiled] == ["C2"]
    assert [(fault.line, fault.column, fault.said, said(fault.saying)) for fault in faults] == [
        (2, "tag", "", "This cannot be left empty."),
        (2, "frames", "5,3", "Frames are counted in halves, such as 5 or 5.5."),
        (2, "boxes", "9", "It must lie between 1 and 6."),
    ]


@given(st.integers(0, 40))
def test_frames_written_are_frames_read(halves):
    kind = HalvesKind(40)

    assert kind.read(kind.write(halves), WAYS) == halves


@given(st.integers(-300, 450), st.sampled_from("CF"))
def test_degrees_written_in_either_unit_are_the_degrees_read(tenths, unit):
    kind, celsius = DegreesKind(unit), Decimal(tenths) / 10

    assert kind.read(kind.write(celsius), WAYS) == celsius
