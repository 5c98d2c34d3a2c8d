"""What wants doing: late, short, due, in the order a day is worked; and the first steps of an empty desk."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from urllib.parse import urlencode

from django.db.models import Count, F, Min, Q, Sum
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apiary_ops.allocation.models import Place, Plan
from apiary_ops.billing.models import Deposit
from apiary_ops.business.models import Season, TaxCategory, Terms
from apiary_ops.capacity import queries as capacity
from apiary_ops.costs import queries as costs
from apiary_ops.fieldbook import queries as fieldbook
from apiary_ops.fieldbook.models import Record
from apiary_ops.nucs.models import Nuc
from apiary_ops.orders.models import Line, Order, Price, Round
from apiary_ops.people.access import may_open
from apiary_ops.pickups.models import Booking, PickupDay
from apiary_ops.queens import queries as queens
from apiary_ops.yards import queries as yards
from apiary_ops.yards.models import Colony, Look, TaskRule, Yard

SOON = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Item:
    """One thing on the desk: `tone` "broken" is late, "mind" is short, "" is due; `page` decides who sees it."""

    tone: str
    text: str
    page: str
    url: str
    day: date | None = None


def today_items(season: Season, today: date, role: str) -> list[Item]:
    """Everything late, then short, then due, that this role may open; the earliest day first."""
    makers: tuple[Callable[[Season, date], Iterator[Item]], ...] = (
        _holds, _tasks, _records, _queens, _nucs, _deposits, _stuck_deposits, _waiting, _plan, _pickups, _bills,
        _forecast,
    )  # fmt: skip
    items = [item for maker in makers for item in maker(season, today) if may_open(role, item.page)]
    order = {"broken": 0, "mind": 1, "": 2}
    return sorted(items, key=lambda item: (order[item.tone], item.day or date.max, item.text))


def _item(tone: str, text: str, page: str, *args: object, day: date | None = None) -> Item:
    return Item(tone, text, page, reverse(page, args=args), day)


def _holds(season: Season, today: date) -> Iterator[Item]:
    for hold in yards.holds_open(today):
        where = hold.colony or hold.yard
        text = _("%(where)s is on hold: %(reason)s.") % {"where": where, "reason": hold.reason}
        yield _item("broken", text, "yards:detail", hold.yard.code, day=hold.starts_on)


def _tasks(season: Season, today: date) -> Iterator[Item]:
    """Tasks stated by hand one by one; those that rules made as one line a yard and kind."""
    due = yards.tasks(season.pk).filter(done_on__isnull=True, due_on__lte=today + SOON)
    for task in due.filter(rule="")[:12]:
        where = f"{task.yard}, {task.colony}" if task.colony else str(task.yard)
        text = f"{task.what} ({where})"
        yield _item("broken" if task.due_on < today else "", text, "yards:task-list", day=task.due_on)
    alike = due.exclude(rule="").order_by().values("yard_id", "yard__name", "rule")
    for row in alike.annotate(count=Count("id"), first=Min("due_on")).order_by("first", "yard__name", "rule"):
        text = ngettext(
            "%(yard)s: %(what)s at %(count)s colony.", "%(yard)s: %(what)s at %(count)s colonies.", row["count"]
        ) % {"yard": row["yard__name"], "what": TaskRule.Code(row["rule"]).label, "count": row["count"]}
        tone = "broken" if row["first"] < today else ""
        url = f"{reverse('yards:task-list')}?{urlencode({'yard': row['yard_id'], 'rule': row['rule']})}"
        yield Item(tone, text, "yards:task-list", url, row["first"])


def _records(season: Season, today: date) -> Iterator[Item]:
    open_states = (Record.State.WAITING, Record.State.QUESTION, Record.State.REFUSED)
    count = fieldbook.records().filter(state__in=open_states).count()
    if count:
        text = ngettext(
            "%(count)s record from the field waits for a person.",
            "%(count)s records from the field wait for a person.",
            count,
        ) % {"count": count}
        yield _item("mind", text, "fieldbook:exceptions")


def _queens(season: Season, today: date) -> Iterator[Item]:
    for lot in queens.banked_lots(season.pk):
        if lot.hive_by <= today + SOON:
            text = ngettext(
                "%(banked)s queen of lot %(lot)s is still banked.",
                "%(banked)s queens of lot %(lot)s are still banked.",
                lot.banked,
            ) % {"banked": lot.banked, "lot": lot.code}
            yield _item("broken" if lot.hive_by < today else "mind", text, "queens:lot", lot.code, day=lot.hive_by)
    for order in queens.queen_orders(season.pk).filter(cancelled_on__isnull=True, received_queens__lt=F("queens")):
        left = order.queens - order.received_queens
        if order.ship_week <= today + SOON:
            text = ngettext(
                "%(left)s queen is due from %(breeder)s.", "%(left)s queens are due from %(breeder)s.", left
            ) % {"left": left, "breeder": order.supplier}
            tone = "broken" if order.ship_week + SOON < today else ""
            yield _item(tone, text, "queens:order", order.pk, day=order.ship_week)


def _nucs(season: Season, today: date) -> Iterator[Item]:
    live = Nuc.objects.filter(season=season, state__in=Nuc.LIVE_STATES)
    failed = live.filter(state=Nuc.State.FAILED).count()
    if failed:
        text = ngettext("%(n)s nuc has lost its queen.", "%(n)s nucs have lost their queens.", failed) % {"n": failed}
        yield _item("mind", text + " " + _("Requeen, unite or write off."), "nucs:list")
    ready = live.filter(ready_on__isnull=False).values_list("ready_on", "kind__keeps_days")
    over = sum(1 for ready_on, keeps in ready if ready_on and ready_on + timedelta(days=keeps) < today)
    if over:
        text = ngettext("%(n)s nuc is past its collect-by.", "%(n)s nucs are past their collect-by.", over) % {
            "n": over
        }
        yield _item("broken", text, "nucs:list")
    unqueened = live.filter(state=Nuc.State.MADE, batch__made_on__lt=today - timedelta(days=1)).count()
    if unqueened:
        text = ngettext("%(n)s nuc waits for a queen.", "%(n)s nucs wait for queens.", unqueened) % {"n": unqueened}
        yield _item("mind", text, "nucs:list")


def _deposits(season: Season, today: date) -> Iterator[Item]:
    owing = Order.objects.filter(
        Q(lines__state__in=[Line.State.ASKED, Line.State.WAITING, Line.State.PROMISED]),
        season=season,
        deposit_complete_at__isnull=True,
        deposit_due_cents__gt=0,
        deposit_due_on__lt=today,
    ).distinct()
    count = owing.count()
    if count:
        text = ngettext("%(n)s deposit is overdue.", "%(n)s deposits are overdue.", count) % {"n": count}
        first = owing.order_by("deposit_due_on").values_list("deposit_due_on", flat=True)[0]
        yield Item("broken", text, "orders:list", reverse("orders:list") + "?deposit=overdue", first)


def _stuck_deposits(season: Season, today: date) -> Iterator[Item]:
    """Money held for orders with nothing left to come: a cent that rounding left, or a cancelled order's deposit."""
    held = Deposit.objects.filter(order__season=season, taken_cents__gt=0).exclude(
        order__lines__state__in=[*Line.OPEN_STATES, *Line.OWED_STATES]
    )
    for deposit in held.select_related("order__buyer").order_by("order__number"):
        if deposit.held_cents:
            text = _("Order %(number)s of %(buyer)s has nothing to come, and a deposit is still held.") % {
                "number": deposit.order.number, "buyer": deposit.order.buyer,
            }  # fmt: skip
            yield _item("mind", text + " " + _("Give it back or keep it."), "orders:order", deposit.order.number)


