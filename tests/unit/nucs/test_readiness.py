"""When a nuc is ready, what it lacks, and until when it keeps."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.nucs.compute import Readiness, Seen, Standard, readiness

MADE_ON = date(2027, 5, 4)
FIVE_FRAMES = Standard(Decimal(4), Decimal(3), Decimal(1), keeps_days=10)
GOOD = Seen(date(2027, 6, 1), "laying", 8, 6, 2, own_sealed_brood=True, queen_cells=False, disease_clear=True)


def judge(*seen: Seen, on: date = date(2027, 6, 1), standard: Standard = FIVE_FRAMES) -> Readiness:
    return readiness(standard, seen, on, last_foreign_egg_on=MADE_ON)


def test_a_nuc_that_nobody_looked_at_lacks_everything():
    found = judge()

    assert not found.is_ready
    assert found.missing == (
        "queen not looked for",
        "sealed brood of its own queen not looked for",
        "frames covered not counted",
        "brood not looked at",
        "food not looked at",
        "queen cells not looked for",
        "not looked over for disease",
    )
    assert (found.ready_on, found.collect_by) == (None, None)


def test_a_nuc_that_meets_its_standard_is_ready_and_keeps_ten_days():
    found = judge(GOOD)

    assert found.is_ready
    assert (found.ready_on, found.collect_by) == (date(2027, 6, 1), date(2027, 6, 11))


def test_what_is_short_is_said_in_frames():
    found = judge(replace(GOOD, covered_halves=6, brood_halves=5, food_halves=1))

    assert found.missing == ("3 of 4 frames covered", "2½ of 3 frames with brood", "½ of 1 frame of food")


def test_a_short_second_look_does_not_unsay_what_the_first_one_saw():
    feeding_round = Seen(date(2027, 6, 4), food_halves=3)

    found = judge(GOOD, feeding_round, on=date(2027, 6, 5))

    assert found.is_ready
    assert found.ready_on == date(2027, 6, 1)
    assert {item.label: item.seen_on for item in found.items}["frames of food"] == date(2027, 6, 4)


def test_a_later_look_counts_for_what_it_looked_at():
    found = judge(GOOD, Seen(date(2027, 6, 4), queen_cells=True), on=date(2027, 6, 5))

    assert found.missing == ("queen cells found",)
    assert found.ready_on is None


def test_a_nuc_that_slipped_back_is_ready_again_only_from_its_next_good_look():
    slipped = Seen(date(2027, 6, 4), queen_cells=True)
    mended = Seen(date(2027, 6, 8), queen_cells=False)

    found = judge(mended, GOOD, slipped, on=date(2027, 6, 9))

    assert found.ready_on == date(2027, 6, 8)


def test_a_nuc_is_judged_on_a_day_by_what_was_known_that_day():
    found = judge(GOOD, Seen(date(2027, 6, 4), queen="missing"), on=date(2027, 6, 3))

    assert found.is_ready


def test_a_nuc_that_is_good_too_early_says_when_it_will_be_ready():
    early = replace(GOOD, on=date(2027, 5, 20))

    found = judge(early, on=date(2027, 5, 20))

    assert not found.is_ready
    assert found.missing == ("all brood of its own queen only from Tue 25 May",)
    assert (found.ready_on, found.collect_by) == (date(2027, 5, 25), date(2027, 6, 4))


def test_a_clause_that_is_not_asked_is_never_missing():
    standard = Standard(
        Decimal(4),
        Decimal(3),
        Decimal(0),
        keeps_days=7,
        own_sealed_brood=False,
        own_brood_only=False,
        no_queen_cells=False,
        disease_clear=False,
    )

    found = judge(Seen(date(2027, 5, 10), "laying", 8, 6), on=date(2027, 5, 10), standard=standard)

    assert found.is_ready
    assert [item.label for item in found.items] == ["queen", "frames covered", "frames with brood"]


a_look = st.builds(
    Seen,
    on=st.integers(0, 40).map(lambda days: MADE_ON + timedelta(days=days)),
    queen=st.sampled_from(["", "released", "laying", "missing"]),
    covered_halves=st.none() | st.integers(0, 10),
    brood_halves=st.none() | st.integers(0, 10),
    food_halves=st.none() | st.integers(0, 10),
    own_sealed_brood=st.none() | st.booleans(),
    queen_cells=st.none() | st.booleans(),
    disease_clear=st.none() | st.booleans(),
)
a_day = st.integers(0, 60).map(lambda days: MADE_ON + timedelta(days=days))


@given(st.lists(a_look, max_size=5), a_day)
def test_ready_means_nothing_is_missing_and_nothing_missing_means_ready(seen, on):
    found = judge(*seen, on=on)

    assert found.is_ready == (not found.missing)
    assert found.missing == tuple(item.missing for item in found.items if not item.is_met)


@given(st.lists(a_look, max_size=5), a_day)
def test_a_ready_nuc_was_seen_good_and_is_old_enough(seen, on):
    found = judge(*seen, on=on)

    if found.is_ready:
        assert found.ready_on <= on
        assert found.ready_on >= MADE_ON + timedelta(days=21)
        assert any(look.queen == "laying" for look in seen if look.on <= on)
        assert found.collect_by == found.ready_on + timedelta(days=10)


@given(st.lists(st.sampled_from([GOOD, Seen(date(2027, 6, 4), queen_cells=True), Seen(date(2027, 6, 8))])), a_day)
def test_the_order_in_which_looks_arrive_does_not_matter(seen, on):
    assert judge(*seen, on=on) == judge(*reversed(seen), on=on)


def test_what_is_missing_is_said_in_one_line_with_what_was_seen_first():
    assert judge(Seen(date(2027, 6, 1), queen="missing", covered_halves=5)).missing_words == (
        "queen missing, 2½ of 4 frames covered; not looked at: own sealed brood, frames with brood, frames of food,"
        " queen cells, brood disease"
    )
    assert judge().missing_words == "nothing looked at yet"
    assert judge(replace(GOOD, covered_halves=7)).missing_words == "3½ of 4 frames covered"
    assert judge(GOOD).missing_words == ""
