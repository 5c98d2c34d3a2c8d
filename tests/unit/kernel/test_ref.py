import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.kernel.ref import Ref

kinds = st.from_regex(r"[a-z]+(-[a-z]+)*", fullmatch=True)
keys = st.from_regex(r"\S+", fullmatch=True)


def test_a_reference_names_a_kind_and_a_key():
    assert Ref.parse("order:2027-0042") == Ref("order", "2027-0042")
    assert str(Ref("queen-lot", "7")) == "queen-lot:7"


def test_a_key_may_hold_colons():
    assert Ref.parse("pickup:2027:3") == Ref("pickup", "2027:3")


def test_a_reference_needs_its_colon():
    with pytest.raises(ValueError, match=r"^“order” is not a reference; write it like order:2027-0042\.$"):
        Ref.parse("order")


@pytest.mark.parametrize(
    "kind", ["", "Order", "queen lot", "queen-", "-lot", "queen--lot", "queen_lot", "order2", "a\n"]
)
def test_a_kind_is_lower_case_words(kind):
    with pytest.raises(ValueError) as refusal:
        Ref(kind, "1")

    assert str(refusal.value) == f"“{kind}” is not a kind; use lower-case words joined by hyphens."


@pytest.mark.parametrize("key", ["", " ", "20 27", "7\n", "\u00a07"])
def test_a_key_is_there_and_has_no_spaces(key):
    with pytest.raises(ValueError) as refusal:
        Ref.parse(f"order:{key}")

    assert str(refusal.value) == f"“{key}” is not a key; it needs at least one character and no spaces."


def test_equal_references_are_one_key():
    assert {Ref("order", "1"): "found"}[Ref.parse("order:1")] == "found"


@given(kinds, keys)
def test_a_reference_is_read_as_it_is_written(kind, key):
    assert Ref.parse(str(Ref(kind, key))) == Ref(kind, key)
