"""What the owner assumes and the office states: versioned, in range, and a reason to recompute."""

from datetime import date
from decimal import Decimal

import pytest

from apiary_ops.business import stamps
from apiary_ops.capacity import queries, services
from apiary_ops.capacity.models import Assumptions, WeekLimit
from apiary_ops.capacity.services import WeekDraft
from apiary_ops.core.versions import StaleRecord
from tests.factories.capacity import AssumptionsFactory

pytestmark = pytest.mark.django_db

WEEK, NEXT = date(2027, 5, 3), date(2027, 5, 10)


def edit(season, owner, version=1, **changes):
    return services.edit_assumptions(season_id=season.pk, version=version, changes=changes, actor=owner)


def state(season, owner, *drafts):
    return services.state_weeks(season_id=season.pk, weeks=drafts, actor=owner)


def capacity_stamp(season):
    return stamps.read(season.pk, ["capacity"])["capacity"]


def test_the_defaults_stand_until_someone_changes_one(season, owner):
    assert queries.assumptions(season.pk).pk is None

    row = edit(season, owner, low_shift_days=20)

    assert queries.assumptions(season.pk) == row
    assert (row.low_shift_days, row.high_shift_days, row.version) == (20, -7, 2)
    assert row.history.first().history_user == owner
    assert capacity_stamp(season) == 1


def test_saving_what_stands_changes_nothing(season, owner):
    AssumptionsFactory(season=season)

    edit(season, owner, low_shift_days=14)

    assert capacity_stamp(season) == 0


@pytest.mark.parametrize(
    ("name", "value", "message"),
    [
        ("low_shift_days", 36, "Late spring, days behind must lie between 0 and 35 days."),
        ("keep_bees_frames", Decimal("1.5"), "A parent keeps, frames of bees must lie between 2 and 20 frames."),
        ("release_percent", 101, "Share of the safe number released now, % must lie between 0 and 100 %."),
    ],
)
def test_an_absurd_value_is_refused_with_the_range_allowed(season, owner, name, value, message):
    with pytest.raises(services.AssumptionOutOfRange) as refusal:
        edit(season, owner, **{name: value})

    assert str(refusal.value) == message
    assert not Assumptions.objects.exists()


def test_a_late_spring_runs_behind_an_early_one(season, owner):
    with pytest.raises(services.SpringsOutOfOrder, match="Put them in that order."):
        edit(season, owner, low_shift_days=3, middle_shift_days=5)


def test_a_stale_form_is_noticed(season, owner):
    edit(season, owner, low_shift_days=20)

    with pytest.raises(StaleRecord):
        edit(season, owner, version=1, low_shift_days=10)


def test_a_week_about_which_nothing_is_stated_gets_no_row(season, owner):
    rows = state(season, owner, WeekDraft(WEEK, 0, {"boxes": 40}), WeekDraft(NEXT, 0, {"boxes": None}))

    assert [(row.week, row.boxes) for row in rows] == [(WEEK, 40)]
    assert capacity_stamp(season) == 1


def test_a_week_can_be_emptied_again(season, owner):
    state(season, owner, WeekDraft(WEEK, 0, {"boxes": 40}))

    state(season, owner, WeekDraft(WEEK, 1, {"boxes": None}))

    assert WeekLimit.objects.get().boxes is None


def test_two_people_on_one_week_are_noticed(season, owner):
    state(season, owner, WeekDraft(WEEK, 0, {"boxes": 40}))

    with pytest.raises(StaleRecord) as refusal:
        state(season, owner, WeekDraft(NEXT, 0, {"boxes": 5}), WeekDraft(WEEK, 0, {"boxes": 50}))

    assert refusal.value.current.week == WEEK
    assert not WeekLimit.objects.filter(week=NEXT).exists()


def test_a_week_is_named_by_its_monday(season, owner):
    with pytest.raises(services.WeekNotAMonday, match="Weeks are named by their Monday, and 2027-05-04 is not one."):
        state(season, owner, WeekDraft(date(2027, 5, 4), 0, {"boxes": 1}))


def test_weeks_still_to_come_are_offered_beside_those_stated(season, owner):
    state(season, owner, WeekDraft(date(2027, 4, 5), 0, {"boxes": 40}))

    rows = queries.weeks_to_state(season, date(2027, 7, 1))

    assert [(row.week, row.boxes) for row in rows] == [
        (date(2027, 4, 5), 40),
        (date(2027, 6, 28), None),
        (date(2027, 7, 5), None),
        (date(2027, 7, 12), None),
    ]
