"""What a buyer was told, and how firmly, stands in order; the latest counts."""

from datetime import date

import pytest

from apiary_ops.promise import queries, services
from tests.factories.orders import LineFactory

pytestmark = pytest.mark.django_db

MONDAY = date(2027, 6, 7)


def tell(line, actor, firmness="week", starts_on=MONDAY, ends_before=date(2027, 6, 14), **more):
    return services.tell(
        line_id=line.pk,
        firmness=firmness,
        starts_on=starts_on,
        ends_before=ends_before,
        told_on=date(2027, 4, 20),
        actor=actor,
        **more,
    )


def test_the_latest_telling_stands(clerk):
    line, other = LineFactory(state="promised"), LineFactory(state="promised")
    tell(line, clerk)

    latest = tell(line, clerk, "day", date(2027, 6, 9), date(2027, 6, 10), reason="rain on Tuesday")

    assert queries.latest_telling([line.pk, other.pk]) == {line.pk: latest}
    assert line.tellings.count() == 2


def test_nothing_is_told_of_a_line_that_waits(clerk):
    line = LineFactory(state="waiting")

    with pytest.raises(services.NothingPromised, match="This line is waiting. Promise it first."):
        tell(line, clerk)


@pytest.mark.parametrize(
    ("firmness", "starts_on", "ends_before", "message"),
    [
        ("week", date(2027, 6, 8), date(2027, 6, 15), "A week runs from a Monday to the Monday after."),
        ("week", MONDAY, date(2027, 6, 15), "A week runs from a Monday to the Monday after."),
        ("day", MONDAY, date(2027, 6, 9), "A day is one day."),
        ("round", MONDAY, MONDAY, "What a buyer is told ends after it starts."),
    ],
)
def test_a_telling_has_its_shape(clerk, firmness, starts_on, ends_before, message):
    line = LineFactory(state="promised")

    with pytest.raises(services.TellingOutOfShape, match=message):
        tell(line, clerk, firmness, starts_on, ends_before)
