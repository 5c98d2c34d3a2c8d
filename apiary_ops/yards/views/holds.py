from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import already_done, form_page
from apiary_ops.core.history import history_rows
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.access import may_open
from apiary_ops.yards import forms, queries, services, tables


@require_safe
def hold_list(request: HttpRequest) -> HttpResponse:
    hidden = () if may_open(request.user.role, "yards:hold-lift") else ("lift",)
    table = table_for(request, tables.HoldTable, queries.holds(), exclude=hidden)
    if wants_file(request):
        return table_file(request, table, "holds")
    return render(request, "yards/hold_list.html", {"table": table, "exports": export_links(request)})


@require_http_methods(["GET", "POST"])
def place_hold(request: HttpRequest, code: str) -> HttpResponse:
    yard = get_object_or_404(queries.yard_by_code(code))
    initial = {"starts_on": request.today, "colony": request.GET.get("colony", "")}
    form = forms.PlaceHold(request.POST or None, yard_id=yard.pk, initial=initial)
    back = reverse("yards:detail", args=[yard.code])
    if form.is_valid():
        values = dict(form.cleaned_data)
        colony = values.pop("colony")
        try:
            services.place_hold(yard_id=yard.pk, colony_id=colony.pk if colony else None, actor=request.user, **values)
        except AlreadyDone as done:
            return already_done(request, done, back)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            held = colony or yard
            messages.success(request, _("%(held)s is on hold. Nothing leaves until the hold ends.") % {"held": held})
            return redirect(back)
    heading = _("Put %(yard)s on hold") % {"yard": yard}
    caution = _(
        "Nothing moves from here until the hold ends, and the nucs it feeds are not promised. Ask the inspector."
    )
    return form_page(request, form, heading=heading, back=back, submit=_("Put on hold"), caution=caution)


@require_http_methods(["GET", "POST"])
def lift_hold(request: HttpRequest, pk: int) -> HttpResponse:
    hold = get_object_or_404(queries.hold(pk))
    form = forms.LiftHold(request.POST or None, initial={"on": request.today})
    if form.is_valid():
        try:
            services.lift_hold(hold_id=hold.pk, actor=request.user, **form.cleaned_data)
        except services.HoldEndsTooEarly as refusal:
            form.add_error("on", str(refusal))
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The hold on %(held)s ended.") % {"held": hold.colony or hold.yard})
            return redirect("yards:hold-list")
    return form_page(
        request,
        form,
        heading=_("End the hold on %(held)s") % {"held": hold.colony or hold.yard},
        back=reverse("yards:hold-list"),
        submit=_("End the hold"),
        caution=_("Held because: %(reason)s. End it only when the inspector agrees; a hold that ended stays ended.")
        % {"reason": hold.reason},
        danger=True,
        history=history_rows(hold),
    )
