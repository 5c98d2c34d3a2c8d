"""A whole season in small, built through the services in the order of the work; every proof of the close agrees.

Ten nucs of two kinds from twelve colonies: six handed over on two days, two in hand, one lost, one united, one kept;
five orders, of which one is refunded and one keeps its deposit. All names are invented.
"""

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from decimal import Decimal
from uuid import uuid4

from apiary_ops.billing import services as billing
from apiary_ops.books.services import install_chart, open_fiscal_year
from apiary_ops.business.models import Season
from apiary_ops.capacity.services import make_forecast
from apiary_ops.costs import services as costs
from apiary_ops.costs.models import Supplier
from apiary_ops.nucs import services as nucs
from apiary_ops.nucs.models import Batch, Nuc, NucKind
from apiary_ops.orders import services as orders
from apiary_ops.orders.models import Order, Round
from apiary_ops.people.models import User
from apiary_ops.pickups import services as pickups
from apiary_ops.pickups.models import HandOver
from apiary_ops.promise import services as promise
from apiary_ops.queens import services as queens
from apiary_ops.queens.models import Lot
from apiary_ops.yards.models import Colony, Yard
from tests.factories.business import (
    BusinessFactory,
    SeasonFactory,
    TaxCategoryFactory,
    TaxRateFactory,
    TermsFactory,
)
from tests.factories.nucs import NucKindFactory
from tests.factories.people import UserFactory
from tests.factories.yards import ColonyFactory, GradeRuleFactory, LookFactory, VisitFactory, YardFactory

SPLIT_ON, FIRST_PICKUP, SECOND_PICKUP = date(2027, 5, 4), date(2027, 6, 2), date(2027, 6, 8)


@dataclass
class TinySeason:
    """What the builder made, by name."""

    season: Season
    owner: User
    yard: Yard
    spring: NucKind
    small: NucKind
    colonies: list[Colony] = field(default_factory=list)
    supplier: Supplier | None = None
    round: Round | None = None
    lot: Lot | None = None
    batch: Batch | None = None
    small_batch: Batch | None = None
    orders: dict[str, Order] = field(default_factory=dict)
    hand_overs: list[HandOver] = field(default_factory=list)


def build_season() -> TinySeason:
    """The season from its autumn bills to its last pickup."""
    tiny = _ground()
    _autumn(tiny)
    _winter_orders(tiny)
    _spring_looks(tiny)
    _split_day(tiny)
    _checks(tiny)
    _pickups(tiny)
    _bills(tiny)
    return tiny


def _ground() -> TinySeason:
    BusinessFactory()
    season = SeasonFactory()
    TermsFactory()
    zero, standard = TaxCategoryFactory(), TaxCategoryFactory(code="standard", name="standard rate", en16931_code="S")
    TaxRateFactory(category=zero)
    TaxRateFactory(category=standard, percent=Decimal(5))
    install_chart()
    open_fiscal_year(year=2027, starts_on=date(2026, 9, 1))
    owner = UserFactory(full_name="Mara Quill")
    yard = YardFactory(code="alder", name="Alder field", is_pickup_yard=True)
    spring = NucKindFactory()
    small = NucKindFactory(
        code="small-4",
        name="4-frame nuc",
        frames=4,
        make_up_bees=Decimal(2),
        make_up_brood=Decimal(1),
        sale_covered=Decimal(3),
        sale_brood=Decimal(2),
    )
    orders.set_price(
        season_id=season.pk,
        kind_id=spring.pk,
        cents=295_00,
        valid_from=date(2026, 9, 1),
        tax_category_id=zero.pk,
        actor=owner,
    )
    orders.set_price(
        season_id=season.pk,
        kind_id=small.pk,
        cents=249_99,
        valid_from=date(2026, 9, 1),
        tax_category_id=standard.pk,
        actor=owner,
    )
    return TinySeason(season, owner, yard, spring, small)


def _autumn(tiny: TinySeason) -> None:
    """Winter stock, its feed and treatment, and the queens ordered for spring."""
    tiny.colonies = [ColonyFactory(yard=tiny.yard, tag=f"C{place:02d}", position=place) for place in range(1, 13)]
    VisitFactory(season=tiny.season, yard=tiny.yard, on=date(2026, 9, 20), work="treat", minutes=180, people=2)
    VisitFactory(season=tiny.season, yard=tiny.yard, on=date(2026, 10, 3), work="feed", minutes=120, people=1)
    tiny.supplier = costs.add_supplier(name="Harbour Feed", currency="CAD", actor=tiny.owner)
    bill = _bill(tiny, "H-1", date(2026, 10, 5), ("autumn-feed", 400_00, "sugar"), ("mite-treatment", 160_01, "strips"))
    costs.pay_bill(
        bill_id=bill.pk, paid_on=date(2026, 11, 4), cents=bill.total_cents, paid_from="bank", actor=tiny.owner
    )