def _waiting(season: Season, today: date) -> Iterator[Item]:
    waiting = Line.objects.filter(order__season=season, state=Line.State.WAITING)
    nucs = waiting.aggregate(nucs=Sum("quantity"))["nucs"] or 0
    if nucs:
        text = ngettext(
            "%(n)s nuc is asked for and waits for room.", "%(n)s nucs are asked for and wait for room.", nucs
        )
        yield _item("mind", text % {"n": nucs}, "promise:waitlist")


def _plan(season: Season, today: date) -> Iterator[Item]:
    plan = Plan.objects.filter(season=season, is_standing=True).first()
    if plan is None:
        return
    short = Place.objects.filter(plan=plan).aggregate(short=Sum("short"))["short"] or 0
    if short:
        text = ngettext(
            "The plan is short of %(n)s promised nuc.", "The plan is short of %(n)s promised nucs.", short
        ) % {"n": short}
        yield _item("broken", text, "allocation:plan")


def _pickups(season: Season, today: date) -> Iterator[Item]:
    soon = PickupDay.objects.filter(season=season, on__range=(today, today + SOON)).select_related("yard")
    for day in soon.order_by("on", "id"):
        count = Booking.objects.filter(window__day=day, state=Booking.State.BOOKED).count()
        if not count:
            continue
        text = ngettext(
            "%(count)s order is booked to collect at %(yard)s.",
            "%(count)s orders are booked to collect at %(yard)s.",
            count,
        ) % {"count": count, "yard": day.yard}
        yield _item("", text, "pickups:day", day.pk, day=day.on)
    missed = Booking.objects.filter(
        Q(state=Booking.State.MISSED) | Q(state=Booking.State.BOOKED, window__day__on__lt=today),
        window__day__season=season,
    )
    for booking in missed.select_related("order__buyer", "window__day").order_by("window__day__on", "id")[:8]:
        text = _("%(buyer)s did not collect order %(number)s.") % {
            "buyer": booking.order.buyer, "number": booking.order.number,
        }  # fmt: skip
        yield _item("broken", text, "pickups:booking", booking.pk, day=booking.window.day.on)


