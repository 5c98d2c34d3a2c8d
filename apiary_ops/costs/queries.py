from datetime import date, timedelta

from django.db.models import Case, F, Q, QuerySet, Sum, Value, When

from apiary_ops.books.models import Account
from apiary_ops.books.queries import accounts

from .models import Bill, BillLine, BillPayment, CostAssumptions, Supplier

A_DAY = timedelta(days=1)
SOON = timedelta(days=14)
# Posted only by what happens in the yard, at the gate or at closing; never straight from a bill.
NOT_BILLED = ("cost-of-nucs", "nuc-losses", "queen-losses", "winter-losses", "rounding")
STILL_OWED = Q(reversed_on=None, paid_cents__lt=F("total_cents"))
BILLED_ASSETS = ("tax-on-purchases", "deposits-with-breeders", "equipment")


def suppliers() -> QuerySet[Supplier]:
    """Everyone we buy from, by name."""
    return Supplier.objects.order_by("name")


def suppliers_with_owed() -> QuerySet[Supplier]:
    """Everyone we buy from, by name, with `owed_cents`."""
    owed = Sum(F("bills__total_cents") - F("bills__paid_cents"), filter=Q(bills__reversed_on=None), default=0)
    return suppliers().annotate(owed_cents=owed)


def bills(*, today: date) -> QuerySet[Bill]:
    """Every bill: those still owed first, by the day they are due; each knows whether it `is_overdue` today."""
    yes, no = Value(True), Value(False)
    return (
        Bill.objects.select_related("supplier", "season", "entry", "recorded_by")
        .annotate(
            is_owed=Case(When(STILL_OWED, then=yes), default=no),
            is_overdue=Case(When(STILL_OWED & Q(due_on__lt=today), then=yes), default=no),
        )
        .order_by("-is_owed", "due_on", "pk")
    )


def owed(rows: QuerySet[Bill], *, due_until: date | None = None) -> QuerySet[Bill]:
    """Those bills on which something is owed: all, or what is due until a day, that day included."""
    rows = rows.filter(STILL_OWED)
    return rows if due_until is None else rows.filter(due_on__lte=due_until)


def owed_total(*, due_until: date | None = None) -> int:
    """What is owed on bills in cents: all of it, or what is due until a day, that day included."""
    rows = owed(Bill.objects.all(), due_until=due_until)
    return rows.aggregate(cents=Sum(F("total_cents") - F("paid_cents")))["cents"] or 0


def bill_lines(bill: Bill) -> QuerySet[BillLine]:
    """The parts of a bill as they were entered."""
    return bill.lines.select_related("account").order_by("pk")


def payments(bill: Bill) -> QuerySet[BillPayment]:
    """What was paid on a bill, in order; reversed payments too."""
    return bill.payments.select_related("entry").order_by("paid_on", "pk")


def all_payments() -> QuerySet[BillPayment]:
    """Every payment with its bill and supplier."""
    return BillPayment.objects.select_related("bill__supplier", "entry").order_by("-paid_on", "-pk")


def billed_accounts() -> QuerySet[Account]:
    """Accounts a bill may be charged to by hand: costs, and what bills buy that lasts."""
    return accounts().filter(Q(kind=Account.Kind.EXPENSE) | Q(key__in=BILLED_ASSETS)).exclude(key__in=NOT_BILLED)


def cost_assumptions(season_id: int) -> CostAssumptions:
    """What is assumed about a season's costs: as stated, or the defaults, not stored, when nothing is."""
    return CostAssumptions.objects.filter(season_id=season_id).first() or CostAssumptions(season_id=season_id)
