"""Mites and treatments against published tables, labels and the common practice of the trade."""

import json
from datetime import date
from decimal import Decimal

import pytest
from django.conf import settings

from apiary_ops.yards.compute import Label, Seen, WorkRule, mite_load, work_from_looks

FIXTURES = settings.BASE_DIR / "fixtures" / "reference"
TREATMENTS = json.loads((FIXTURES / "treatments.json").read_text(encoding="utf-8"))["treatments"]
TASK_RULES = json.loads((FIXTURES / "task_rules.json").read_text(encoding="utf-8"))["task_rules"]
LABELS = {
    row["code"]: Label(
        row["least_days"],
        row["most_days"],
        *(None if row[name] is None else Decimal(row[name]) for name in ("least_frames", "warmest_c")),
    )
    for row in TREATMENTS
}
RULES = {
    row["code"]: WorkRule(row["code"], row["days"], row["most_frames"] and Decimal(row["most_frames"]))
    for row in TASK_RULES
}


# OMAFRA's table for an alcohol wash, quoted by a beekeeper in 2016: treat from 2 on a hundred bees in May, from 3 in
# August. 6 and 9 mites in 300 bees: derived.
@pytest.mark.parametrize(
    ("mites", "on", "percent", "is_at_limit"),
    [
        (6, date(2027, 5, 15), "2.0", True),
        (5, date(2027, 5, 15), "1.7", False),
        (9, date(2027, 8, 15), "3.0", True),
        (8, date(2027, 8, 15), "2.7", False),
    ],
)
def test_mites_in_three_hundred_bees(mites, on, percent, is_at_limit):
    load = mite_load(mites=mites, bees=300, on=on)

    assert (load.percent, load.is_at_limit) == (Decimal(percent), is_at_limit)


# Product label practice for formic gel strips: six frames of bees or more, not above 29.5 °C on the day; so a
# five-frame nuc is excluded.
@pytest.mark.parametrize("code", ["formic-quick", "formic-slow"])
@pytest.mark.parametrize(
    ("frames", "temperature", "is_refused"), [(5, 20, True), (6, 20, False), (6, "29.5", False), (6, 30, True)]
)
def test_who_may_have_formic_acid(code, frames, temperature, is_refused):
    label = LABELS[code]

    assert (label.is_too_weak(Decimal(frames)) or label.is_too_warm(Decimal(temperature))) is is_refused


# Label of amitraz strips: 42 to 56 days, then they must come out (from memory; 42 days read on a user's page).
def test_amitraz_strips_come_out_within_56_days():
    amitraz = next(row for row in TREATMENTS if row["code"] == "amitraz")

    assert amitraz["comes_out"]
    assert LABELS["amitraz"].last_day(date(2027, 2, 10)) == date(2027, 4, 7)
    assert LABELS["amitraz"].is_short(date(2027, 2, 10), date(2027, 3, 23))
    assert not LABELS["amitraz"].is_short(date(2027, 2, 10), date(2027, 3, 24))


# Common practice: spent formic pads may stay for the bees to clear, plastic strips may not.
def test_formic_strips_may_stay():
    assert [row["code"] for row in TREATMENTS if not row["comes_out"] and row["code"].startswith("formic")] == [
        "formic-quick",
        "formic-slow",
    ]


# Each label row says how its figures were obtained.
def test_every_treatment_names_its_source():
    assert all("READ" in row["source"] or "MEMORY" in row["source"] for row in TREATMENTS)


# Common practice: two boxes in a cool early spring, about 3 of 10 frames and nobody below: the lower box comes off;
# about 5 frames with bees reaching down: both stay.
@pytest.mark.parametrize(
    ("frames", "lower_box", "comes_off"), [(3, "empty", True), (5, "few", False), (5, "empty", False)]
)
def test_the_lower_box_of_an_early_spring_look(frames, lower_box, comes_off):
    seen = Seen(1, date(2027, 3, 27), frames=Decimal(frames), lower_box=lower_box)

    assert bool(work_from_looks([seen], [RULES["lower_box"]], {})) is comes_off


# Common practice: cell checks every 7 to 9 days.
def test_cells_are_checked_again_within_practice():
    work = work_from_looks([Seen(1, date(2027, 5, 1), cells="seen")], [RULES["cells"]], {})

    assert date(2027, 5, 8) <= work[0].due_on <= date(2027, 5, 10)


# Common practice: patchy sealed brood puts the queen on the list for replacement.
def test_patchy_brood_asks_for_a_queen():
    work = work_from_looks([Seen(1, date(2027, 4, 3), queen="spotty")], [RULES["requeen"]], {})

    assert [(one.rule, one.why) for one in work] == [("requeen", "spotty")]
