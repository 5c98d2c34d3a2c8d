"""What limits a week besides bees and brood, counted from now to its end."""

from datetime import date, timedelta
from decimal import Decimal

from apiary_ops.capacity.compute import Colonies, Needs, Spent, WeekStock, YardLimit, binding, colonies_by, limits_by


def week(number: int) -> date:
    return date(2027, 5, 3) + timedelta(weeks=number)


NEEDS = Needs(drawn_combs=Decimal(2), food_frames=Decimal(1), weeks_to_sale=4)


def limits(number: int, *stated: WeekStock, **changes) -> dict[str, int]:
    return limits_by(
        week(number),
        **{
            "this_week": week(0),
            "colonies": Colonies(40, 55, 40),
            "queens": None,
            "stated": stated,
            "needs": NEEDS,
            "spent": Spent(),
            "nucs_per_person_day": 20,
        }
        | changes,
    )


def test_what_nobody_stated_does_not_limit():
    assert limits(0) == {"brood": 40, "bees": 55}


def test_boxes_combs_and_food_add_up_over_the_weeks():
    stated = [
        WeekStock(week(0), boxes=20, drawn_combs=50, food_frames=30),
        WeekStock(week(1), boxes=15),
        WeekStock(week(2), drawn_combs=10),
    ]

    assert limits(0, *stated) == {"brood": 40, "bees": 55, "boxes": 20, "drawn combs": 25, "food frames": 30}
    assert limits(2, *stated) == {"brood": 40, "bees": 55, "boxes": 35, "drawn combs": 30, "food frames": 30}


def test_what_nucs_made_so_far_took_is_taken_off():
    stated = [WeekStock(week(-1), boxes=20, drawn_combs=50, food_frames=30)]

    left = limits(0, *stated, spent=Spent(boxes=12, drawn_combs=Decimal(24), food_frames=Decimal(31)))

    assert (left["boxes"], left["drawn combs"], left["food frames"]) == (8, 13, 0)


def test_people_work_from_this_week_on():
    stated = [WeekStock(week(-1), person_days=Decimal(4)), WeekStock(week(0), person_days=Decimal("1.5"))]

    assert limits(0, *stated)["crew"] == 30


def test_a_nuc_is_collected_when_it_is_ready_after_those_that_stand_now():
    stated = [WeekStock(week(4), pickup_places=30), WeekStock(week(5), pickup_places=30)]

    assert "pickup places" not in limits(-1, *stated)
    assert limits(0, *stated, spent=Spent(standing=10))["pickup places"] == 20
    assert limits(1, *stated, spent=Spent(standing=10))["pickup places"] == 50


def test_the_scarcer_of_bees_and_brood_stands_at_what_the_yards_give_together():
    rows = [YardLimit(1, week(0), bees=10, brood=4), YardLimit(2, week(0), bees=3, brood=8)]

    assert colonies_by(rows, week(0), nucs=7) == Colonies(nucs=7, by_bees=13, by_brood=7)


def test_each_yard_counts_in_its_best_week_so_far():
    rows = [
        YardLimit(1, week(0), bees=10, brood=4),
        YardLimit(1, week(1), bees=2, brood=9),
        YardLimit(1, week(2), bees=9, brood=20),
    ]

    assert colonies_by(rows, week(1), nucs=4) == Colonies(nucs=4, by_bees=10, by_brood=4)
    assert colonies_by(rows, week(2), nucs=9) == Colonies(nucs=9, by_bees=9, by_brood=20)


def test_the_one_that_binds_and_what_more_of_it_adds():
    found = limits(0, WeekStock(week(0), boxes=36), queens=30)

    assert binding(found).resource == "queens"
    assert (binding(found).nucs, binding(found).adds) == (30, 6)
