"""International colours of queen marks, by the last digit of the year.

Source: convention of the trade, white 1 and 6, yellow 2 and 7, red 3 and 8, green 4 and 9, blue 5 and 0; the table is
from memory, yellow for 2022 was read on a producer's own page.
"""

import pytest

from apiary_ops.yards.compute import colour_of_year
from apiary_ops.yards.models import Colony

CONVENTION = {"white": "16", "yellow": "27", "red": "38", "green": "49", "blue": "50"}


@pytest.mark.parametrize("year", range(2020, 2040))
def test_a_year_has_the_colour_of_the_convention(year):
    (colour,) = [colour for colour, digits in CONVENTION.items() if str(year)[-1] in digits]

    assert colour_of_year(year) == colour
    assert colour in Colony.Mark.values
