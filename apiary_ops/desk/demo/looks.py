"""What the crew sees and does in the yards: treatments, two rounds of looks, frames moved, cells."""

from datetime import date, time
from decimal import Decimal
from typing import Any

from apiary_ops.yards import queries as yard_queries
from apiary_ops.yards import services as yards
from apiary_ops.yards.models import Colony, TreatmentKind, Visit, Yard

from .scenario import Scenario, days_between

# Of twenty colonies about one is found dead in March: what the autumn and the winter left (common practice: 3 to 6 %
# are lost in spring alone).
FOUND_DEAD = 0.04
CAUSES = ("starved", "too weak", "mites", "cold and damp", "queenless")
TALLIED, SAMPLED, SAMPLE = 3, 5, 7  # these yards are counted up, or in part, on the first round


def treat(scenario: Scenario) -> None:
    """Strips go in on a February day; they come out within eight weeks, with the first or the second look."""
    on = scenario.day(2, 10)
    if not scenario.past(on):
        return
    strips = TreatmentKind.objects.get(code="amitraz")
    for yard in scenario.found["yards"]:
        standing = _standing(scenario, yard)
        seen_on = visit(scenario, yard, on, "treat", minutes=10 + len(standing), jobs=["treat"])
        yards.give_treatment(
            season_id=scenario.season.pk,
            yard_id=yard.pk,
            kind_id=strips.pk,
            visit_id=seen_on.pk,
            starts_on=on,
            today=on,
            dose="2 strips a box",
            actor=scenario.people["crew"],
        )


def look_twice(scenario: Scenario) -> None:
    """First looks in the last days of March, second looks in mid April; crew of two."""
    for first, last, growth in (
        (scenario.day(3, 24), scenario.day(3, 30), 0),
        (scenario.day(4, 13), scenario.day(4, 18), 2),
    ):
        days = days_between(first, last, len(scenario.found["yards"]))
        for number, on in enumerate(scenario.steps("yards looked at", days)):
            if not scenario.past(on):
                continue
            yard = scenario.found["yards"][number]
            if not growth and number == TALLIED:
                tally_yard(scenario, yard, on)
            else:
                look_at_yard(scenario, yard, on, growth, sampled=not growth and number == SAMPLED)
    level_out(scenario)


def look_at_yard(scenario: Scenario, yard: Yard, on: date, growth: int, *, sampled: bool) -> None:
    dice, crew = scenario.dice, scenario.people["crew"]
    if not growth:
        bury_the_dead(scenario, yard, on)
    colonies = _standing(scenario, yard)
    walked = colonies[::3][:SAMPLE] if sampled else colonies
    strips_out = growth or dice.random() < 0.5
    seen_on = visit(
        scenario,
        yard,
        on,
        "look",
        minutes=2 * len(walked) + 15,
        depth=Visit.Depth.SAMPLE if sampled else Visit.Depth.EACH,
        jobs=["look", *(["strips"] if strips_out else [])],
    )
    strengths = scenario.found.setdefault("strengths", {})
    mix = scenario.data["grade_mix"]
    drafts = []
    for colony in walked:
        if colony.pk not in strengths:
            strengths[colony.pk] = dice.choices(mix, weights=[row["share"] for row in mix])[0]
        drafts.append(seen(scenario, colony, strengths[colony.pk], growth))
    yards.record_looks(visit_id=seen_on.pk, looks=drafts, actor=crew)
    patties = sum(draft.patty_given for draft in drafts)
    if patties:
        yards.leave_visit(
            visit_id=seen_on.pk,
            left_at=seen_on.left_at,
            jobs=["look", "feed"],
            materials=[yards.MaterialDraft("patty", Decimal(patties))],
            actor=crew,
        )
    if strips_out:
        take_strips_out(scenario, yard, on)
    if growth:
        see_to_health(scenario, seen_on, walked)


def tally_yard(scenario: Scenario, yard: Yard, on: date) -> None:
    """One yard is only counted up by eye on the first round."""
    bury_the_dead(scenario, yard, on)
    left = len(_standing(scenario, yard))
    seen_on = visit(scenario, yard, on, "look", minutes=25, depth=Visit.Depth.TALLY, jobs=["look"])
    best, slow, behind = left * 3 // 10, left * 2 // 10, left // 10
    counts = {"best": best, "ordinary": left - best - slow - behind, "slow": slow, "behind": behind}
    yards.record_tally(visit_id=seen_on.pk, counts=counts, actor=scenario.people["crew"])


def bury_the_dead(scenario: Scenario, yard: Yard, on: date) -> None:
    for colony in _standing(scenario, yard):
        if scenario.dice.random() < FOUND_DEAD:
            yards.end_colony(
                colony_id=colony.pk,
                state=Colony.State.LOST,
                on=on,
                today=on,
                cause=scenario.dice.choice(CAUSES),
                actor=scenario.people["crew"],
            )
            scenario.found["colonies"].remove(colony)


def take_strips_out(scenario: Scenario, yard: Yard, on: date) -> None:
    for treatment in yard_queries.treatments_running(on, yard_id=yard.pk):
        yards.end_treatment(treatment_id=treatment.pk, on=on, today=on, actor=scenario.people["crew"])


