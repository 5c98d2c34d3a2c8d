"""Winter: bills, queens booked with breeders, orders taken and deposits paid."""

from datetime import date, timedelta

from apiary_ops.billing import services as billing
from apiary_ops.books import services as books
from apiary_ops.costs import services as costs
from apiary_ops.orders import services as orders
from apiary_ops.queens import services as queens

from .scenario import Scenario, days_between

# Cents per colony or per nuc, common practice of the trade; (account, description, supplier, month, day, cents, per).
BILLS = [
    ("autumn-feed", "Syrup for winter stores", "Coast Feed Barn", 9, 20, 1900, "colony"),
    ("mite-treatment", "Strips and acid for mites", "Coast Feed Barn", 10, 2, 950, "colony"),
    ("insurance", "Liability, one year", "Tidewater Mutual", 11, 3, 95, "nuc"),
    ("boxes-and-combs", "Nuc boxes, frames and combs", "Millrace Woodware", 2, 9, 4600, "nuc"),
    ("spring-feed", "Patties and spring syrup", "Coast Feed Barn", 3, 15, 420, "nuc"),
    ("rent", "Yard rent", "Lantern Farm", 4, 1, 380, "nuc"),
    ("labour", "Seasonal hands, April and May", "Lantern Farm", 5, 31, 3300, "nuc"),
]


def pass_winter(scenario: Scenario) -> None:
    add_suppliers(scenario)
    put_in_capital(scenario)
    receive_bills(scenario)
    book_queens(scenario)
    take_orders(scenario)


def add_suppliers(scenario: Scenario) -> None:
    currency = scenario.data["business"]["currency"]
    scenario.found["suppliers"] = {
        row["name"]: costs.add_supplier(
            name=row["name"], currency=currency, sells_queens=row["sells_queens"], actor=scenario.people["bookkeeper"]
        )
        for row in scenario.data["suppliers"]
    }


def put_in_capital(scenario: Scenario) -> None:
    """The bank holds something before the season spends anything."""
    cents = scenario.size.nucs * 12_000
    books.post_entry(
        source="opening:bank",
        purpose="opening",
        posted_on=scenario.day(9, 1),
        season_id=scenario.season.pk,
        memo="Bank balance brought forward",
        postings=[books.Posting("bank", cents), books.Posting("owner-capital", -cents)],
        actor=scenario.people["bookkeeper"],
    )


def receive_bills(scenario: Scenario) -> None:
    bookkeeper, counts = scenario.people["bookkeeper"], {"colony": scenario.size.colonies, "nuc": scenario.size.nucs}
    for number, (account, description, supplier, month, day, cents, per) in enumerate(BILLS, start=1):
        billed_on = scenario.day(month, day)
        if not scenario.past(billed_on):
            continue
        costs.record_bill(
            season_id=scenario.season.pk,
            supplier_id=scenario.found["suppliers"][supplier].pk,
            reference=f"{billed_on.year}-{1000 + number}",
            billed_on=billed_on,
            due_on=billed_on + timedelta(days=30),
            parts=[costs.BillPart(account, cents * counts[per], description)],
            actor=bookkeeper,
        )