def _bill(tiny: TinySeason, reference: str, on: date, *parts: tuple[str, int, str]):
    return costs.record_bill(
        season_id=tiny.season.pk,
        supplier_id=tiny.supplier.pk,
        reference=reference,
        billed_on=on,
        due_on=date(2027, 6, 30),
        parts=[costs.BillPart(account, cents, words) for account, cents, words in parts],
        actor=tiny.owner,
    )


def _winter_orders(tiny: TinySeason) -> None:
    """Five orders with their deposits: one to be refunded, one whose deposit is kept."""
    tiny.round = orders.open_round(
        season_id=tiny.season.pk,
        name="first round",
        starts_on=date(2027, 5, 31),
        ends_before=date(2027, 6, 21),
        actor=tiny.owner,
    )
    wanted = {
        "farm": ("Birch Hollow Farm", "wholesale", tiny.spring, 3),
        "neighbour": ("Ines Vold", "returning", tiny.spring, 2),
        "beginner": ("Tove Arden", "new", tiny.small, 1),
        "refunded": ("Ruben Lark", "new", tiny.spring, 1),
        "late": ("Siv Marrow", "new", tiny.small, 1),
    }
    for day, (key, (name, tier, kind, nucs_wanted)) in enumerate(wanted.items(), start=11):
        buyer = orders.add_buyer(name=name, phone=f"555 01{day}", tier=tier, actor=tiny.owner)
        line = orders.LineDraft(
            kind_id=kind.pk, quantity=nucs_wanted, round_id=tiny.round.pk, part_loads=tier == "wholesale"
        )
        tiny.orders[key] = orders.place_order(
            season_id=tiny.season.pk,
            buyer_id=buyer.pk,
            placed_on=date(2027, 1, day),
            lines=[line],
            pickup_yard_id=tiny.yard.pk,
            actor=tiny.owner,
        )
        billing.take_deposit(
            order_id=tiny.orders[key].pk,
            cents=75_00 * nucs_wanted,
            received_on=date(2027, 1, day),
            received_at=datetime(2027, 1, day, 15, tzinfo=UTC),
            method="transfer",
            actor=tiny.owner,
        )
    _cancel(tiny, "refunded", date(2027, 2, 10))
    billing.refund_deposit(
        order_id=tiny.orders["refunded"].pk,
        cents=75_00,
        on=date(2027, 2, 10),
        method="transfer",
        reason="moved away",
        actor=tiny.owner,
    )
    _cancel(tiny, "late", date(2027, 3, 20))
    billing.keep_deposit(
        order_id=tiny.orders["late"].pk,
        cents=75_00,
        on=date(2027, 3, 20),
        reason="cancelled after 1 March",
        actor=tiny.owner,
    )


def _cancel(tiny: TinySeason, key: str, on: date) -> None:
    at = datetime.combine(on, time(15), tzinfo=UTC)
    for line in tiny.orders[key].lines.all():
        billing.cancel_line(line_id=line.pk, on=on, reason="buyer's wish", at=at, actor=tiny.owner)


def _spring_looks(tiny: TinySeason) -> None:
    """Strong colonies, a forecast, and the standing orders promised on it."""
    GradeRuleFactory()
    visit = VisitFactory(season=tiny.season, yard=tiny.yard, on=date(2027, 4, 3), minutes=120, people=2)
    for colony in tiny.colonies:
        LookFactory(visit=visit, colony=colony, below_halves=16, sealed_halves=6)
    today = date(2027, 4, 12)
    make_forecast(season_id=tiny.season.pk, today=today)
    for key in ("farm", "neighbour", "beginner"):
        line = tiny.orders[key].lines.get()
        promise.promise_line(
            line_id=line.pk, today=today, actor=tiny.owner, override_reason="known colonies, strong in April"
        )


def _split_day(tiny: TinySeason) -> None:
    """Queens land, one of them dead; seven spring nucs and three small ones are made and queened."""
    breeder = costs.add_supplier(name="Stonecrop Queens", currency="CAD", sells_queens=True, actor=tiny.owner)
    order = queens.order_queens(
        season_id=tiny.season.pk,
        supplier_id=breeder.pk,
        queens=14,
        unit_price_cents=48_00,
        ship_week=date(2027, 5, 3),
        ordered_on=date(2026, 12, 1),
        actor=tiny.owner,
    )
    tiny.lot = queens.receive_lot(
        order_id=order.pk,
        received_on=date(2027, 5, 3),
        received=14,
        dead_on_arrival=1,
        freight_cents=35_00,
        papers_cents=12_00,
        reference="SQ-88",
        due_on=date(2027, 6, 2),
        actor=tiny.owner,
    )
    day = nucs.plan_split_day(season_id=tiny.season.pk, yard_id=tiny.yard.pk, on=SPLIT_ON, actor=tiny.owner)
    VisitFactory(season=tiny.season, yard=tiny.yard, on=SPLIT_ON, work="split", minutes=240, people=2)
    tiny.batch = _make(tiny, day.pk, tiny.spring, 7, tiny.colonies[:9])
    tiny.small_batch = _make(tiny, day.pk, tiny.small, 3, tiny.colonies[9:])
    queens.record_dead_queens(lot_id=tiny.lot.pk, queens=1, on=date(2027, 5, 9), actor=tiny.owner)


