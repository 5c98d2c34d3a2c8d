from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import form_page
from apiary_ops.core.history import history_rows
from apiary_ops.core.tables import table_for
from apiary_ops.core.versions import StaleRecord
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.access import may_open

from . import forms, queries, services, tables
from .middleware import SEASON_KEY


@require_safe
def settings_page(request: HttpRequest) -> HttpResponse:
    business = queries.business()
    context = {
        "business": business,
        "terms": tables.TermsTable(queries.all_terms(), currency=business.currency),
        "rates": tables.TaxRateTable(queries.tax_rates()),
        "has_categories": queries.tax_categories().exists(),
        "history": history_rows(business),
    }
    return render(request, "business/settings.html", context)


@require_http_methods(["GET", "POST"])
def edit_settings(request: HttpRequest) -> HttpResponse:
    business = queries.business()
    initial = {name: getattr(business, name) for name in (*forms.SETTINGS_FIELDS, "version")}
    form = forms.Settings(request.POST or None, initial=initial)
    if form.is_valid():
        changes = {name: form.cleaned_data[name] for name in forms.SETTINGS_FIELDS}
        try:
            services.edit_business(version=form.cleaned_data["version"], changes=changes, actor=request.user)
        except StaleRecord as refusal:
            form.show_stale(refusal)
        else:
            messages.success(request, _("The settings are saved."))
            return redirect("business:settings")
    return form_page(request, form, heading=_("Settings"), back=reverse("business:settings"), submit=_("Save"))


@require_http_methods(["GET", "POST"])
def state_terms(request: HttpRequest) -> HttpResponse:
    form = forms.StateTerms(request.POST or None, currency=queries.business().currency)
    if form.is_valid():
        day = form.cleaned_data["refund_until"]
        try:
            services.state_terms(
                valid_from=form.cleaned_data["valid_from"],
                deposit_cents_per_nuc=form.cleaned_data["deposit_per_nuc"].cents,
                due_days=form.cleaned_data["due_days"],
                refund_until=(day.month, min(day.day, 28)),
                text=form.cleaned_data["text"],
            )
        except RuleBroken as refusal:
            form.add_error("valid_from", str(refusal))
        else:
            messages.success(request, _("The terms are stated; orders placed from that day on keep them."))
            return redirect("business:settings")
    return form_page(
        request, form, heading=_("State new deposit terms"), back=reverse("business:settings"), submit=_("Save")
    )


@require_http_methods(["GET", "POST"])
def add_tax_category(request: HttpRequest) -> HttpResponse:
    form = forms.AddTaxCategory(request.POST or None, initial={"valid_from": request.today})
    if form.is_valid():
        try:
            category = services.add_tax_category(
                code=slugify(form.cleaned_data["name"])[:30] or "tax", **form.cleaned_data
            )
        except RuleBroken as refusal:
            form.add_error("name", str(refusal))
        else:
            messages.success(request, _("%(category)s is added.") % {"category": category})
            return redirect("business:settings")
    return form_page(
        request, form, heading=_("Add a tax category"), back=reverse("business:settings"), submit=_("Save")
    )


@require_http_methods(["GET", "POST"])
def add_tax_rate(request: HttpRequest) -> HttpResponse:
    form = forms.AddTaxRate(request.POST or None, categories=queries.tax_categories())
    if form.is_valid():
        try:
            services.add_tax_rate(
                category_id=form.cleaned_data["category"].pk,
                percent=form.cleaned_data["percent"],
                valid_from=form.cleaned_data["valid_from"],
            )
        except RuleBroken as refusal:
            form.add_error("valid_from", str(refusal))
        else:
            messages.success(request, _("The rate holds from that day on."))
            return redirect("business:settings")
    return form_page(request, form, heading=_("Add a tax rate"), back=reverse("business:settings"), submit=_("Save"))


@require_safe
def season_list(request: HttpRequest) -> HttpResponse:
    may_edit = may_open(request.user.role, "business:season-edit")
    table_class = tables.EditableSeasonTable if may_edit else tables.SeasonTable
    table = table_for(request, table_class, queries.seasons())
    return render(request, "business/season_list.html", {"table": table})


@require_http_methods(["GET", "POST"])
def open_season(request: HttpRequest) -> HttpResponse:
    form = forms.OpenSeason(request.POST or None)
    if form.is_valid():
        try:
            season = services.open_season(actor=request.user, **form.cleaned_data)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The season %(season)s is open.") % {"season": season})
            return redirect("business:season-list")
    return form_page(request, form, heading=_("Open a season"), back=reverse("business:season-list"), submit=_("Save"))


@require_http_methods(["GET", "POST"])
def edit_season(request: HttpRequest, year: int) -> HttpResponse:
    season = get_object_or_404(queries.seasons(), year=year)
    names = ("starts_on", "ends_before", "version")
    form = forms.EditSeason(request.POST or None, initial={name: getattr(season, name) for name in names})
    if form.is_valid():
        values = dict(form.cleaned_data)
        try:
            services.edit_season(season_id=season.pk, version=values.pop("version"), changes=values, actor=request.user)
        except StaleRecord as refusal:
            form.show_stale(refusal)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("Saved."))
            return redirect("business:season-list")
    heading = _("Season %(season)s") % {"season": season}
    return form_page(
        request,
        form,
        heading=heading,
        back=reverse("business:season-list"),
        submit=_("Save"),
        history=history_rows(season),
    )


@require_safe
def choose_season(request: HttpRequest, year: int) -> HttpResponse:
    """Work in another season from now on, and go back to where the user was."""
    season = get_object_or_404(queries.seasons(), year=year)
    request.session[SEASON_KEY] = season.year
    back = request.META.get("HTTP_REFERER", "")
    safe = url_has_allowed_host_and_scheme(back, {request.get_host()}, require_https=request.is_secure())
    return redirect(back if safe else settings.LOGIN_REDIRECT_URL)
