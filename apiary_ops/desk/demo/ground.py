"""Autumn: the business, its people, terms and prices, yards and the colonies that stand in them."""

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from itertools import count, pairwise
from typing import Any

from apiary_ops.business import services as business
from apiary_ops.desk.services import set_up
from apiary_ops.nucs import queries as nuc_queries
from apiary_ops.orders import services as orders
from apiary_ops.people import services as people
from apiary_ops.yards import services as yards
from apiary_ops.yards.compute import FenceWalk
from apiary_ops.yards.models import Colony

from .scenario import Scenario

# Seven in ten colonies are kept for nucs; the others have their own work (common practice of a mixed outfit).
PURPOSES = ["nucs"] * 14 + ["honey"] * 3 + ["reserve"] * 1 + ["drones"] * 1 + ["breeder"] * 1


def lay(scenario: Scenario) -> None:
    """Everything that stands before the first look."""
    open_desk(scenario)
    state_terms_and_prices(scenario)
    stand_colonies(scenario)
    know_the_land(scenario)


def open_desk(scenario: Scenario) -> None:
    data, first = scenario.data["business"], scenario.data["people"][0]
    owner, season = set_up(
        **data,
        owner_username=first["username"],
        owner_name=first["full_name"],
        owner_password=first["password"],
        season_year=scenario.year,
    )
    scenario.people = {"owner": owner}
    scenario.season = season
    for person in scenario.data["people"][1:]:
        scenario.people[person["role"]] = people.add_user(actor=owner, **person)


def state_terms_and_prices(scenario: Scenario) -> None:
    owner, terms, autumn = scenario.people["owner"], scenario.data["terms"], scenario.day(9, 1)
    business.state_terms(
        valid_from=autumn,
        deposit_cents_per_nuc=terms["deposit_cents_per_nuc"],
        due_days=terms["due_days"],
        refund_until=tuple(terms["refund_until"]),
        text=terms["text"],
    )
    # Canada zero-rates bees raised to produce food (Excise Tax Act, Sch. VI, Part IV, s. 1); the user confirms.
    category = business.add_tax_category(
        code="live-bees",
        name="Live bees, zero rated",
        en16931_code="Z",
        percent=Decimal(0),
        valid_from=autumn,
        note="Zero rated.",
    )
    kinds = {kind.code: kind for kind in nuc_queries.kinds()}
    scenario.found["kinds"] = kinds
    for price in scenario.data["prices"]:
        orders.set_price(
            season_id=scenario.season.pk,
            kind_id=kinds[price["kind"]].pk,
            cents=price["cents"],
            valid_from=autumn,
            tax_category_id=category.pk,
            tier=price["tier"],
            actor=owner,
        )
    weeks = [scenario.monday(5, 24), scenario.monday(6, 14), scenario.monday(7, 5), scenario.monday(7, 26)]
    names = ("First round", "Second round", "Late round")
    scenario.found["rounds"] = [
        orders.open_round(
            season_id=scenario.season.pk, name=name, starts_on=starts_on, ends_before=ends_before, actor=owner
        )
        for name, (starts_on, ends_before) in zip(names, pairwise(weeks), strict=True)
    ]


def stand_colonies(scenario: Scenario) -> None:
    crew, dice, tags = scenario.people["crew"], scenario.dice, count(1)
    names = scenario.data["yards"]
    stock: list[Colony] = []
    scenario.found["yards"] = []
    for number in range(scenario.size.yards):
        facts = dict(names[number % len(names)])
        if number >= len(names):
            part = number // len(names) + 1
            facts |= {"code": f"{facts['code']}-{part}", "name": f"{facts['name']} {part}", "is_pickup_yard": False}
        yard = yards.add_yard(actor=scenario.people["owner"], **facts)
        scenario.found["yards"].append(yard)
        drafts = [
            yards.ColonyDraft(
                tag=f"{next(tags):04d}",
                started_on=scenario.day(9, 1).replace(month=6),
                position=place,
                boxes=dice.choice((1, 2, 2, 2)),
                purpose=dice.choice(PURPOSES),
                queen_year=scenario.year - dice.choice((1, 1, 2)),
            )
            for place in range(1, min(20, scenario.size.colonies - 20 * number) + 1)
        ]
        stock += yards.add_colonies(yard_id=yard.pk, colonies=drafts, today=scenario.day(9, 1), actor=crew)
    scenario.found["colonies"] = stock


def know_the_land(scenario: Scenario) -> None:
    """Certificates, fence walks and days to stay away, as far as the demo's today."""
    office, crew, today = scenario.people["office"], scenario.people["crew"], scenario.today
    for yard_id, row in _at_yards(scenario, "certificates"):
        issued_on = scenario.day(*row["issued"])
        if scenario.past(issued_on):
            yards.record_certificate(
                yard_id=yard_id,
                number=row["number"],
                inspector=scenario.data["business"]["inspector"],
                issued_on=issued_on,
                expires_on=issued_on + timedelta(days=row["good_for_days"]),
                today=today,
                actor=office,
            )
    for yard_id, row in _at_yards(scenario, "fence_walks"):
        on = scenario.day(*row["on"])
        if scenario.past(on):
            seen = FenceWalk(row["volts"], True, True, row["growth_clear"], True, True)
            yards.check_fence(yard_id=yard_id, on=on, walk=seen, note=row["note"], today=today, actor=crew)
    for yard_id, row in _at_yards(scenario, "no_go"):
        first = today + timedelta(days=row["from_now"])
        last = first + timedelta(days=row["days"] - 1)
        yards.add_no_go(yard_id=yard_id, starts_on=first, ends_on=last, reason=row["reason"], actor=office)


def _at_yards(scenario: Scenario, what: str) -> Iterator[tuple[int, dict[str, Any]]]:
    """What the readable data says of the yards that stand in a season of this size."""
    by_code = {yard.code: yard.pk for yard in scenario.found["yards"]}
    for row in scenario.data[what]:
        if row["yard"] in by_code:
            yield by_code[row["yard"]], row
