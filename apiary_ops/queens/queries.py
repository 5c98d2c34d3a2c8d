from dataclasses import dataclass
from datetime import date

from django.db.models import F, QuerySet, Sum
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apiary_ops.books.models import Line
from apiary_ops.costs.models import Supplier

from .models import Lot, QueenMove, QueenOrder

_BANKED = F("received") - F("dead_on_arrival") - F("introduced") - F("dead") - F("sold_on") - F("credited")


@dataclass(frozen=True, slots=True)
class QueenTally:
    """Every queen of a season that was received, and where she went. `banked` is what is left."""

    received: int
    dead_on_arrival: int
    introduced: int
    dead: int
    sold_on: int
    credited: int

    @property
    def landed(self) -> int:
        """Queens that arrived alive."""
        return self.received - self.dead_on_arrival

    @property
    def banked(self) -> int:
        return self.landed - self.introduced - self.dead - self.sold_on - self.credited


def breeders() -> QuerySet[Supplier]:
    """Suppliers who breed queens, by name."""
    return Supplier.objects.filter(sells_queens=True).order_by("name", "id")


def queen_orders(season_id: int) -> QuerySet[QueenOrder]:
    """Orders to breeders, by ship week."""
    rows = QueenOrder.objects.filter(season_id=season_id).select_related("supplier")
    return rows.order_by("ship_week", "id")


def queen_order(pk: int) -> QuerySet[QueenOrder]:
    """One order with its breeder and season, for get_object_or_404."""
    return QueenOrder.objects.filter(pk=pk).select_related("supplier", "season")


def lots(season_id: int) -> QuerySet[Lot]:
    """Lots received, by day, each with its breeder."""
    rows = Lot.objects.filter(season_id=season_id).select_related("order__supplier")
    return rows.order_by("received_on", "id")


def banked_lots(season_id: int) -> QuerySet[Lot]:
    """Lots with live queens in the bank, the first to hive first."""
    return lots(season_id).annotate(in_bank=_BANKED).filter(in_bank__gt=0).order_by("hive_by", "id")


def lots_of(order: QueenOrder) -> QuerySet[Lot]:
    """The lots an order came in."""
    return Lot.objects.filter(order=order).order_by("received_on", "id")


def lot_in_full(code: str) -> QuerySet[Lot]:
    """One lot with its order, breeder, bill and season, for get_object_or_404."""
    return Lot.objects.filter(code=code).select_related("order__supplier", "bill", "season")


def moves(lot: Lot) -> QuerySet[QueenMove]:
    """Where the queens of a lot went, in order."""
    return QueenMove.objects.filter(lot=lot).select_related("recorded_by").order_by("on", "id")


def moves_of(source: str) -> QuerySet[QueenMove]:
    """What one source took, also under its further names: "nuc:2027-031" and "nuc:2027-031-2"."""
    rows = QueenMove.objects.filter(source=source) | QueenMove.objects.filter(source__startswith=f"{source}-")
    return rows.order_by("on", "id")


def postings(lot: Lot) -> QuerySet[Line]:
    """What a lot posted, line by line: its bill, then each of its moves."""
    rows = Line.objects.filter(entry__in=[lot.bill.entry_id, *moves(lot).values_list("entry_id", flat=True)])
    return rows.select_related("entry", "account").order_by("entry__posted_on", "entry_id", "pk")


def tally(season_id: int) -> QueenTally:
    """The season's queens, counted."""
    names = ("received", "dead_on_arrival", "introduced", "dead", "sold_on", "credited")
    sums = Lot.objects.filter(season_id=season_id).aggregate(**{name: Sum(name) for name in names})
    return QueenTally(**{name: sums[name] or 0 for name in names})


def banked_total(season_id: int) -> int:
    """Live queens in the bank now."""
    return tally(season_id).banked


def landed_total(season_id: int) -> int:
    """Queens that arrived alive, wherever they are now."""
    return tally(season_id).landed


def due_total(season_id: int) -> int:
    """Queens ordered, not cancelled, and still to come."""
    expected = QueenOrder.objects.filter(season_id=season_id, cancelled_on__isnull=True)
    return expected.aggregate(due=Sum(F("queens") - F("received_queens")))["due"] or 0


def next_cancel(season_id: int, today: date) -> QueenOrder | None:
    """The order, with queens still to come, whose last cancel date is next."""
    rows = queen_orders(season_id).filter(cancelled_on__isnull=True, cancel_by__gte=today)
    return rows.filter(received_queens__lt=F("queens")).order_by("cancel_by", "id").first()


@dataclass(frozen=True, slots=True)
class BankRow:
    """A lot with queens in the bank, and how long they are still good."""

    code: str
    breeder: str
    received_on: date
    banked: int
    hive_by: date
    days_left: int

    @property
    def left_word(self) -> str:
        if self.days_left < 0:
            return ngettext("%(count)s day over", "%(count)s days over", -self.days_left) % {"count": -self.days_left}
        if self.days_left == 0:
            return _("today")
        return ngettext("%(count)s day left", "%(count)s days left", self.days_left) % {"count": self.days_left}

    @property
    def tone(self) -> str:
        if self.days_left < 0:
            return "broken"
        return "mind" if self.days_left <= 2 else "quiet"


def bank(season_id: int, today: date) -> list[BankRow]:
    """What stands in the bank today, the first to hive first."""
    return [
        BankRow(
            code=lot.code,
            breeder=lot.order.supplier.name,
            received_on=lot.received_on,
            banked=lot.banked,
            hive_by=lot.hive_by,
            days_left=(lot.hive_by - today).days,
        )
        for lot in banked_lots(season_id)
    ]