def see_to_health(scenario: Scenario, seen_on: Visit, colonies: list[Colony]) -> None:
    """Before nucs are made: mites washed from three colonies, brood looked over for disease."""
    crew, dice = scenario.people["crew"], scenario.dice
    for colony in dice.sample(colonies, min(3, len(colonies))):
        mites = dice.choice((0, 1, 1, 2, 3, 3, 4))
        yards.record_mite_wash(visit_id=seen_on.pk, colony_id=colony.pk, mites=mites, actor=crew)
    yards.record_brood_check(visit_id=seen_on.pk, colonies_checked=len(colonies), result="clear", actor=crew)


def level_out(scenario: Scenario) -> None:
    """Brood from the best goes to slow colonies of the same yard, a week before the first split day."""
    on = scenario.day(4, 20)
    if not scenario.past(on):
        return
    strengths = scenario.found["strengths"]
    for yard in scenario.found["yards"][:3]:
        standing = [colony for colony in _standing(scenario, yard) if colony.pk in strengths]
        best = [colony for colony in standing if strengths[colony.pk]["note"] == "best"]
        slow = [colony for colony in standing if strengths[colony.pk]["note"] == "slow"]
        for giver, taker in zip(best[:2], slow[:2], strict=False):
            yards.move_frames(
                from_id=giver.pk,
                to_id=taker.pk,
                on=on,
                today=on,
                brood_frames=1,
                with_bees=True,
                actor=scenario.people["crew"],
            )


def requeen(scenario: Scenario) -> None:
    """Young queens in mid May for most of those that wait for one; laying when looked at."""
    on = scenario.day(5, 14)
    if not scenario.past(on):
        return
    crew = scenario.people["crew"]
    for yard in scenario.found["yards"][:-2]:
        listed = [row for row in yard_queries.requeening_list(scenario.season.pk, on) if row.colony.yard_id == yard.pk]
        if not listed:
            continue
        seen_on = visit(scenario, yard, on, "other", minutes=12 * len(listed))
        drafts = [yards.LookDraft(row.colony.pk, queen="seen", note="requeened") for row in listed]
        yards.record_looks(visit_id=seen_on.pk, looks=drafts, actor=crew)
        waiting = yard_queries.tasks(scenario.season.pk).filter(yard=yard, rule="requeen", done_on__isnull=True)
        yards.finish_tasks(task_ids=[task.pk for task in waiting], on=on, actor=crew)


def look_for_cells(scenario: Scenario) -> None:
    """In the last week of May the strongest of two yards are looked through for queen cells."""
    strengths = scenario.found.get("strengths", {})
    for number, yard in enumerate(scenario.found["yards"][:2]):
        on = scenario.day(5, 26 + number)
        strong = [row for row in _standing(scenario, yard) if strengths.get(row.pk, {}).get("note") == "best"]
        if not strong or not scenario.past(on):
            continue
        seen_on = visit(scenario, yard, on, "look", minutes=6 * len(strong), jobs=["look"])
        found = [scenario.dice.choice(("none", "none", "none", "cut", "seen")) for _ in strong]
        drafts = [yards.LookDraft(colony.pk, cells=cells) for colony, cells in zip(strong, found, strict=True)]
        yards.record_looks(visit_id=seen_on.pk, looks=drafts, actor=scenario.people["crew"])


def visit(scenario: Scenario, yard: Yard, on: date, work: str, minutes: int, **more: Any) -> Visit:
    """Two people at a yard on a cool spring day."""
    warmth = 0 if on < scenario.day(4, 25) else 8
    arrived_at = time(8 + scenario.dice.randint(0, 2), scenario.dice.choice((0, 10, 25, 40)))
    return yards.record_visit(
        season_id=scenario.season.pk,
        yard_id=yard.pk,
        on=on,
        today=on,
        arrived_at=arrived_at,
        left_at=_later(arrived_at, minutes),
        people=2,
        temperature_c=Decimal(scenario.dice.choice((4, 5, 6, 7, 8)) + warmth),
        sky=scenario.dice.choice(("cloud", "rain", "sun")),
        work=work,
        actor=scenario.people["crew"],
        **more,
    )


def seen(scenario: Scenario, colony: Colony, grade: dict[str, Any], growth: int) -> yards.LookDraft:
    dice = scenario.dice
    low, high = grade["frames_halves"]
    halves = dice.randint(low, high) + (growth if low >= 8 else 0)
    sealed = dice.randint(*grade["sealed_halves"]) + growth
    queen = "none" if dice.random() < 0.015 else "spotty" if dice.random() < 0.04 else ""
    patty = dice.choice(("gone", "half", "plenty"))
    alone = colony.boxes == 1
    return yards.LookDraft(
        colony_id=colony.pk,
        below_halves=min(halves, 20),
        sealed_halves=sealed if growth or dice.random() < 0.3 else None,
        lower_box="" if alone else "spilling" if halves >= 11 else "few" if halves >= 9 else "empty",
        queen=queen,
        patty=patty,
        patty_given=patty == "gone",
        lower_box_off=not alone and growth > 0 and halves < 9,
        heft=dice.choice(("light", "fair", "fair", "heavy")) if not growth else "",
        observed_by_id=scenario.people["crew"].pk,
    )


def _standing(scenario: Scenario, yard: Yard) -> list[Colony]:
    return [colony for colony in scenario.found["colonies"] if colony.yard_id == yard.pk]


def _later(start: time, minutes: int) -> time:
    hours, left = divmod(start.hour * 60 + start.minute + min(minutes, 600), 60)
    return time(hours, left)
