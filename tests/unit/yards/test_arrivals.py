"""Laws of what phones say together: neither the order nor a repeat changes it."""

from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.yards.compute import (
    FieldLook,
    FieldVisit,
    SaidLook,
    SaidVisit,
    facts_said,
    is_same_visit,
    merged_header,
    merged_look,
)

DAY = date(2027, 4, 3)
NINE = datetime(2027, 4, 3, 9, tzinfo=UTC)
INSTANTS = st.integers(0, 5).map(lambda minutes: NINE + timedelta(minutes=minutes))
HEADERS = st.builds(
    FieldVisit,
    yard=st.just("mill-lane"),
    on=st.just(DAY),
    arrived_at=st.none() | st.integers(0, 59).map(lambda minute: time(9, minute)),
    crew_ids=st.lists(st.integers(1, 5), unique=True).map(tuple),
    temperature_c=st.none() | st.integers(-10, 30).map(Decimal),
    sky=st.sampled_from(["", "sun", "rain"]),
    view=st.sampled_from(["below", "above"]),
    km=st.none() | st.integers(0, 90),
)
SAID = st.lists(st.builds(SaidVisit, INSTANTS, st.uuids().map(str), HEADERS), min_size=1, max_size=5)
LOOKS = st.lists(
    st.builds(
        SaidLook,
        INSTANTS,
        st.uuids().map(str),
        st.builds(
            FieldLook,
            st.just("A1"),
            st.fixed_dictionaries(
                {
                    "below_halves": st.none() | st.integers(0, 40),
                    "patty": st.sampled_from(["", "gone", "half"]),
                    "flying": st.booleans(),
                }
            ),
        ),
    ),
    max_size=5,
)


@given(SAID, st.randoms())
def test_a_header_is_the_same_in_any_order_and_however_often_it_is_said(said, chance):
    again = [*said, chance.choice(said)]
    chance.shuffle(again)

    assert merged_header(again) == merged_header(said)


@given(SAID)
def test_everyone_was_there_and_the_way_is_driven_once(said):
    header = merged_header(said)

    assert set(header.crew_ids) == {person for each in said for person in each.header.crew_ids}
    assert header.km == max((each.header.km for each in said if each.header.km is not None), default=None)


def test_the_weather_is_that_observed_first():
    late = SaidVisit(
        NINE + timedelta(minutes=5), "a", FieldVisit("mill-lane", DAY, temperature_c=Decimal(8), sky="sun")
    )
    early = SaidVisit(NINE, "b", FieldVisit("mill-lane", DAY, temperature_c=Decimal(6)))

    header = merged_header([late, early])

    assert (header.temperature_c, header.sky) == (Decimal(6), "sun")


def test_three_degrees_are_one_visit_and_more_are_two():
    assert is_same_visit(Decimal("6.0"), Decimal("9.0"))
    assert not is_same_visit(Decimal("6.0"), Decimal("9.1"))
    assert is_same_visit(None, Decimal("9.1"))


@given(LOOKS, st.randoms())
def test_looks_of_one_phone_add_up_in_any_order(said, chance):
    again = list(said)
    chance.shuffle(again)

    assert merged_look(again) == merged_look(said)


@given(LOOKS)
def test_what_was_seen_once_is_never_taken_back_by_not_looking(said):
    assert merged_look(said).keys() == {name for each in said for name in facts_said(each.look.facts)}


def test_no_frames_at_all_is_something_seen():
    assert facts_said({"below_halves": 0, "above_halves": None, "patty": "", "flying": False}) == {"below_halves": 0}
