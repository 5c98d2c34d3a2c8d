"""Temperatures and distances in the business's own units, kept in °C and km."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.core.fields import DistanceField, TemperatureField
from apiary_ops.core.templatetags.ledger import distance, temperature


@pytest.mark.parametrize(
    ("unit", "typed", "kept"),
    [
        ("C", "6.5", "6.5"),
        ("C", " 6,5 ", "6.5"),
        ("C", "−3", "-3.0"),
        ("F", "41", "5.0"),
        ("F", "50", "10.0"),
        ("F", "59", "15.0"),
    ],
)
def test_a_temperature_is_kept_in_celsius(unit, typed, kept):
    assert TemperatureField(unit=unit).clean(typed) == Decimal(kept)


def test_a_temperature_left_empty_is_not_noted():
    assert TemperatureField(required=False).clean("") is None


@pytest.mark.parametrize(
    ("unit", "typed", "words"),
    [
        ("C", "300", "The temperature must lie between -30 and 45 °C."),
        ("F", "120", "The temperature must lie between -22 and 113 °F."),
        ("C", "warm", "Enter a number."),
        ("C", "nan", "Enter a number."),
        ("F", "nan", "Enter a number."),
    ],
)
def test_what_is_no_weather_is_refused(unit, typed, words):
    with pytest.raises(ValidationError) as refusal:
        TemperatureField(unit=unit).clean(typed)

    assert refusal.value.messages == [words]


def test_a_distance_is_kept_in_kilometres():
    assert DistanceField(unit="km").clean("64") == 64
    assert DistanceField(unit="mi").clean("40") == 64
    assert DistanceField(required=False).clean("") is None


def test_a_distance_below_zero_is_refused():
    with pytest.raises(ValidationError, match="greater than or equal to 0"):
        DistanceField().clean("-1")


def test_measures_are_shown_in_the_units_of_the_business():
    assert temperature(Decimal("6.0"), "C") == "6\u00a0°C"
    assert temperature(Decimal("-3.5"), "C") == "−3.5\u00a0°C"
    assert temperature(Decimal("5.0"), "F") == "41\u00a0°F"
    assert distance(64, "km") == "64\u00a0km"
    assert distance(64, "mi") == "40\u00a0mi"
    assert temperature(None, "C") == distance(None, "km") == ""


@given(st.integers(0, 5000))
def test_miles_typed_come_back_as_typed(miles):
    field = DistanceField(unit="mi")

    assert field.prepare_value(field.clean(str(miles))) == miles


@given(st.integers(-22, 113))
def test_degrees_typed_come_back_as_typed(degrees):
    field = TemperatureField(unit="F")

    assert field.prepare_value(field.clean(str(degrees))) == str(degrees)
