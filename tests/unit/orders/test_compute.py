"""Keys, numbers, prices and deposits of orders."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.orders import compute
from apiary_ops.orders.compute import DatedPrice


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("Łukasz  Čížek", "lukasz cizek"),
        ("Søren Ægir Ødegård", "soren aegir odegard"),
        ("Straße & Söhne", "strasse & sohne"),
        ("Дарья Ёлкина", "дарья елкина"),
        ("Nguyễn Thị Hoa", "nguyen thi hoa"),
        ("<b>Bold</b>", "<b>bold</b>"),
        ("   ", ""),
    ],
)
def test_a_name_is_found_without_accents_or_capitals(name, key):
    assert compute.search_key(name) == key


def test_a_search_key_never_outgrows_its_column():
    assert len(compute.search_key("ß" * 200)) == 200


@pytest.mark.parametrize(
    ("phone", "key"),
    [
        ("555 0100", "5550100"),
        ("+1 555-0100", "+15550100"),
        ("(902) 555-0100", "9025550100"),
        ("0049 171 2345678", "+491712345678"),
        ("+49 (0)171 2345678", "+4901712345678"),
        ("٥٥٥٠١٠٠", "5550100"),
        ("ext.", ""),
        ("+", ""),
        ("", ""),
        ("1" * 40, "1" * 20),
    ],
)
def test_a_telephone_number_is_kept_as_its_digits(phone, key):
    assert compute.phone_key(phone) == key


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("555 0100", "+1 555-0100"),
        ("902 555 0100", "+1 902 555 0100"),
        ("0171 2345678", "+49 171 2345678"),
        ("555-0100", "902-555-0100"),
        ("00 1 902 555 0100", "+1 (902) 555-0100"),
    ],
)
def test_one_number_written_in_two_ways_is_the_same(one, other):
    assert compute.is_same_phone(compute.phone_key(one), compute.phone_key(other))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("555 0100", "555 0101"),
        ("+1 902 555 0100", "+1 506 555 0100"),
        ("100", "555 0100"),
        ("", ""),
    ],
)
def test_different_numbers_stay_apart(one, other):
    assert not compute.is_same_phone(compute.phone_key(one), compute.phone_key(other))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Anna Kovac", "Kovac Anna"),
        ("Anna Maria Kovac", "Anna Kovac"),
        ("Jonathan Reed", "Jonathon Reed"),
        ("Łukasz Čížek", "Lukas Cizek"),
    ],
)
def test_names_much_alike_are_shown_as_perhaps_one(one, other):
    assert compute.is_alike(compute.search_key(one), compute.search_key(other))


@pytest.mark.parametrize(("one", "other"), [("Anna Kovac", "Anna Reed"), ("Anna", "Anna Kovac"), ("", "")])
def test_names_that_share_little_are_not_alike(one, other):
    assert not compute.is_alike(compute.search_key(one), compute.search_key(other))


def test_an_order_is_numbered_by_season_and_serial():
    assert compute.order_number(2027, 42) == "2027-0042"
    assert compute.order_number(2027, 10_000) == "2027-10000"
    assert compute.serial_of("2027-10000") == 10_000


PRICES = [
    DatedPrice(1, "", date(2026, 9, 1), 29500),
    DatedPrice(2, "", date(2027, 4, 1), 31000),
    DatedPrice(3, "wholesale", date(2026, 9, 1), 23000),
    DatedPrice(4, "wholesale", date(2027, 2, 1), 24000),
]


@pytest.mark.parametrize(
    ("tier", "day", "key"),
    [
        ("new", date(2026, 9, 1), 1),
        ("new", date(2027, 3, 31), 1),
        ("new", date(2027, 4, 1), 2),
        ("wholesale", date(2027, 1, 31), 3),
        ("wholesale", date(2027, 4, 1), 4),
    ],
)
def test_the_tiers_own_price_goes_before_everyones_and_the_latest_begun_before_older(tier, day, key):
    picked = compute.pick_price(PRICES, tier=tier, day=day)

    assert picked is not None
    assert picked.key == key


def test_no_price_has_begun_before_the_first():
    assert compute.pick_price(PRICES, tier="new", day=date(2026, 8, 31)) is None


@pytest.mark.parametrize(
    ("per_nuc", "nucs", "total", "due"),
    [(7500, 4, 118000, 30000), (7500, 4, 20000, 20000), (0, 4, 118000, 0), (7500, 0, 0, 0)],
)
def test_the_deposit_is_so_much_a_nuc_and_never_above_the_total(per_nuc, nucs, total, due):
    assert compute.deposit_due(cents_per_nuc=per_nuc, nucs=nucs, total_cents=total) == due


def test_refunds_end_in_the_spring_the_season_sells_in():
    until = compute.refund_until(month=3, day=1, starts_on=date(2026, 9, 1), ends_before=date(2027, 9, 1))

    assert until == date(2027, 3, 1)


def test_a_refund_day_late_in_the_year_belongs_to_the_year_the_season_starts_in():
    until = compute.refund_until(month=12, day=15, starts_on=date(2026, 9, 1), ends_before=date(2027, 9, 1))

    assert until == date(2026, 12, 15)


@pytest.mark.parametrize(
    ("nucs_by_state", "word"),
    [
        ({"asked": 2}, "asked"),
        ({"asked": 1, "promised": 4}, "asked"),
        ({"waiting": 1, "promised": 4}, "waiting"),
        ({"promised": 4, "cancelled": 2}, "promised"),
        ({"promised": 4, "collected": 2}, "part collected"),
        ({"part collected": 4}, "part collected"),
        ({"collected": 4, "cancelled": 1}, "collected"),
        ({"cancelled": 4}, "cancelled"),
        ({"lapsed": 4, "cancelled": 1}, "lapsed"),
        ({}, "cancelled"),
    ],
)
def test_an_order_says_in_one_word_how_it_stands(nucs_by_state, word):
    assert compute.order_state(nucs_by_state) == word


@given(st.text(max_size=60))
def test_a_search_key_finds_itself_again(name):
    key = compute.search_key(name)

    assert compute.search_key(key) == key
    assert len(key) <= 200
