from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from apiary_ops.billing import filters, queries, tables
from apiary_ops.books import queries as books
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file


@require_safe
def money_in(request: HttpRequest) -> HttpResponse:
    """Who owes what, beside the account of what buyers owe."""
    season_id = request.season.pk
    owed = queries.owed_total(season_id)
    table = table_for(
        request,
        tables.OwesTable,
        queries.who_owes(season_id),
        currency=request.business.currency,
        totals={"owed": owed},
    )
    if wants_file(request):
        return table_file(request, table, f"owed-{request.season}")
    context = {
        "table": table,
        "exports": export_links(request),
        "owed": owed,
        "account": books.balance("receivable", season_id=season_id),
        "held": queries.deposits_held_total(season_id),
        "received": queries.received_total(season_id),
        "invoiced": queries.invoiced_total(season_id),
    }
    return render(request, "billing/money_in.html", context)


@require_safe
def deposits_held(request: HttpRequest) -> HttpResponse:
    """Every deposit held, beside the liability account."""
    season_id = request.season.pk
    held = queries.deposits_held_total(season_id)
    table = table_for(
        request,
        tables.HeldTable,
        queries.deposits_held(season_id),
        currency=request.business.currency,
        totals={"held": held},
    )
    if wants_file(request):
        return table_file(request, table, f"deposits-held-{request.season}")
    account = -books.balance("deposits-held", season_id=season_id)
    context = {"table": table, "exports": export_links(request), "held": held, "account": account}
    return render(request, "billing/deposits_held.html", context)


@require_safe
def invoice_list(request: HttpRequest) -> HttpResponse:
    chosen = filters.InvoiceFilters(request.GET, queryset=queries.invoices(request.season.pk), request=request)
    table = table_for(
        request,
        tables.InvoiceTable,
        chosen.qs,
        currency=request.business.currency,
        totals=queries.invoice_sums(chosen.qs),
    )
    if wants_file(request):
        return table_file(request, table, f"invoices-{request.season}")
    context = {"table": table, "filters": chosen, "exports": export_links(request)}
    return render(request, "billing/invoice_list.html", context)


@require_safe
def receipt_list(request: HttpRequest) -> HttpResponse:
    chosen = filters.ReceiptFilters(request.GET, queryset=queries.receipts(request.season.pk), request=request)
    table = table_for(
        request,
        tables.ReceiptTable,
        chosen.qs,
        currency=request.business.currency,
        totals=queries.receipt_sums(chosen.qs),
    )
    if wants_file(request):
        return table_file(request, table, f"receipts-{request.season}")
    context = {"table": table, "filters": chosen, "exports": export_links(request)}
    return render(request, "billing/receipt_list.html", context)