def _make(tiny: TinySeason, split_day_id: int, kind: NucKind, size: int, donors: list[Colony]) -> Batch:
    return nucs.make_batch(
        split_day_id=split_day_id,
        kind_id=kind.pk,
        stands_at_id=tiny.yard.pk,
        lot_id=tiny.lot.pk,
        size=size,
        made_on=SPLIT_ON,
        queen_in_on=SPLIT_ON,
        donations=[nucs.DonationDraft(colony.pk, Decimal(2), Decimal(2)) for colony in donors],
        actor=tiny.owner,
    )


def _checks(tiny: TinySeason) -> None:
    """One queen fails and is replaced, one nuc is lost, one united, one kept; the others meet their standard."""
    VisitFactory(season=tiny.season, yard=tiny.yard, on=date(2027, 5, 15), work="check", minutes=60, people=1)
    VisitFactory(season=tiny.season, yard=tiny.yard, on=date(2027, 5, 18), work="feed", minutes=45, people=1)
    spring, small = _nucs(tiny.batch), _nucs(tiny.small_batch)
    failed, lost, united, kept = spring[6], spring[5], small[1], small[2]
    for nuc in (*spring, *small):
        queen = "missing" if nuc == failed else "laying"
        nucs.record_check(nuc_id=nuc.pk, on=date(2027, 5, 15), queen=queen, actor=tiny.owner)
    nucs.requeen(nuc_id=failed.pk, lot_id=tiny.lot.pk, on=date(2027, 5, 16), actor=tiny.owner)
    nucs.end_nuc(nuc_id=lost.pk, state="lost", on=date(2027, 5, 20), cause="robbed out", actor=tiny.owner)
    nucs.end_nuc(nuc_id=united.pk, state="united", on=date(2027, 5, 20), cause="too slow", actor=tiny.owner)
    nucs.end_nuc(nuc_id=kept.pk, state="kept", on=date(2027, 5, 28), cause="", actor=tiny.owner)
    nucs.record_check(nuc_id=failed.pk, on=date(2027, 5, 31), queen="laying", actor=tiny.owner)
    for nuc in (*spring[:5], small[0]):
        nucs.record_check(
            nuc_id=nuc.pk,
            on=date(2027, 5, 31),
            queen="laying",
            covered_halves=8,
            brood_halves=6,
            own_sealed_brood=True,
            food_halves=2,
            queen_cells=False,
            disease_clear=True,
            actor=tiny.owner,
        )


def _nucs(batch: Batch) -> list[Nuc]:
    return list(Nuc.objects.filter(batch=batch).order_by("number"))


def _pickups(tiny: TinySeason) -> None:
    """The farm collects in two parts and owes the first; the others pay what is left at the gate."""
    spring, small = _nucs(tiny.batch), _nucs(tiny.small_batch)
    for on in (FIRST_PICKUP, SECOND_PICKUP):
        windows = [pickups.WindowDraft(time(5), time(6), 6)]
        pickups.open_pickup_day(
            season_id=tiny.season.pk, yard_id=tiny.yard.pk, on=on, windows=windows, actor=tiny.owner
        )
    _hand_over(tiny, "farm", FIRST_PICKUP, spring[:2], pays=0)
    _hand_over(tiny, "neighbour", FIRST_PICKUP, spring[2:4], pays=440_00)
    _hand_over(tiny, "farm", SECOND_PICKUP, spring[4:5], pays=220_00)
    # 249.99 with 5 % tax is 262.49, less 75.00.
    _hand_over(tiny, "beginner", SECOND_PICKUP, small[:1], pays=187_49)


def _hand_over(tiny: TinySeason, key: str, on: date, given: list[Nuc], pays: int) -> None:
    line = tiny.orders[key].lines.get()
    tiny.hand_overs.append(
        pickups.hand_over(
            once_key=uuid4(),
            order_id=tiny.orders[key].pk,
            booking_id=None,
            nucs=[(nuc.pk, line.pk) for nuc in given],
            taken_by_name=tiny.orders[key].buyer.name,
            payment_cents=pays,
            method="cash",
            at=datetime.combine(on, time(9), tzinfo=UTC),
            actor=tiny.owner,
        )
    )


def _bills(tiny: TinySeason) -> None:
    """What the spring cost; one bill is part paid."""
    _bill(tiny, "H-2", date(2027, 5, 6), ("boxes-and-combs", 200_00, "boxes"), ("spring-feed", 30_01, "syrup"))
    bill = _bill(
        tiny,
        "H-3",
        date(2027, 6, 1),
        ("labour", 500_00, "hands"),
        ("mileage", 90_00, "fuel"),
        ("rent", 50_00, "Alder field"),
        ("insurance", 60_00, "liability"),
        ("inspection", 25_00, "certificate"),
        ("office", 12_00, "labels"),
    )
    costs.pay_bill(bill_id=bill.pk, paid_on=date(2027, 6, 10), cents=400_00, paid_from="bank", actor=tiny.owner)
