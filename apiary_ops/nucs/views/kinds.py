from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import form_page
from apiary_ops.core.history import history_rows
from apiary_ops.core.tables import table_for
from apiary_ops.core.versions import StaleRecord
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.nucs import forms, queries, services, tables
from apiary_ops.people.access import may_open

from .answers import refuse


@require_safe
def kind_list(request: HttpRequest) -> HttpResponse:
    table_class = tables.KindTable
    if may_open(request.user.role, "nucs:kind-edit"):
        table_class = tables.EditableKindTable
    table = table_for(request, table_class, queries.kinds())
    return render(request, "nucs/kind_list.html", {"table": table})


@require_http_methods(["GET", "POST"])
def add_kind(request: HttpRequest) -> HttpResponse:
    form = forms.AddKind(request.POST or None)
    if form.is_valid():
        try:
            kind = services.add_kind(actor=request.user, **form.cleaned_data)
        except RuleBroken as refusal:
            refuse(form, refusal)
        else:
            messages.success(request, _("%(kind)s is added.") % {"kind": kind})
            return redirect("nucs:kind-list")
    return form_page(request, form, heading=_("Add a kind of nuc"), back=reverse("nucs:kind-list"), submit=_("Add"))


@require_http_methods(["GET", "POST"])
def edit_kind(request: HttpRequest, code: str) -> HttpResponse:
    kind = get_object_or_404(queries.kind(code))
    initial = {name: getattr(kind, name) for name in (*forms.KIND_FIELDS, "version")}
    form = forms.EditKind(request.POST or None, initial=initial)
    if form.is_valid():
        changes = {name: form.cleaned_data[name] for name in forms.KIND_FIELDS}
        try:
            services.edit_kind(
                kind_id=kind.pk, version=form.cleaned_data["version"], changes=changes, actor=request.user
            )
        except StaleRecord as refusal:
            form.show_stale(refusal)
        except RuleBroken as refusal:
            refuse(form, refusal)
        else:
            messages.success(request, _("Saved; the nucs in hand are judged by it."))
            return redirect("nucs:kind-list")
    return form_page(
        request, form, heading=kind.name, back=reverse("nucs:kind-list"), submit=_("Save"), history=history_rows(kind)
    )
