from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import already_done, form_page, status_of
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.panels import panels_for
from apiary_ops.core.tables import table_for
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.nucs import forms, queries, services, tables
from apiary_ops.nucs.models import Batch, Nuc
from apiary_ops.queens.queries import banked_lots
from apiary_ops.yards.queries import yards

from .answers import refuse


@require_http_methods(["GET", "POST"])
def make_batch(request: HttpRequest, pk: int) -> HttpResponse:
    day = get_object_or_404(queries.split_day(pk))
    form = forms.MakeBatch(
        request.POST or None,
        today=request.today,
        kinds=queries.kinds(),
        yards=yards().filter(is_active=True),
        lots=banked_lots(day.season_id),
        donors=queries.donors(day, request.today),
        initial={"made_on": min(day.on, request.today), "stands_at": day.yard_id},
    )
    if form.is_valid():
        values = form.cleaned_data
        try:
            batch = services.make_batch(
                split_day_id=pk,
                kind_id=values["kind"].pk,
                stands_at_id=values["stands_at"].pk,
                lot_id=values["lot"].pk if values["lot"] else None,
                size=values["size"],
                made_on=values["made_on"],
                queen_in_on=values["queen_in_on"],
                donations=form.donations,
                actor=request.user,
                once_key=values["once_key"],
            )
        except AlreadyDone as done:
            return already_done(request, done)
        except RuleBroken as refusal:
            refuse(form, refusal)
        else:
            messages.success(request, _("Batch %(number)s is made and numbered.") % {"number": batch.pk})
            return redirect("nucs:batch", batch.pk)
    context = {"form": form, "day": day, "kinds": queries.kinds(), "left": queries.frames_left(pk)}
    return render(request, "nucs/batch_make.html", context, status=status_of(form))


@require_safe
def batch_page(request: HttpRequest, pk: int) -> HttpResponse:
    batch = get_object_or_404(queries.batch_in_full(pk))
    nucs = list(queries.nucs_of_batch(pk))
    judged = queries.readiness_of([nuc for nuc in nucs if nuc.is_live], request.today)
    held = queries.held_yards(request.today)
    table = table_for(
        request,
        tables.BatchNucTable,
        nucs,
        per_page=None,
        today=request.today,
        held_yards=held,
        missing={nuc_pk: found.missing_words for nuc_pk, found in judged.items()},
    )
    context = {
        "batch": batch,
        "table": table,
        "hold": held.get(batch.stands_at_id, ""),
        "counts": _counts(batch, nucs),
        "panels": panels_for("batch", request, batch),
    }
    return render(request, "nucs/batch.html", context)


def _counts(batch: Batch, nucs: list[Nuc]) -> dict[str, Any]:
    states = [nuc.state for nuc in nucs]
    return {
        "live": sum(nuc.is_live for nuc in nucs),
        "laying": states.count(Nuc.State.LAYING),
        "failed": states.count(Nuc.State.FAILED),
        "handed_over": states.count(Nuc.State.HANDED_OVER),
        "lost": states.count(Nuc.State.LOST) + states.count(Nuc.State.UNITED),
    }


@require_http_methods(["GET", "POST"])
def introduce_queens(request: HttpRequest, pk: int) -> HttpResponse:
    batch = get_object_or_404(queries.batch_in_full(pk))
    lots = banked_lots(batch.season_id)
    form = forms.IntroduceQueens(request.POST or None, today=request.today, lots=lots, initial={"lot": batch.lot_id})
    if form.is_valid():
        try:
            services.introduce_queens(
                batch_id=pk,
                lot_id=form.cleaned_data["lot"].pk,
                queen_in_on=form.cleaned_data["queen_in_on"],
                actor=request.user,
            )
        except RuleBroken as refusal:
            refuse(form, refusal)
        else:
            messages.success(request, _("The queens are in."))
            return redirect("nucs:batch", pk)
    return form_page(
        request,
        form,
        heading=_("Queens into batch %(pk)s") % {"pk": pk},
        back=reverse("nucs:batch", args=[pk]),
        submit=_("Put them in"),
    )


@require_http_methods(["GET", "POST"])
def check_batch(request: HttpRequest, pk: int) -> HttpResponse:
    batch = get_object_or_404(queries.batch_in_full(pk))
    nucs = [nuc for nuc in queries.nucs_of_batch(pk) if nuc.is_live]
    heading = _("Check batch %(number)s") % {"number": pk}
    return check_sheet(request, batch, nucs, heading)


def check_sheet(request: HttpRequest, batch: Batch, nucs: list[Nuc], heading: str) -> HttpResponse:
    """The sheet on which a round of checks is written, for all nucs of a batch or for one."""
    sheet = forms.CheckSheet(request.POST or None, nucs=nucs, today=request.today)
    if sheet.is_bound and sheet.is_valid():
        values = sheet.head.cleaned_data
        try:
            checks = services.record_checks(
                on=values["on"], drafts=sheet.drafts, actor=request.user, once_key=values["once_key"]
            )
        except AlreadyDone as done:
            return already_done(request, done)
        except services.CheckRefused as refusal:
            sheet.refuse(refusal)
        else:
            messages.success(request, _("%(count)s checked.") % {"count": len(checks)})
            return redirect("nucs:batch", batch.pk)
    context = {"sheet": sheet, "batch": batch, "heading": heading}
    return render(request, "nucs/check_sheet.html", context, status=status_of(sheet))
