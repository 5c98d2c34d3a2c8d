from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from apiary_ops.billing import forms, queries, services
from apiary_ops.core.answers import already_done, status_of
from apiary_ops.core.days import spoken_day
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.panels import panels_for
from apiary_ops.kernel.money import Money
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.orders import queries as order_queries
from apiary_ops.orders.models import Line, Order


@require_http_methods(["GET", "POST"])
def take_deposit(request: HttpRequest, number: str) -> HttpResponse:
    order = get_object_or_404(order_queries.orders_in_full(), number=number)
    currency = request.business.currency
    standing = queries.deposit_standing(order, on=request.today)
    initial = {"received_on": request.today, "amount": Money(standing.still_asked, currency)}
    form = forms.MoneyReceived(request.POST or None, initial=initial, currency=currency, today=request.today)
    if form.is_valid():
        try:
            receipt = services.take_deposit(
                order_id=order.pk, received_at=request.now, actor=request.user, **form.values
            )
        except AlreadyDone as done:
            return already_done(request, done)
        except RuleBroken as refusal:
            form.add_error("amount", str(refusal))
        else:
            messages.success(request, _("Receipt %(number)s is written.") % {"number": receipt.number})
            return redirect("billing:receipt", receipt.number)
    context = {"form": form, "order": order, "standing": standing}
    return render(request, "billing/take_deposit.html", context, status=status_of(form))


@require_http_methods(["GET", "POST"])
def refund_deposit(request: HttpRequest, number: str) -> HttpResponse:
    order = get_object_or_404(order_queries.orders_in_full(), number=number)
    currency = request.business.currency
    standing = queries.deposit_standing(order, on=request.today)
    initial = {"on": request.today, "amount": Money(standing.spare or standing.held, currency)}
    form = forms.RefundDeposit(request.POST or None, initial=initial, currency=currency, today=request.today)
    if form.is_valid():
        try:
            services.refund_deposit(order_id=order.pk, actor=request.user, **form.values)
        except AlreadyDone as done:
            return already_done(request, done)
        except RuleBroken as refusal:
            form.add_error("amount", str(refusal))
        else:
            messages.success(request, _("The refund is recorded."))
            return redirect("orders:order", order.number)
    context = {
        "form": form,
        "order": order,
        "heading": _("Give back a deposit"),
        "question": _("Give back money of order %(number)s?") % {"number": order.number},
        "consequences": _refund_consequences(order, standing, request),
        "submit_label": _("Give it back"),
    }
    return render(request, "billing/move_deposit.html", context, status=status_of(form))


def _refund_consequences(order: Order, standing: queries.DepositStanding, request: HttpRequest) -> list[str]:
    currency = request.business.currency
    said = [
        _("%(held)s of this deposit is held.") % {"held": Money(standing.held, currency)},
        _terms_say(order, request),
    ]
    if order.deposit_complete_at is not None:
        spare = Money(standing.spare, currency)
        said.append(
            _("Giving back more than %(spare)s takes the order's place in the queue.") % {"spare": spare}
            if spare
            else _("Giving any of it back takes the order's place in the queue.")
        )
    return [*said, _("Income is not touched: the money was never earned.")]


@require_http_methods(["GET", "POST"])
def keep_deposit(request: HttpRequest, number: str) -> HttpResponse:
    order = get_object_or_404(order_queries.orders_in_full(), number=number)
    currency = request.business.currency
    standing = queries.deposit_standing(order, on=request.today)
    initial = {"on": request.today, "amount": Money(standing.spare, currency)}
    form = forms.KeepDeposit(request.POST or None, initial=initial, currency=currency, today=request.today)
    if form.is_valid():
        try:
            services.keep_deposit(order_id=order.pk, actor=request.user, **form.values)
        except AlreadyDone as done:
            return already_done(request, done)
        except RuleBroken as refusal:
            form.add_error("amount", str(refusal))
        else:
            messages.success(request, _("The deposit is kept: it is other income now."))
            return redirect("orders:order", order.number)
    context = {
        "form": form,
        "order": order,
        "heading": _("Keep a deposit by the terms"),
        "question": _("Keep money of order %(number)s?") % {"number": order.number},
        "consequences": _keep_consequences(order, standing, request),
        "submit_label": _("Keep it"),
    }
    return render(request, "billing/move_deposit.html", context, status=status_of(form))


def _keep_consequences(order: Order, standing: queries.DepositStanding, request: HttpRequest) -> list[str]:
    amounts = {
        "held": Money(standing.held, request.business.currency),
        "spare": Money(standing.spare, request.business.currency),
    }
    kept = _("%(held)s of this deposit is held; %(spare)s of it is for no nuc still to come and may be kept.")
    if not standing.spare:
        kept = _("%(held)s of this deposit is held, all of it for nucs still to come: cancel their line first.")
    return [
        _terms_say(order, request),
        kept % amounts,
        _("It becomes other income on that day, and the buyer does not get it back."),
    ]


def _terms_say(order: Order, request: HttpRequest) -> str:
    until = order_queries.refund_until(order)
    day = spoken_day(until)
    if request.today <= until:
        return _("By the terms of this order the deposit is given back in full until %(day)s.") % {"day": day}
    return _("The last day of refunds by the terms was %(day)s; a refund now is a kindness.") % {"day": day}


@require_http_methods(["GET", "POST"])
def cancel_line(request: HttpRequest, pk: int) -> HttpResponse:
    line = get_object_or_404(order_queries.lines_in_full(), pk=pk)
    order = line.order
    form = forms.CancelLine(request.POST or None)
    if form.is_valid():
        try:
            services.cancel_line(
                line_id=line.pk,
                on=request.today,
                at=request.now,
                reason=form.cleaned_data["reason"],
                actor=request.user,
            )
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The line is cancelled."))
            return redirect("orders:order", order.number)
    context = {
        "form": form,
        "order": order,
        "line": line,
        "consequences": _cancel_consequences(line, request),
        "panels": panels_for("line-cancel", request, line),
    }
    return render(request, "billing/cancel_line.html", context, status=status_of(form))


def _cancel_consequences(line: Line, request: HttpRequest) -> list[str]:
    order, currency = line.order, request.business.currency
    held = queries.deposit_of(order).held_cents
    due = order_queries.deposit_due_without(order, line)
    said = [
        _("%(count)s × %(kind)s in the %(round)s are taken off; their places go back to others.")
        % {"count": line.outstanding, "kind": line.kind, "round": line.round}
    ]
    if line.collected:
        said.append(_("%(count)s already collected stay sold.") % {"count": line.collected})
    asked = {"before": Money(order.deposit_due_cents, currency), "after": Money(due, currency)}
    said.append(_("The deposit asked of the order falls from %(before)s to %(after)s.") % asked)
    if held:
        said.append(_("%(held)s stays held until someone gives it back or keeps it.") % {"held": Money(held, currency)})
        said.append(_terms_say(order, request))
    return said
