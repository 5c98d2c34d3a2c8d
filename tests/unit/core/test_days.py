from datetime import date

from apiary_ops.core.days import spoken_day


def test_a_day_carries_its_weekday():
    assert spoken_day(date(2027, 5, 12)) == "Wed 12 May 2027"
