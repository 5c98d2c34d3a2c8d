from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import form_page, status_of
from apiary_ops.core.history import history_rows
from apiary_ops.core.panels import panels_for
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.nucs import filters, forms, queries, services, tables
from apiary_ops.queens.queries import banked_lots

from .answers import refuse
from .batches import check_sheet


@require_safe
def nuc_list(request: HttpRequest) -> HttpResponse:
    season, today = request.season, request.today
    chosen = filters.NucFilters(request.GET, queryset=queries.nucs(season.pk), request=request)
    table = table_for(request, tables.NucTable, chosen.qs, today=today, held_yards=queries.held_yards(today))
    if wants_file(request):
        return table_file(request, table, f"nucs-{season}")
    counts = queries.state_counts(season.pk)
    context = {
        "table": table,
        "filters": chosen,
        "exports": export_links(request),
        "counts": counts,
        "handed_over": counts["handed over"],
        "ready": queries.ready_nucs(season.pk, on=today).count(),
    }
    return render(request, "nucs/nuc_list.html", context)


@require_safe
def nuc_page(request: HttpRequest, pk: int) -> HttpResponse:
    nuc = get_object_or_404(queries.nuc_in_full(pk))
    held = queries.held_yards(request.today)
    context = {
        "nuc": nuc,
        "readiness": queries.readiness(nuc, request.today) if nuc.is_live else None,
        "standing": queries.standing(nuc, request.today, held),
        "hold": nuc.hold_reason or held.get(nuc.yard_id, ""),
        "checks": tables.CheckTable(queries.checks_of(nuc)),
        "history": history_rows(nuc, currency=request.business.currency if request.user.sees_prices else ""),
        "panels": panels_for("nuc", request, nuc),
    }
    return render(request, "nucs/nuc.html", context)


@require_http_methods(["GET", "POST"])
def check_nuc(request: HttpRequest, pk: int) -> HttpResponse:
    nuc = get_object_or_404(queries.nuc_in_full(pk))
    return check_sheet(request, nuc.batch, [nuc], _("Check nuc %(number)s") % {"number": nuc.number})


@require_http_methods(["GET", "POST"])
def requeen(request: HttpRequest, pk: int) -> HttpResponse:
    nuc = get_object_or_404(queries.nuc_in_full(pk))
    form = forms.Requeen(request.POST or None, today=request.today, lots=banked_lots(nuc.season_id))
    if form.is_valid():
        try:
            services.requeen(
                nuc_id=pk, lot_id=form.cleaned_data["lot"].pk, on=form.cleaned_data["on"], actor=request.user
            )
        except RuleBroken as refusal:
            refuse(form, refusal)
        else:
            messages.success(request, _("Nuc %(number)s has a new queen.") % {"number": nuc.number})
            return redirect("nucs:nuc", pk)
    return form_page(
        request,
        form,
        heading=_("Requeen nuc %(number)s") % {"number": nuc.number},
        back=reverse("nucs:nuc", args=[pk]),
        submit=_("Requeen"),
    )


@require_http_methods(["GET", "POST"])
def end_nuc(request: HttpRequest, pk: int) -> HttpResponse:
    nuc = get_object_or_404(queries.nuc_in_full(pk))
    form = forms.EndNuc(request.POST or None, today=request.today)
    if form.is_valid():
        try:
            services.end_nuc(nuc_id=pk, actor=request.user, **form.cleaned_data)
        except RuleBroken as refusal:
            refuse(form, refusal)
        else:
            messages.success(request, _("Recorded what became of nuc %(number)s.") % {"number": nuc.number})
            return redirect("nucs:nuc", pk)
    return render(request, "nucs/nuc_end.html", {"form": form, "nuc": nuc}, status=status_of(form))


@require_http_methods(["GET", "POST"])
def hold_nuc(request: HttpRequest, pk: int) -> HttpResponse:
    nuc = get_object_or_404(queries.nuc_in_full(pk))
    form = forms.HoldNuc(request.POST or None)
    if form.is_valid():
        try:
            services.hold_nuc(nuc_id=pk, actor=request.user, **form.cleaned_data)
        except RuleBroken as refusal:
            refuse(form, refusal)
        else:
            messages.success(request, _("Nuc %(number)s is on hold.") % {"number": nuc.number})
            return redirect("nucs:nuc", pk)
    return form_page(
        request,
        form,
        heading=_("Hold nuc %(number)s") % {"number": nuc.number},
        back=reverse("nucs:nuc", args=[pk]),
        submit=_("Hold it"),
    )


@require_http_methods(["GET", "POST"])
def release_nuc(request: HttpRequest, pk: int) -> HttpResponse:
    nuc = get_object_or_404(queries.nuc_in_full(pk))
    if request.method == "POST":
        try:
            services.release_nuc(nuc_id=pk, actor=request.user)
        except RuleBroken as refusal:
            messages.error(request, str(refusal))
        else:
            messages.success(request, _("Nuc %(number)s is free again.") % {"number": nuc.number})
        return redirect("nucs:nuc", pk)
    return render(request, "nucs/nuc_release.html", {"nuc": nuc})