def book_queens(scenario: Scenario) -> None:
    """Two breeders, three ship weeks, a tenth more than the nucs planned."""
    breeders = [row for row in scenario.data["suppliers"] if row["sells_queens"]]
    wanted = -(-scenario.size.nucs * 112 // 100)
    weeks = [scenario.monday(4, 27), scenario.monday(5, 4), scenario.monday(5, 11)]
    parts = [wanted * 45 // 100, wanted * 35 // 100]
    parts.append(wanted - sum(parts))
    scenario.found["queen_orders"] = []
    for number, (week, count) in enumerate(zip(weeks, parts, strict=True)):
        breeder = breeders[number % len(breeders)]
        order = queens.order_queens(
            season_id=scenario.season.pk,
            supplier_id=scenario.found["suppliers"][breeder["name"]].pk,
            queens=count,
            unit_price_cents=breeder["price_cents"],
            ship_week=week,
            ordered_on=scenario.day(12, 4),
            cancel_by=week - timedelta(days=28),
            actor=scenario.people["owner"],
        )
        scenario.found["queen_orders"].append((order, breeder))


def take_orders(scenario: Scenario) -> None:
    """Six in ten orders ask for one or two nucs; one in twenty buyers takes part loads of many."""
    dice, office = scenario.dice, scenario.people["office"]
    rounds, kinds = scenario.found["rounds"], scenario.found["kinds"]
    days = sorted(days_between(scenario.day(11, 16), scenario.day(4, 10), scenario.size.orders))
    scenario.found["orders"] = []
    for number, placed_on in enumerate(scenario.steps("orders", days)):
        if not scenario.past(placed_on):
            continue
        tier, quantity = ask(scenario, number)
        buyer = orders.add_buyer(actor=office, tier=tier, **buyer_facts(scenario, number, tier))
        kind = kinds["spring-5"] if tier == "wholesale" or dice.random() < 0.8 else kinds["spring-4"]
        other = kinds["spring-4"] if kind.code == "spring-5" else kinds["spring-5"]
        order = orders.place_order(
            season_id=scenario.season.pk,
            buyer_id=buyer.pk,
            placed_on=placed_on,
            lines=[
                orders.LineDraft(
                    kind_id=kind.pk,
                    quantity=quantity,
                    round_id=rounds[dice.random() < 0.4].pk,
                    substitute_ids=[other.pk] if tier != "wholesale" and dice.random() < 0.25 else [],
                    part_loads=tier == "wholesale",
                )
            ],
            pickup_yard_id=scenario.found["yards"][0].pk,
            actor=office,
        )
        scenario.found["orders"].append(order)
        pay_deposit(scenario, order, placed_on)


def ask(scenario: Scenario, number: int) -> tuple[str, int]:
    """(tier, nucs) of an order; all orders together ask for about a tenth less than is made, for those that fail."""
    dice = scenario.dice
    if number % 20 == 7:
        many = scenario.size.nucs * 30 // 100 // max(1, scenario.size.orders // 20)
        return "wholesale", max(4, many)
    tier = "returning" if number < scenario.size.orders // 4 else "new"
    return tier, dice.choice((1, 1, 1, 1, 2, 2, 2, 3))


def buyer_facts(scenario: Scenario, number: int, tier: str) -> dict[str, str]:
    data, dice = scenario.data, scenario.dice
    first, last = dice.choice(data["first_names"]), dice.choice(data["last_names"])
    name = f"{first} {last}"
    if tier == "wholesale":
        turn = number // 20
        name = data["wholesale"][turn % len(data["wholesale"])]
        name += f" {turn // len(data['wholesale']) + 1}" if turn >= len(data["wholesale"]) else ""
    return {
        "name": name,
        "phone": f"555 {200 + number // 10_000:03d} {number % 10_000:04d}",
        "email": f"buyer{number + 1}@post.example",
        "address": f"{dice.randint(1, 180)} {dice.choice(('High', 'Mill', 'Church', 'Ferry', 'Orchard'))} Road\n"
        f"{dice.choice(data['places'])}",
    }


def pay_deposit(scenario: Scenario, order, placed_on: date) -> None:  # type: ignore[no-untyped-def]
    """Most pay within the fortnight; about one in fifteen never does (common practice: 5-10 % lapse)."""
    dice = scenario.dice
    if dice.random() < 0.07:
        return
    paid_on = placed_on + timedelta(days=dice.randint(1, 12))
    if not scenario.past(paid_on) or not order.deposit_due_cents:
        return
    billing.take_deposit(
        order_id=order.pk,
        cents=order.deposit_due_cents,
        received_on=paid_on,
        received_at=scenario.at(paid_on, dice.randint(8, 17), dice.randint(0, 59)),
        method=dice.choice(("transfer", "transfer", "transfer", "cheque", "card", "cash")),
        actor=scenario.people["office"],
    )
