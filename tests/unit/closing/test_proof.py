"""When a proof agrees, and what it names when it does not."""

from apiary_ops.closing.compute import CENTS, Finding, Part, Proof, added, differences


def proof(left, right, exceptions=()):
    return Proof("Deposits held", CENTS, "By order", (Part("held", left),), "In the books", right, exceptions)


def test_equal_sides_agree():
    counted = proof(150_00, (Part("deposits held", 200_00), Part("given back", -50_00)))

    assert (counted.left, counted.right, counted.difference) == (150_00, 150_00, 0)
    assert counted.agrees


def test_sides_that_differ_do_not_agree():
    counted = proof(150_00, (Part("deposits held", 149_00),))

    assert counted.difference == 1_00
    assert not counted.agrees


def test_two_errors_that_cancel_out_do_not_agree():
    counted = proof(150_00, (Part("deposits held", 150_00),), (Finding("Order 2027-0001: 1 against 2.", "/x/"),))

    assert counted.difference == 0
    assert not counted.agrees


def test_differences_are_found_on_either_side():
    left = {"order:1": 75_00, "order:2": 75_00, "order:3": 0}
    right = {"order:1": 75_00, "order:2": 80_00, "order:9": 5_00}

    assert differences(left, right) == [("order:2", 75_00, 80_00), ("order:9", 0, 5_00)]


def test_nothing_on_one_side_and_zero_on_the_other_is_no_difference():
    assert differences({"order:1": 0}, {}) == []


def test_sides_are_added_key_by_key():
    assert added({"a": 1, "b": 2}, {"b": -5}, {}) == {"a": 1, "b": -3}
