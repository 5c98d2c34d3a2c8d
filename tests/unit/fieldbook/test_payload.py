"""The values of a payload: missing is not looked at, and anything odd is said plainly."""

from datetime import date, time
from decimal import Decimal

import pytest

from apiary_ops.fieldbook.compute import Payload, Unreadable


@pytest.mark.parametrize(
    ("value", "read"),
    [("6.0", Decimal("6.0")), ("-3,5", Decimal("-3.5")), (7, Decimal("7.0")), (6.5, Decimal("6.5")), (None, None)],
)
def test_a_temperature_comes_as_text_or_as_a_number(value, read):
    assert Payload({"temperature_c": value}).decimal("temperature_c", 1) == read


@pytest.mark.parametrize("value", ["warm", "6.25", "NaN", "Infinity", 1e300, True, ["6"], "1e9"])
def test_a_number_that_is_none_is_said_to_be_none(value):
    with pytest.raises(Unreadable, match="“temperature_c” must be a number"):
        Payload({"temperature_c": value}).decimal("temperature_c", 1)


def test_days_and_hours_are_read_as_such():
    payload = Payload({"on": "2027-04-03", "arrived": "09:15", "left": ""})

    assert (payload.day("on"), payload.hour("arrived"), payload.hour("left")) == (date(2027, 4, 3), time(9, 15), None)


@pytest.mark.parametrize("value", ["3 April", "1970-01-01", 20270403, None])
def test_a_day_must_be_a_day_of_this_century(value):
    with pytest.raises(Unreadable, match="“on” must be a day such as 2027-04-03."):
        Payload({"on": value}).day("on")


@pytest.mark.parametrize("value", ["25:00", "nine", "09:15+02:00", 915])
def test_an_hour_must_be_an_hour_of_the_yard(value):
    with pytest.raises(Unreadable, match="“left” must be a time of day such as 09:30."):
        Payload({"left": value}).hour("left")


def test_lists_hold_each_word_and_number_once():
    payload = Payload({"jobs": ["look", "feed", "look"], "crew": [3, 1, 3]})

    assert payload.words("jobs", {"look", "feed"}) == ("look", "feed")
    assert payload.numbers("crew") == (3, 1)


@pytest.mark.parametrize(
    ("read", "words"),
    [
        (lambda payload: payload.rows("x"), "“x” must be a list of at most 100."),
        (lambda payload: payload.yes("x"), "“x” must be true or false."),
        (lambda payload: payload.text("x", 5), "“x” must be text of at most 5 characters."),
        (lambda payload: payload.counts("x", 5), "“x” must be words with a number each."),
        (lambda payload: payload.word("x", ["a", "b"]), "“x” must be one of a, b."),
        (lambda payload: payload.whole("x", 0, 5), "“x” must be a whole number from 0 to 5."),
    ],
)
def test_a_value_of_another_kind_is_refused_by_its_name(read, words):
    with pytest.raises(Unreadable) as refusal:
        read(Payload({"x": "something else"}))

    assert str(refusal.value) == words
