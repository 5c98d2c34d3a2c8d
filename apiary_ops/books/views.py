from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import already_done, status_of
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.kernel.refusals import RuleBroken

from . import compute, filters, forms, queries, services, tables


@require_safe
def journal(request: HttpRequest) -> HttpResponse:
    chosen = filters.JournalFilters(request.GET, queryset=queries.entries(), request=request)
    table = table_for(request, tables.JournalTable, chosen.qs, currency=request.business.currency)
    if wants_file(request):
        return table_file(request, table, "journal")
    context = {"table": table, "filters": chosen, "exports": export_links(request)}
    return render(request, "books/journal.html", context)


@require_safe
def entry_page(request: HttpRequest, pk: int) -> HttpResponse:
    entry = get_object_or_404(queries.entries_in_full(), pk=pk)
    totals = {"debit_cents": entry.moved_cents, "credit_cents": entry.moved_cents}
    table = tables.EntryLineTable(entry.lines.all(), request=request, totals=totals, currency=request.business.currency)
    return render(request, "books/entry.html", {"entry": entry, "table": table})


@require_http_methods(["GET", "POST"])
def write_entry(request: HttpRequest) -> HttpResponse:
    form = forms.WriteEntry(request.POST or None, initial={"posted_on": request.today, "season": request.season})
    rows = forms.EntryRowSet(
        request.POST or None,
        prefix="rows",
        form_kwargs={"currency": request.business.currency, "accounts": queries.account_choices(queries.accounts())},
    )
    if form.is_valid() & rows.is_valid():
        values = form.cleaned_data
        try:
            entry = services.post_by_hand(
                posted_on=values["posted_on"],
                season_id=values["season"].pk,
                memo=values["memo"],
                postings=rows.postings,
                actor=request.user,
                once_key=values["once_key"],
            )
        except AlreadyDone as done:
            return already_done(request, done)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The entry is posted."))
            return redirect("books:entry", entry.pk)
    elif form.is_bound and not rows.is_valid():
        form.add_error(None, _("Some rows need mending: it says what beside each."))
    return render(request, "books/write_entry.html", {"form": form, "rows": rows}, status=status_of(form))


@require_http_methods(["GET", "POST"])
def reverse_entry(request: HttpRequest, pk: int) -> HttpResponse:
    entry = get_object_or_404(queries.entries_in_full(), pk=pk)
    form = forms.ReverseEntry(request.POST or None, initial={"reversed_on": request.today})
    if form.is_valid():
        try:
            reversal = services.reverse_by_hand(entry_id=entry.pk, actor=request.user, **form.cleaned_data)
        except AlreadyDone as done:
            return already_done(request, done)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The entry is reversed."))
            return redirect("books:entry", reversal.pk)
    return render(request, "books/reverse_entry.html", {"form": form, "entry": entry}, status=status_of(form))


@require_safe
def account_list(request: HttpRequest) -> HttpResponse:
    chosen = filters.TrialFilters(request.GET, queryset=queries.lines(), request=request)
    rows = queries.trial_balance_of(chosen.qs)
    debits, credits = compute.sides(row.cents for row in rows)
    table = table_for(
        request,
        tables.TrialTable,
        rows,
        per_page=None,
        currency=request.business.currency,
        totals={"debit_cents": debits, "credit_cents": credits},
        exclude=[] if any(row.is_below_zero for row in rows) else ["side_word"],
    )
    if wants_file(request):
        return table_file(request, table, "trial-balance")
    context = {"table": table, "filters": chosen, "exports": export_links(request)}
    return render(request, "books/account_list.html", context | {"is_balanced": debits == credits})


@require_safe
def account_page(request: HttpRequest, key: str) -> HttpResponse:
    account = get_object_or_404(queries.accounts(), key=key)
    currency = request.business.currency
    chosen = filters.AccountFilters(request.GET, queryset=queries.lines(account_keys=[key]), request=request)
    if wants_file(request):
        every = queries.with_running_balance(chosen.qs, account)
        return table_file(request, tables.AccountLineTable(every, request=request, currency=currency), key)
    table = table_for(request, tables.AccountLineTable, queries.newest_first(chosen.qs), currency=currency)
    queries.set_running_balances(table.records, chosen.qs, account)
    subjects = table_for(
        request, tables.SubjectTable, queries.open_subjects(account), per_page=20, prefix="for-", currency=currency
    )
    context = {
        "account": account,
        "balance": queries.TrialRow(account, queries.total(chosen.qs)),
        "table": table,
        "subjects": subjects,
        "filters": chosen,
        "exports": export_links(request),
    }
    return render(request, "books/account.html", context)


@require_safe
def period_list(request: HttpRequest) -> HttpResponse:
    acts = [] if request.user.role == "owner" else ["lock_act", "close_act"]
    context = {
        "periods": table_for(request, tables.PeriodTable, queries.periods_with_counts(), exclude=acts),
        "years": tables.FiscalYearTable(queries.fiscal_years(), request=request, exclude=acts),
    }
    return render(request, "books/period_list.html", context)


@require_http_methods(["GET", "POST"])
def open_year(request: HttpRequest) -> HttpResponse:
    form = forms.OpenYear(request.POST or None)
    if form.is_valid():
        try:
            services.open_fiscal_year(actor=request.user, **form.cleaned_data)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The fiscal year is open: it has twelve periods."))
            return redirect("books:periods")
    return render(request, "books/open_year.html", {"form": form}, status=status_of(form))


@require_http_methods(["GET", "POST"])
def lock_period(request: HttpRequest, pk: int) -> HttpResponse:
    period = get_object_or_404(queries.periods_with_counts(), pk=pk)
    if request.method == "POST":
        try:
            services.lock_period(period_id=period.pk, actor=request.user, at=request.now)
        except RuleBroken as refusal:
            messages.error(request, str(refusal))
        else:
            messages.success(request, _("%(period)s is locked.") % {"period": period})
        return redirect("books:periods")
    context = {
        "heading": _("Lock %(period)s") % {"period": period},
        "question": _("Lock %(period)s with what is posted in it?") % {"period": period},
        "consequences": [
            _("%(count)s entries are posted in it; they stay.") % {"count": period.entry_count},
            _("Nothing more is posted into it: no bill, deposit, invoice or reversal with a day in this month."),
            _("A mistake found later is reversed on a day of an open period."),
        ],
        "submit_label": _("Lock it"),
    }
    return render(request, "books/confirm.html", context)


@require_http_methods(["GET", "POST"])
def close_year(request: HttpRequest, year: int) -> HttpResponse:
    if request.method == "POST":
        try:
            services.close_fiscal_year(year=year, actor=request.user)
        except RuleBroken as refusal:
            messages.error(request, str(refusal))
        else:
            messages.success(request, _("The fiscal year %(year)s is closed.") % {"year": year})
        return redirect("books:periods")
    context = {
        "heading": _("Close the fiscal year %(year)s") % {"year": year},
        "question": _("Bring income, expense and drawings of %(year)s to zero?") % {"year": year},
        "consequences": [
            _("Up to three entries are posted on its last day; the result goes to retained earnings."),
            _("What buyers have paid ahead stays a debt to them and is carried into the next year."),
            _("Post everything of the year first, and lock its last period afterwards."),
        ],
        "submit_label": _("Close it"),
        "can_undo": True,  # by reversing the closing entries
    }
    return render(request, "books/confirm.html", context)
