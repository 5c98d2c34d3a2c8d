from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import form_page
from apiary_ops.core.versions import StaleRecord
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.nucs import queries as nuc_queries
from apiary_ops.orders import forms, queries, services, tables
from apiary_ops.people.access import may_open

ROUND_FIELDS = ("name", "starts_on", "ends_before")


@require_safe
def rounds_and_prices(request: HttpRequest) -> HttpResponse:
    currency = request.business.currency
    may_edit = may_open(request.user.role, "orders:round-edit")
    round_table = tables.EditableRoundTable if may_edit else tables.RoundTable
    context = {
        "rounds": round_table(queries.rounds(request.season.pk), request=request),
        "prices": tables.PriceTable(queries.prices(request.season.pk), request=request, currency=currency),
    }
    return render(request, "orders/rounds.html", context)


@require_http_methods(["GET", "POST"])
def open_round(request: HttpRequest) -> HttpResponse:
    form = forms.RoundFields(request.POST or None)
    if form.is_valid():
        try:
            services.open_round(season_id=request.season.pk, actor=request.user, **form.cleaned_data)
        except RuleBroken as refusal:
            form.add_error(_field_of(refusal), str(refusal))
        else:
            messages.success(request, _("The round is open."))
            return redirect("orders:rounds")
    return form_page(request, form, heading=_("Open a round"), back=reverse("orders:rounds"), submit=_("Save"))


@require_http_methods(["GET", "POST"])
def edit_round(request: HttpRequest, pk: int) -> HttpResponse:
    round_ = get_object_or_404(queries.rounds(request.season.pk), pk=pk)
    form = forms.EditRound(
        request.POST or None, initial={name: getattr(round_, name) for name in (*ROUND_FIELDS, "version")}
    )
    if form.is_valid():
        changes = {name: form.cleaned_data[name] for name in ROUND_FIELDS}
        version = form.cleaned_data["version"]
        try:
            services.edit_round(round_id=round_.pk, version=version, changes=changes, actor=request.user)
        except StaleRecord as refusal:
            form.show_stale(refusal)
        except RuleBroken as refusal:
            form.add_error(_field_of(refusal), str(refusal))
        else:
            messages.success(request, _("Saved."))
            return redirect("orders:rounds")
    return form_page(
        request,
        form,
        heading=_("Change %(round)s") % {"round": round_},
        back=reverse("orders:rounds"),
        submit=_("Save"),
    )


def _field_of(refusal: RuleBroken) -> str:
    return "name" if isinstance(refusal, services.RoundExists) else "starts_on"


@require_http_methods(["GET", "POST"])
def set_price(request: HttpRequest) -> HttpResponse:
    form = forms.SetPrice(
        request.POST or None,
        initial={"valid_from": request.today},
        currency=request.business.currency,
        kinds=nuc_queries.kinds(),
    )
    if form.is_valid():
        values = form.cleaned_data
        services.set_price(
            season_id=request.season.pk,
            kind_id=values["kind"].pk,
            tier=values["tier"],
            cents=values["price"].cents,
            valid_from=values["valid_from"],
            tax_category_id=values["tax_category"].pk,
            actor=request.user,
        )
        messages.success(request, _("The price holds from that day on; orders already taken keep theirs."))
        return redirect("orders:rounds")
    caution = ""
    if not form.fields["tax_category"].queryset.exists():
        caution = _("No tax category is written down yet. The owner adds one under Settings; then set the price.")
    return form_page(
        request, form, heading=_("Set a price"), back=reverse("orders:rounds"), submit=_("Save"), caution=caution
    )
