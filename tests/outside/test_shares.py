"""Largest remainder against published apportionments, and landed cost against a textbook."""

from decimal import Decimal

import pytest

from apiary_ops.kernel.shares import shares

MATH_OF_DEMOCRACY = "M. Birgen, Math of Democracy, section Apportionment"
CONTEMPORARY_MATHEMATICS = "OpenStax, Contemporary Mathematics, §11.5"


@pytest.mark.parametrize(
    ("weights", "seats", "expected", "source"),
    [
        ([69, 267, 133, 331], 160, [14, 53, 27, 66], MATH_OF_DEMOCRACY),
        ([3292, 1524, 4162, 2132, 13890], 250, [33, 15, 42, 21, 139], MATH_OF_DEMOCRACY),
        ([54, 243, 703], 11, [0, 3, 8], MATH_OF_DEMOCRACY),
        # One more to share, and the smallest gets one less.
        ([6, 6, 2], 10, [4, 4, 2], CONTEMPORARY_MATHEMATICS),
        ([6, 6, 2], 11, [5, 5, 1], CONTEMPORARY_MATHEMATICS),
        ([940, 9030, 10030], 200, [10, 90, 100], MATH_OF_DEMOCRACY),
        ([940, 9030, 10030], 201, [9, 91, 101], MATH_OF_DEMOCRACY),
        # The population paradox: the fifth grows, the second does not, and the fifth hands one to the second.
        ([150, 78, 173, 204, 295], 50, [8, 4, 10, 11, 17], MATH_OF_DEMOCRACY),
        ([150, 78, 181, 204, 296], 50, [8, 5, 10, 11, 16], MATH_OF_DEMOCRACY),
        # The new-member paradox.
        ([89550, 10450], 100, [90, 10], MATH_OF_DEMOCRACY),
        ([89550, 10450, 5250], 105, [89, 11, 5], MATH_OF_DEMOCRACY),
        # Without a minimum of one each; data of OpenStax, Contemporary Mathematics, §11.4, result calculated.
        ([46310, 224230, 20, 16560, 38450], 616, [88, 424, 0, 31, 73], "calculated"),
    ],
)
def test_published_apportionments(weights, seats, expected, source):
    assert shares(seats, weights) == expected, source


# Calculated.
@pytest.mark.parametrize(
    ("cents", "people", "expected"),
    [
        (10000, 3, [3334, 3333, 3333]),
        (10, 3, [4, 3, 3]),
        (10001, 2, [5001, 5000]),
        (5, 2, [3, 2]),
    ],
)
def test_money_in_equal_parts(cents, people, expected):
    assert shares(cents, [1] * people) == expected


# OpenStax, Principles of Accounting 1, §6.5: 30 units at 80 and freight 1,000 are 3,400 in stock, 113.33 each;
# 30 x 113.33 is 10 cents short, so ten units carry a cent more (calculated).
def test_freight_is_in_the_cost_of_every_unit_to_the_cent():
    landed = 30 * 8000 + 100000

    unit_costs = shares(landed, [1] * 30)

    assert landed == 340000
    assert unit_costs == [11334] * 10 + [11333] * 20


# OpenStax, Principles of Accounting 2, §10.5 problems: data of the book, answers calculated.
@pytest.mark.parametrize(
    ("cost", "weights", "expected"),
    [
        (36000_00, [25, 75], [9000_00, 27000_00]),
        (66000_00, [44, 66], [26400_00, 39600_00]),
        (40000_00, [42000, 4000], [36521_74, 3478_26]),
        (40000_00, [Decimal("104500.00"), Decimal("50500.00")], [26967_74, 13032_26]),
    ],
)
def test_joint_cost_by_weight_and_by_sales_value(cost, weights, expected):
    assert shares(cost, weights) == expected
