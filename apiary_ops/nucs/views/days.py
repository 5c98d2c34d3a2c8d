from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import form_page
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.nucs import forms, queries, services, tables
from apiary_ops.yards.queries import yards

from .answers import refuse


@require_safe
def split_day_list(request: HttpRequest) -> HttpResponse:
    table = table_for(request, tables.SplitDayTable, queries.split_days(request.season.pk))
    if wants_file(request):
        return table_file(request, table, "split-days")
    return render(request, "nucs/split_day_list.html", {"table": table, "exports": export_links(request)})


@require_http_methods(["GET", "POST"])
def plan_split_day(request: HttpRequest) -> HttpResponse:
    form = forms.PlanSplitDay(request.POST or None, yards=yards().filter(is_active=True))
    if form.is_valid():
        try:
            day = services.plan_split_day(
                season_id=request.season.pk,
                yard_id=form.cleaned_data["yard"].pk,
                on=form.cleaned_data["on"],
                actor=request.user,
            )
        except RuleBroken as refusal:
            refuse(form, refusal)
        else:
            messages.success(request, _("The split day is planned."))
            return redirect("nucs:split-day", day.pk)
    return form_page(
        request, form, heading=_("Plan a split day"), back=reverse("nucs:split-day-list"), submit=_("Plan it")
    )


@require_safe
def split_day_page(request: HttpRequest, pk: int) -> HttpResponse:
    day = get_object_or_404(queries.split_day(pk))
    context = {
        "day": day,
        "hold": queries.held_yards(max(day.on, request.today)).get(day.yard_id, ""),
        "donations": tables.DonationTable(queries.donations_of(pk), orderable=False),
        "batches": tables.BatchTable(queries.batches_of(pk), orderable=False),
        "given": queries.given_on(pk),
        "left": queries.frames_left(pk),
    }
    return render(request, "nucs/split_day.html", context)
