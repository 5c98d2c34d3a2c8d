from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import status_of
from apiary_ops.core.history import history_rows
from apiary_ops.core.panels import panels_for
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.core.versions import StaleRecord
from apiary_ops.orders import filters, forms, queries, services, tables
from apiary_ops.orders.models import Buyer


@require_safe
def buyer_list(request: HttpRequest) -> HttpResponse:
    chosen = filters.BuyerFilters(request.GET, queryset=queries.buyers_in(request.season.pk), request=request)
    table = table_for(request, tables.BuyerTable, chosen.qs)
    if wants_file(request):
        return table_file(request, table, "buyers")
    is_empty = not table.paginator.count and not chosen.clear_url
    context = {"table": table, "filters": chosen, "exports": export_links(request), "is_empty": is_empty}
    return render(request, "orders/buyer_list.html", context)


@require_safe
def buyer_page(request: HttpRequest, pk: int) -> HttpResponse:
    buyer = get_object_or_404(queries.buyers(), pk=pk)
    orders = queries.orders_of_buyer(buyer)
    context = {
        "buyer": buyer,
        "table": table_for(request, tables.BuyerOrderTable, orders, currency=request.business.currency),
        "duplicates": queries.likely_duplicates(
            name=buyer.name, phone=buyer.phone, email=buyer.email, except_id=buyer.pk
        ),
        "panels": panels_for("buyer", request, buyer),
        "history": history_rows(buyer),
    }
    return render(request, "orders/buyer.html", context)


@require_http_methods(["GET", "POST"])
def add_buyer(request: HttpRequest) -> HttpResponse:
    form = forms.AddBuyer(request.POST or None)
    duplicates: list[Buyer] = []
    if form.is_valid():
        fields = form.fields_of_buyer
        duplicates = queries.likely_duplicates(name=fields["name"], phone=fields["phone"], email=fields["email"])
        if not form.unseen(duplicates):
            buyer = services.add_buyer(actor=request.user, **fields)
            messages.success(request, _("%(name)s is written down.") % {"name": buyer})
            return redirect("orders:buyer", buyer.pk)
    context = {"form": form, "duplicates": duplicates}
    return render(request, "orders/add_buyer.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
def edit_buyer(request: HttpRequest, pk: int) -> HttpResponse:
    buyer = get_object_or_404(queries.buyers(), pk=pk)
    names = (*forms.BUYER_FIELDS, "version")
    form = forms.EditBuyer(request.POST or None, initial={name: getattr(buyer, name) for name in names})
    if form.is_valid():
        changes = {name: form.cleaned_data[name] for name in forms.BUYER_FIELDS}
        version = form.cleaned_data["version"]
        try:
            services.edit_buyer(buyer_id=buyer.pk, version=version, changes=changes, actor=request.user)
        except StaleRecord as refusal:
            form.show_stale(refusal)
        else:
            messages.success(request, _("Saved."))
            return redirect("orders:buyer", buyer.pk)
    context = {"form": form, "buyer": buyer}
    return render(request, "orders/edit_buyer.html", context, status=status_of(form))
