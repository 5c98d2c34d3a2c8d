"""Coordinates read as people write them."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.yards.compute import NotCoordinate, geo_uri, plain_degrees, read_coordinate


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("49.24167", "49.24167"),
        ("49,24167", "49.24167"),
        (" -49.5 ", "-49.50000"),
        ("−49.5", "-49.50000"),
        ("49 14.5 N", "49.24167"),
        ("49 14,5 N", "49.24167"),
        ("49° 14.5′ s", "-49.24167"),
        ("N 49 14 30", "49.24167"),
        ("N49°14'30\"", "49.24167"),
        ("90", "90.00000"),
        ("0 0.5 S", "-0.00833"),
    ],
)
def test_latitude_is_read_as_degrees_or_degrees_and_minutes(text, degrees):
    assert read_coordinate(text, "latitude") == Decimal(degrees)


@pytest.mark.parametrize(("text", "degrees"), [("123 6 W", "-123.10000"), ("E 103.8667", "103.86670"), ("180", "180")])
def test_west_lies_below_zero(text, degrees):
    assert read_coordinate(text, "longitude") == Decimal(degrees)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "north",
        "49.2, -123.1",  # both in one field
        "49 14.5 W",  # of the other axis
        "N 49 S",
        "-49 14.5 N",  # north or south?
        "49 60",
        "49 14 60",
        "49.5 14",
        "49 14.5 30",
        "90.00001",
        "90 1 N",
        "1e1",
        "٤٩",
    ],
)
def test_what_names_no_latitude_is_refused(text):
    with pytest.raises(NotCoordinate):
        read_coordinate(text, "latitude")


def test_a_place_opens_in_the_map_of_a_telephone():
    assert geo_uri(Decimal("49.24167"), Decimal("-123.10000")) == "geo:49.24167,-123.1"
    assert geo_uri(Decimal("-0.00000"), Decimal("100.00000")) == "geo:0,100"


@given(st.decimals(min_value=-180, max_value=180, places=5))
def test_what_is_written_is_read_back(degrees):
    assert read_coordinate(plain_degrees(degrees), "longitude") == degrees


@given(st.integers(0, 89), st.integers(0, 5999))
def test_degrees_and_minutes_agree_with_degrees(degrees, hundredths):
    minutes = Decimal(hundredths) / 100

    south = read_coordinate(f"{degrees} {minutes} S", "latitude")

    assert abs(south + degrees + minutes / 60) <= Decimal("0.000005")
