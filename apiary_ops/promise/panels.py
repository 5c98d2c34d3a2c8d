"""Promises on lower pages and in the components: what an order was told, and how a number comes about."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.http import HttpRequest
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from apiary_ops.capacity.queries import LatestForecast
from apiary_ops.core.days import spoken_day
from apiary_ops.core.panels import Panel
from apiary_ops.core.shell import Figure
from apiary_ops.kernel.money import MINUS
from apiary_ops.kernel.weeks import Week
from apiary_ops.orders.models import Buyer, Line, Order, Round
from apiary_ops.people.access import may_open

from . import queries
from .models import Override, Telling

STEP_WORDS = {
    "could make": gettext_lazy("The yards could make in time, late spring, pooled in each yard"),
    "queens that fail": gettext_lazy("Queens that no longer lay at sale, by kind"),
    "not yet released": gettext_lazy("Held back: not all of it is released yet"),
    "made since": gettext_lazy("Made since the forecast; counted below as nucs"),
    "other kinds": gettext_lazy("Promised of other kinds, as nucs of this kind"),
    "already made": gettext_lazy("Nucs already made that can be collected by then"),
    "promised": gettext_lazy("Promised and not yet collected, this round and earlier"),
}
ALWAYS_SHOWN = ("could make", "promised")


@dataclass(frozen=True, slots=True)
class HowLine:
    """One line of components/_how.html."""

    label: str
    value: int | str
    unit: str = ""
    note: str = ""
    is_total: bool = False


@dataclass(frozen=True, slots=True)
class HowRoom:
    """Where the room of one kind in one round comes from."""

    summary: str
    lines: list[HowLine]
    note: str


@dataclass(frozen=True, slots=True)
class LineRow:
    """A line of an order with what was told and what may be done."""

    line: Line
    told: str
    told_note: str
    note: str
    can_be_promised: bool
    can_be_told: bool

    @property
    def is_waiting(self) -> bool:
        """Whether the page that asks for room again is of use, rather than the button."""
        return self.can_be_promised and self.line.state == Line.State.WAITING

    @property
    def tone(self) -> str:
        tones = {"promised": "good", "part collected": "good", "collected": "good", "waiting": "mind"}
        return tones.get(self.line.state, "quiet")


def how_rooms(rooms: list[queries.Room]) -> list[HowRoom]:
    """One explanation for each kind and round."""
    return [how_room(row) for row in rooms]


def how_room(row: queries.Room) -> HowRoom:
    """The steps that add up to the room, without those that are 0; below zero there is no room."""
    lines = [
        HowLine(str(STEP_WORDS[step.what]), signed(step.nucs))
        for step in row.steps
        if step.nucs or step.what in ALWAYS_SHOWN
    ]
    if (left := sum(step.nucs for step in row.steps)) < 0:
        lines.append(HowLine(_("Promised beyond what a late spring gives"), signed(-left)))
    words = {"round": row.round, "kind": row.kind, "room": row.room}
    limited = row.limited_by.pk != row.round.pk
    return HowRoom(
        summary=_("%(round)s, %(kind)s: room for %(room)s") % words,
        lines=[*lines, HowLine(_("Room"), row.room, is_total=True)],
        note=_("Counted at the %(round)s, which leaves least.") % {"round": row.limited_by} if limited else "",
    )


def basis_figures(forecast: LatestForecast | None, rooms: list[queries.Room]) -> list[Figure]:
    """What the room rests on, and who waits for more of it."""
    waiting, orders = sum(row.waiting for row in rooms), sum(row.waiting_orders for row in rooms)
    promised, paid = sum(row.promised for row in rooms), sum(row.paid for row in rooms)
    # What is short of a kind counts every round up to there, so its largest figure is the whole of it.
    short = sum(max(row.short for row in rooms if row.kind == kind) for kind in {row.kind for row in rooms})
    figures = [
        Figure(_("Promised"), str(promised), _("nucs; deposit paid for %(paid)s") % {"paid": paid}),
        Figure(
            _("Waiting"),
            str(waiting),
            ngettext("nucs, on %(n)s line", "nucs, on %(n)s lines", orders) % {"n": orders},
            reverse("promise:waitlist"),
        ),
        Figure(_("At risk"), str(short), _("nucs promised beyond a late spring"), tone="broken" if short else ""),
    ]
    if forecast is None:
        return figures
    shift = forecast.assumptions["low_shift_days"]
    looked = date_format(forecast.last_looked_on, "D j M") if forecast.last_looked_on else "–"
    return [
        *figures,
        Figure(_("Spring counted on"), _("%(days)s days late") % {"days": shift}, _("an assumption")),
        Figure(_("Last looks"), looked, _("%(share)s %% of colonies seen") % {"share": forecast.share_looked_at}),
    ]


def line_facts(line: Line, here: queries.Room, ahead: list[int], room: int) -> list[dict[str, Any]]:
    """What one line asks for and what stands for it."""
    paid_at = line.order.deposit_complete_at and localtime(line.order.deposit_complete_at)
    return [
        {"label": _("Buyer"), "value": line.order.buyer},
        {"label": _("Asks for"), "value": f"{line.quantity} × {line.kind}"},
        {"label": _("Round"), "value": line.round, "note": round_words(line.round)},
        {"label": _("Deposit complete"), "value": date_format(paid_at, "D j M Y, H:i") if paid_at else _("not yet")},
        {"label": _("Waiting ahead"), "value": sum(ahead) or "0", "note": _("nucs, same round and kind")},
        {"label": _("Safe for this line"), "value": str(room), "note": _("after those ahead who fit")},
        {"label": _("Promised so far"), "value": str(here.promised), "note": _("in this round, of this kind")},
    ]


def round_words(row: Round) -> str:
    return days_words(row.starts_on, row.ends_before)


def days_words(starts_on: date, ends_before: date) -> str:
    """First and last day: "31 May to 20 Jun 2027"."""
    last = ends_before - timedelta(days=1)
    words = {"first": date_format(starts_on, "j M"), "last": date_format(last, "j M Y")}
    return _("%(first)s to %(last)s") % words


def signed(nucs: int) -> str:
    """A number with the minus sign of print."""
    return f"{nucs:,}".replace("-", MINUS)


def room_for_order(request: HttpRequest, buyer: Buyer) -> Panel | None:
    """What may still be promised by round and kind, beside the order being taken on the telephone."""
    if not may_open(request.user.role, "promise:take-order"):
        return None
    season_id = request.season.pk  # type: ignore[attr-defined]
    rooms = [row for row in queries.room(season_id, request.today) if row.round.ends_before > request.today]  # type: ignore[attr-defined]
    return Panel(
        "room",
        _("Take this order?"),
        "promise/_new_order_panel.html",
        {"rooms": rooms, "first_step": queries.first_step(season_id)},
        note=_("What may still be promised so that every round is kept in a late spring."),
        url=reverse("promise:take-order"),
        label=_("Room by round"),
    )


def promises_of_order(request: HttpRequest, order: Order) -> Panel | None:
    """What the buyer of an order was told, line by line, with the button that promises."""
    lines = list(Line.objects.filter(order=order).select_related("kind", "round").order_by("id"))
    if not lines:
        return None
    ids = [line.pk for line in lines]
    told, waits, overrides = queries.latest_telling(ids), queries.latest_wait(ids), queries.overrides(ids)
    opens = {name: may_open(request.user.role, f"promise:{name}") for name in ("promise-line", "tell")}
    rows = []
    for line in lines:
        telling = told.get(line.pk) if line.state in Line.PROMISED_STATES else None
        waits_because = waits[line.pk].reason if line.state == Line.State.WAITING and line.pk in waits else ""
        rows.append(
            LineRow(
                line=line,
                told=told_words(telling),
                told_note=_told_note(telling),
                note=waits_because or _override_note(overrides.get(line.pk)),
                can_be_promised=opens["promise-line"] and line.state in Line.OPEN_STATES,
                can_be_told=opens["tell"] and line.state in Line.OWED_STATES,
            )
        )
    may_look = may_open(request.user.role, "promise:take-order")
    return Panel(
        "promises",
        _("Promised and told"),
        "promise/_order_panel.html",
        {"rows": rows},
        url=reverse("promise:take-order") if may_look else "",
        label=_("Room by round"),
    )


def told_words(telling: Telling | None) -> str:
    """What was told, in the words of a buyer: a round by its days, "week of 12 May", or a day."""
    if telling is None:
        return ""
    if telling.firmness == Telling.Firmness.DAY:
        return spoken_day(telling.starts_on)
    if telling.firmness == Telling.Firmness.WEEK:
        return Week.of(telling.starts_on).label
    return days_words(telling.starts_on, telling.ends_before)


def _told_note(telling: Telling | None) -> str:
    if telling is None:
        return ""
    words: dict[str, Any] = {
        "firmness": telling.get_firmness_display(),
        "day": date_format(telling.told_on, "D j M"),
        "who": telling.told_by,
    }
    said = _("as %(firmness)s, on %(day)s by %(who)s") % words
    return f"{said}: {telling.reason}" if telling.reason else said


def _override_note(override: Override | None) -> str:
    if override is None:
        return ""
    words = {"nucs": override.nucs, "who": override.made_by, "reason": override.reason}
    return _("%(nucs)s beyond the safe number, by %(who)s: %(reason)s") % words
