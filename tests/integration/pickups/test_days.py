from datetime import date, time

import pytest

from apiary_ops.pickups import queries, services
from apiary_ops.pickups.models import PickupDay
from apiary_ops.pickups.services import WindowDraft
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.pickups import DAY, booked, ready_order
from tests.factories.yards import YardFactory

pytestmark = pytest.mark.django_db

HOUR = WindowDraft(time(5), time(6), 6)


def open_day(*windows: WindowDraft, on: date = DAY, yard=None, notes: str = "") -> PickupDay:
    return services.open_pickup_day(
        season_id=SeasonFactory().pk,
        yard_id=(yard or YardFactory(is_pickup_yard=True)).pk,
        on=on,
        windows=windows,
        notes=notes,
        actor=UserFactory(office=True),
    )


def test_a_day_is_open_with_its_windows_in_order():
    day = open_day(WindowDraft(time(6), time(7), 4), HOUR, notes=" Gate code 12 ")

    assert [(str(window), window.places, window.free) for window in queries.windows_of(day)] == [
        ("05:00–06:00", 6, 6),
        ("06:00–07:00", 4, 4),
    ]
    assert day.notes == "Gate code 12"


def test_buyers_collect_only_at_pickup_yards():
    with pytest.raises(services.NotAPickupYard) as refusal:
        open_day(HOUR, yard=YardFactory(name="Back field"))

    assert str(refusal.value) == (
        "Buyers do not collect at Back field. Choose another yard, or mark it as a pickup yard."
    )


def test_a_yard_has_one_pickup_day_a_date():
    yard = YardFactory(name="Mill yard", is_pickup_yard=True)
    open_day(HOUR, yard=yard)

    with pytest.raises(services.DayAlreadyOpen) as refusal:
        open_day(HOUR, yard=yard)

    assert str(refusal.value) == "Mill yard already has a pickup day on Sat 5 Jun 2027. Open that one."
    assert PickupDay.objects.count() == 1


def test_a_day_outside_the_season_is_refused():
    with pytest.raises(
        services.OutsideSeason, match=r"^Thu 2 Sep 2027 is not in the season 2027\. Choose a day in it\.$"
    ):
        open_day(HOUR, on=date(2027, 9, 2))


@pytest.mark.parametrize("windows", [(), (WindowDraft(time(6), time(6), 4),), (WindowDraft(time(5), time(6), 0),)])
def test_a_day_needs_windows_with_minutes_and_places(windows):
    with pytest.raises(services.NoWindows):
        open_day(*windows)


def test_windows_do_not_share_minutes():
    with pytest.raises(services.WindowsOverlap) as refusal:
        open_day(HOUR, WindowDraft(time(5, 30), time(7), 4))

    assert str(refusal.value) == "Two windows share the same minutes. Let each start when the one before ends."


def test_the_list_of_days_counts_places_taken_and_collected(django_assert_num_queries):
    order, _nucs = ready_order(2)
    day = open_day(HOUR, WindowDraft(time(6), time(7), 4))
    booked(order, day.windows.get(starts_at=time(6)))
    open_day(HOUR, on=date(2027, 6, 12))

    with django_assert_num_queries(1):
        rows = [(row.on, row.places, row.taken, row.collected) for row in queries.days(day.season_id)]

    assert rows == [(date(2027, 6, 12), 6, 0, 0), (DAY, 10, 1, 0)]
