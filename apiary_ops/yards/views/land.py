from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import already_done, form_page, status_of
from apiary_ops.core.history import history_rows
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.yards import compute, forms, queries, services, tables

REFUSED_AT = {
    services.CertificateTwice: "number",
    services.FutureDay: "issued_on",
}


@require_http_methods(["GET", "POST"])
def add_no_go(request: HttpRequest, code: str) -> HttpResponse:
    yard = get_object_or_404(queries.yard_by_code(code))
    back = reverse("yards:detail", args=[yard.code])
    form = forms.AddNoGo(request.POST or None)
    if form.is_valid():
        try:
            services.add_no_go(yard_id=yard.pk, actor=request.user, **form.cleaned_data)
        except AlreadyDone as done:
            return already_done(request, done, back)
        except services.EndsBeforeStart as refusal:
            form.add_error("ends_on", str(refusal))
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("Saved. Who starts a visit on those days is warned."))
            return redirect(back)
    heading = _("Days to stay away from %(yard)s") % {"yard": yard}
    return form_page(request, form, heading=heading, back=back, submit=_("Save"))


@require_http_methods(["GET", "POST"])
def remove_no_go(request: HttpRequest, pk: int) -> HttpResponse:
    no_go = get_object_or_404(queries.no_go(pk))
    if request.method == "POST":
        services.remove_no_go(no_go_id=no_go.pk, actor=request.user)
        messages.success(request, _("The days are taken back: the yard may be visited."))
        return redirect("yards:detail", no_go.yard.code)
    days = queries.days_away(no_go, request.today).days
    context = {"no_go": no_go, "days": days, "history": history_rows(no_go)}
    return render(request, "yards/no_go_remove.html", context)


@require_safe
def certificate_list(request: HttpRequest) -> HttpResponse:
    table = table_for(request, tables.CertificateTable, queries.yard_certificates(request.today))
    if wants_file(request):
        return table_file(request, table, "certificates")
    return render(request, "yards/certificate_list.html", {"table": table, "exports": export_links(request)})


@require_http_methods(["GET", "POST"])
def record_certificate(request: HttpRequest, code: str) -> HttpResponse:
    yard = get_object_or_404(queries.yard_by_code(code))
    back = reverse("yards:detail", args=[yard.code])
    initial = {"inspector": request.business.inspector}
    form = forms.RecordCertificate(request.POST or None, initial=initial)
    if form.is_valid():
        try:
            services.record_certificate(yard_id=yard.pk, today=request.today, actor=request.user, **form.cleaned_data)
        except AlreadyDone as done:
            return already_done(request, done, back)
        except RuleBroken as refusal:
            form.add_error(REFUSED_AT.get(type(refusal), "expires_on"), str(refusal))
        else:
            messages.success(request, _("The certificate is recorded."))
            return redirect(back)
    heading = _("Certificate of %(yard)s") % {"yard": yard}
    return form_page(request, form, heading=heading, back=back, submit=_("Save"))


@require_http_methods(["GET", "POST"])
def correct_certificate(request: HttpRequest, pk: int) -> HttpResponse:
    certificate = get_object_or_404(queries.certificate(pk))
    back = reverse("yards:detail", args=[certificate.yard.code])
    initial = {name: getattr(certificate, name) for name in forms.CertificateFacts.base_fields}
    form = forms.CertificateFacts(request.POST or None, initial=initial)
    if form.is_valid():
        try:
            services.correct_certificate(
                certificate_id=pk, today=request.today, actor=request.user, **form.cleaned_data
            )
        except RuleBroken as refusal:
            form.add_error(REFUSED_AT.get(type(refusal), "expires_on"), str(refusal))
        else:
            messages.success(request, _("Saved."))
            return redirect(back)
    return form_page(
        request,
        form,
        heading=_("Correct certificate %(number)s") % {"number": certificate},
        note=_("For a slip of the pen. Record a new certificate beside this one instead."),
        back=back,
        submit=_("Save"),
        history=history_rows(certificate),
    )


@require_http_methods(["GET", "POST"])
def check_fence(request: HttpRequest, code: str) -> HttpResponse:
    yard = get_object_or_404(queries.yard_by_code(code))
    back = reverse("yards:detail", args=[yard.code])
    form = forms.CheckFence(request.POST or None, initial={"on": request.today})
    if form.is_valid():
        values = form.cleaned_data
        try:
            services.check_fence(
                yard_id=yard.pk,
                on=values["on"],
                walk=form.walk,
                note=values["note"],
                today=request.today,
                actor=request.user,
                once_key=values["once_key"],
            )
        except AlreadyDone as done:
            return already_done(request, done, back)
        except services.FutureDay as refusal:
            form.add_error("on", str(refusal))
        else:
            messages.success(request, _("The walk round the fence is recorded."))
            return redirect(back)
    context = {
        "form": form,
        "heading": _("Check the fence at %(yard)s") % {"yard": yard},
        "note": _wires(request),
        "caution": _(
            "A fence gives at most 10,000 volts and 5 joules a pulse, a second or more apart, with a yellow sign at "
            "least every 100 m; local law may ask for more. Switch it off before you mend it."
        ),
        "back": back,
        "submit": _("Save"),
        "walks": queries.fence_walks(yard),
    }
    return render(request, "yards/fence_check.html", context, status=status_of(form))


def _wires(request: HttpRequest) -> str:
    """How high the wires run, in the measure people here use."""
    if request.business.distance_unit == "mi":
        heights, unit = compute.wire_heights_inches(), _("inches")
    else:
        heights, unit = compute.wire_heights_cm(), _("cm")
    *lower, top = [str(height) for height in heights]
    return _("Six wires, at %(lower)s and %(top)s %(unit)s. Tick only what you saw to be in order.") % {
        "lower": ", ".join(lower),
        "top": top,
        "unit": unit,
    }