def _bills(season: Season, today: date) -> Iterator[Item]:
    for bill in costs.owed(costs.bills(today=today), due_until=today + SOON).order_by("due_on", "id")[:8]:
        text = _("Bill %(reference)s of %(supplier)s.") % {"reference": bill.reference, "supplier": bill.supplier}
        yield _item("broken" if bill.due_on < today else "", text, "costs:bill", bill.pk, day=bill.due_on)


def _forecast(season: Season, today: date) -> Iterator[Item]:
    forecast = capacity.latest_forecast(season.pk)
    if forecast is not None and forecast.is_stale:
        yield _item("mind", _("The forecast is older than the last facts: recompute it."), "capacity:overview")


def first_steps(season: Season, role: str) -> list[dict[str, object]]:
    """The season from an empty desk, step by step, for components/_steps.html; those done are marked."""
    steps = (
        (_("Enter the yards"), "yards:add", Yard.objects.exists()),
        (_("Enter the colonies"), "yards:list", Colony.objects.exists()),
        (_("State the deposit terms and how bees are taxed"), "business:settings",
         Terms.objects.exists() and TaxCategory.objects.exists()),
        (_("Open the rounds and state prices"), "orders:rounds",
         Round.objects.filter(season=season).exists() and Price.objects.filter(season=season).exists()),
        (_("Record the first looks"), "yards:list", Look.objects.filter(visit__season=season).exists()),
        (_("Compute the forecast"), "capacity:overview", capacity.latest_forecast(season.pk) is not None),
        (_("Take the first order"), "orders:new", Order.objects.filter(season=season).exists()),
    )  # fmt: skip
    shown = [step for step in steps if may_open(role, step[1])]
    first = next((position for position, step in enumerate(shown) if not step[2]), None)
    return [
        {"label": label, "url": reverse(page), "is_done": is_done, "is_current": position == first}
        for position, (label, page, is_done) in enumerate(shown)
    ]
