from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from apiary_ops.capacity import queries as capacity
from apiary_ops.core.answers import status_of
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.orders.models import Line

from . import compute, forms, panels, queries, services, tables


@require_safe
def take_order(request: HttpRequest) -> HttpResponse:
    """Take this order? Room by round and kind, and what it rests on."""
    season = request.season
    rooms = queries.room(season.pk, request.today)
    table = table_for(request, tables.RoomTable, rooms, per_page=None)
    if wants_file(request):
        return table_file(request, table, "promises")
    forecast = capacity.latest_forecast(season.pk)
    context = {
        "table": table,
        "exports": export_links(request),
        "rooms": rooms,
        "how": panels.how_rooms(rooms),
        "figures": panels.basis_figures(forecast, rooms),
        "forecast": forecast,
        "is_recomputing": capacity.is_recomputing(season.pk),
        "first_step": queries.first_step(season.pk),
        "in_turn": len(queries.lines_in_turn(season.pk)),
    }
    return render(request, "promise/take_order.html", context)


@require_safe
def waitlist(request: HttpRequest) -> HttpResponse:
    rows = queries.waitlist(request.season.pk, request.today)
    table = table_for(request, tables.WaitTable, rows)
    if wants_file(request):
        return table_file(request, table, "waitlist")
    return render(request, "promise/waitlist.html", {"table": table, "exports": export_links(request)})


@require_POST
def promise_in_turn(request: HttpRequest) -> HttpResponse:
    """Promise everyone whose deposit is complete and who fits, in turn."""
    turns = services.promise_in_turn(season_id=request.season.pk, today=request.today, actor=request.user)
    promised, waiting = len(turns.promised), len(turns.waiting)
    said = ngettext("%(n)s line was promised", "%(n)s lines were promised", promised) % {"n": promised}
    messages.success(request, _("%(promised)s; %(waiting)s wait for room.") % {"promised": said, "waiting": waiting})
    return redirect("promise:take-order")


@require_http_methods(["GET", "POST"])
def promise_line(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once more what one line would take; POST promises it or puts it on the waitlist."""
    line = get_object_or_404(queries.line_with_order(pk))
    if request.method == "POST":
        try:
            services.promise_line(line_id=line.pk, today=request.today, actor=request.user)
        except RuleBroken as refusal:
            messages.error(request, str(refusal))
        else:
            _say_outcome(request, line)
        return _back(request, line)
    return render(request, "promise/line.html", _line_context(request, line))


@require_http_methods(["GET", "POST"])
def override_line(request: HttpRequest, pk: int) -> HttpResponse:
    """The owner promises beyond the safe number, with a reason."""
    line = get_object_or_404(queries.line_with_order(pk))
    form = forms.OverrideForm(request.POST or None)
    if form.is_valid():
        try:
            services.promise_line(
                line_id=line.pk, today=request.today, actor=request.user, override_reason=form.cleaned_data["reason"]
            )
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            _say_outcome(request, line)
            return _back(request, line)
    context = {"form": form, **_line_context(request, line)}
    return render(request, "promise/override.html", context, status=status_of(form))


@require_http_methods(["GET", "POST"])
def tell(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down the week or the day a buyer was told."""
    line = get_object_or_404(queries.line_with_order(pk))
    form = forms.TellForm(request.POST or None, initial={"firmness": "week"})
    if form.is_valid():
        try:
            telling = services.tell(
                line_id=line.pk,
                told_on=request.today,
                actor=request.user,
                reason=form.cleaned_data["reason"],
                **form.span(),
            )
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            words = {"buyer": line.order.buyer, "told": panels.told_words(telling)}
            messages.success(request, _("%(buyer)s was told: %(told)s.") % words)
            return redirect("orders:order", line.order.number)
    told = queries.latest_telling([line.pk]).get(line.pk)
    context = {"form": form, "line": line, "told": told, "told_words": panels.told_words(told)}
    return render(request, "promise/tell.html", context, status=status_of(form))


def _line_context(request: HttpRequest, line: Line) -> dict[str, Any]:
    """What the decision on one line rests on."""
    rooms = {(row.round.pk, row.kind.pk): row for row in queries.room(line.order.season_id, request.today)}
    here, ahead = rooms[line.round_id, line.kind_id], queries.ahead_of(line)
    room = compute.room_behind(here.room, ahead)
    return {
        "line": line,
        "here": here,
        "facts": panels.line_facts(line, here, ahead, room),
        "how": panels.how_room(here),
        "fits": line.quantity <= room,
        "is_open": line.state in Line.OPEN_STATES,
        "is_waiting": line.state == Line.State.WAITING,
        "back": request.GET.get("back", ""),
        "first_step": queries.first_step(line.order.season_id),
    }


def _say_outcome(request: HttpRequest, line: Line) -> None:
    """Say in a message what became of the line: promised, or why it waits."""
    standing = queries.line_with_order(line.pk).get()
    words = {"nucs": standing.quantity, "kind": standing.kind, "round": standing.round, "buyer": standing.order.buyer}
    if standing.state == Line.State.WAITING:
        words["reason"] = queries.latest_wait([line.pk])[line.pk].reason
        messages.warning(request, _("%(buyer)s waits for %(nucs)s × %(kind)s: %(reason)s") % words)
    else:
        messages.success(request, _("%(nucs)s × %(kind)s are promised to %(buyer)s for the %(round)s.") % words)


def _back(request: HttpRequest, line: Line) -> HttpResponse:
    if request.POST.get("back") == "waitlist":
        return redirect("promise:waitlist")
    return redirect("orders:order", line.order.number)
