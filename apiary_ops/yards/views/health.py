from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import already_done, form_page
from apiary_ops.core.history import history_rows
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.yards import forms, queries, services, tables
from apiary_ops.yards.compute import MITE_SOURCE
from apiary_ops.yards.models import BroodCheck, Yard

from .pages import measures

LATEST = 20  # washes and brood checks on screen; their files hold them all


@require_safe
def health_page(request: HttpRequest) -> HttpResponse:
    rows = queries.treatment_rows(queries.treatments_of_season(request.season), request.today)
    treatments = table_for(request, tables.TreatmentTable, rows)
    washes, checks = queries.washes(request.season.pk), queries.brood_checks(request.season.pk)
    if wants_file(request):
        name = request.GET.get("of")
        if name == "washes":
            return table_file(request, tables.WashTable(queries.wash_rows(washes), request=request), name)
        if name == "brood-checks":
            return table_file(request, tables.BroodCheckTable(checks, request=request), name)
        return table_file(request, treatments, "treatments")
    context = {
        "treatments": treatments,
        "exports": export_links(request),
        "washes": tables.WashTable(queries.wash_rows(washes[:LATEST]), request=request, orderable=False),
        "wash_files": export_links(request, of="washes"),
        "checks": tables.BroodCheckTable(checks[:LATEST], request=request, orderable=False),
        "check_files": export_links(request, of="brood-checks"),
        "mite_source": MITE_SOURCE,
    }
    return render(request, "yards/health.html", context)


@require_safe
def requeen_list(request: HttpRequest) -> HttpResponse:
    rows = queries.requeening_list(request.season.pk, request.today)
    table = table_for(request, tables.RequeenTable, rows)
    if wants_file(request):
        return table_file(request, table, "queens-to-replace")
    return render(request, "yards/requeen_list.html", {"table": table, "rows": rows, "exports": export_links(request)})


@require_http_methods(["GET", "POST"])
def record_wash(request: HttpRequest, code: str) -> HttpResponse:
    yard = get_object_or_404(queries.yard_by_code(code))
    form = forms.RecordWash(request.POST or None, initial=_asked(request, yard), **_where(request, yard))
    back = reverse("yards:detail", args=[yard.code])
    if form.is_valid():
        try:
            wash = services.record_mite_wash(actor=request.user, **form.facts)
        except AlreadyDone as done:
            return already_done(request, done, back)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            load = queries.wash_rows([wash])[0].load
            say = messages.warning if load.is_at_limit else messages.success
            say(request, _("Noted. %(where)s: mites %(load)s.") % {"where": wash.colony or yard, "load": load.words})
            return redirect(back)
    heading = _("Mites washed at %(yard)s") % {"yard": yard}
    return form_page(request, form, heading=heading, back=back, submit=_("Record it"), note=MITE_SOURCE)


@require_http_methods(["GET", "POST"])
def correct_wash(request: HttpRequest, pk: int) -> HttpResponse:
    wash = get_object_or_404(queries.wash(pk))
    initial = {name: getattr(wash, name) for name in ("mites", "bees", "method")}
    form = forms.CorrectWash(request.POST or None, initial=initial)
    if form.is_valid():
        try:
            services.correct_mite_wash(wash_id=wash.pk, actor=request.user, **form.cleaned_data)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("Saved."))
            return redirect("yards:health")
    heading = _("Correct the wash at %(where)s") % {"where": wash.colony or wash.visit.yard}
    back, history = reverse("yards:health"), history_rows(wash)
    return form_page(request, form, heading=heading, back=back, submit=_("Save"), history=history)


@require_http_methods(["GET", "POST"])
def record_brood_check(request: HttpRequest, code: str) -> HttpResponse:
    yard = get_object_or_404(queries.yard_by_code(code))
    form = forms.RecordBroodCheck(request.POST or None, initial=_asked(request, yard), **_where(request, yard))
    back = reverse("yards:detail", args=[yard.code])
    if form.is_valid():
        try:
            check = services.record_brood_check(actor=request.user, **form.facts)
        except AlreadyDone as done:
            return already_done(request, done, back)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            _say_result(request, check, yard)
            return redirect(back)
    heading = _("Brood checked at %(yard)s") % {"yard": yard}
    caution = _("Anything suspect holds the yard at once. Close the hive, clean your tools, and call the inspector.")
    return form_page(request, form, heading=heading, back=back, submit=_("Record it"), caution=caution)


@require_http_methods(["GET", "POST"])
def correct_brood_check(request: HttpRequest, pk: int) -> HttpResponse:
    check = get_object_or_404(queries.brood_check(pk))
    initial = {name: getattr(check, name) for name in ("colonies_checked", "result", "note")}
    form = forms.CorrectBroodCheck(request.POST or None, initial=initial)
    if form.is_valid():
        check = services.correct_brood_check(check_id=check.pk, actor=request.user, **form.cleaned_data)
        _say_result(request, check, check.visit.yard)
        return redirect("yards:health")
    heading = _("Correct the brood check at %(where)s") % {"where": check.colony or check.visit.yard}
    caution = _("A hold that a suspicion placed stays until the inspector agrees to end it.")
    back, history = reverse("yards:health"), history_rows(check)
    return form_page(request, form, heading=heading, back=back, submit=_("Save"), caution=caution, history=history)


def _say_result(request: HttpRequest, check: BroodCheck, yard: Yard) -> None:
    if check.result == BroodCheck.Result.SUSPECT:
        messages.error(request, _("%(yard)s is on hold. Call the inspector now.") % {"yard": yard})
    else:
        messages.success(request, _("The brood check is noted."))


@require_http_methods(["GET", "POST"])
def give_treatment(request: HttpRequest, code: str) -> HttpResponse:
    yard = get_object_or_404(queries.yard_by_code(code))
    initial = _asked(request, yard) | {"starts_on": request.today}
    form = forms.GiveTreatment(request.POST or None, initial=initial, **_where(request, yard), **measures(request))
    back = reverse("yards:detail", args=[yard.code])
    if form.is_valid():
        try:
            given = services.give_treatment(
                season_id=request.season.pk, yard_id=yard.pk, today=request.today, actor=request.user, **form.facts
            )
        except AlreadyDone as done:
            return already_done(request, done, back)
        except services.OutsideLabel as refusal:
            form.add_error("due_out_on", str(refusal))
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            _say_given(request, given)
            return redirect(back)
    heading = _("Treatment at %(yard)s") % {"yard": yard}
    caution = _(
        "Follow the label in force and the local law: dose, gloves and eyes, heat, supers. "
        "Nothing treated is sold before the treatment has ended."
    )
    return form_page(request, form, heading=heading, back=back, submit=_("Record it"), caution=caution)


def _say_given(request: HttpRequest, given: services.TreatmentGiven) -> None:
    messages.success(request, _("The treatment is noted."))
    if given.left_out:
        left_out = {"tags": ", ".join(given.left_out)}
        messages.warning(request, _("Left out, too weak for it: %(tags)s.") % left_out)
    if given.not_counted:
        number = len(given.not_counted)
        words = ngettext(
            "%(number)s colony was not counted this season: make sure it is strong enough for the label.",
            "%(number)s colonies were not counted this season: make sure each is strong enough for the label.",
            number,
        )
        messages.warning(request, words % {"number": number})


@require_http_methods(["GET", "POST"])
def end_treatment(request: HttpRequest, pk: int) -> HttpResponse:
    treatment = get_object_or_404(queries.treatment(pk))
    form = forms.EndTreatment(request.POST or None, initial={"on": request.today})
    where = treatment.colony or treatment.yard
    if form.is_valid():
        try:
            services.end_treatment(
                treatment_id=treatment.pk, today=request.today, actor=request.user, **form.cleaned_data
            )
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("%(kind)s in %(where)s: ended.") % {"kind": treatment.kind, "where": where})
            if treatment.kind.label.is_short(treatment.starts_on, form.cleaned_data["on"]):
                short = _("The label asks for at least %(days)s days: it may not have worked. Wash mites again.")
                messages.warning(request, short % {"days": treatment.kind.least_days})
            return redirect("yards:health")
    heading = _("End %(kind)s in %(where)s") % {"kind": treatment.kind, "where": where}
    note = _("Strips pulled on a look end it by themselves, once every hive of the yard has lost its own.")
    back, history = reverse("yards:health"), history_rows(treatment)
    return form_page(request, form, heading=heading, back=back, submit=_("End it"), note=note, history=history)


def _where(request: HttpRequest, yard: Yard) -> dict[str, int]:
    return {"yard_id": yard.pk, "season_id": request.season.pk}


def _asked(request: HttpRequest, yard: Yard) -> dict[str, str]:
    """What the link chose: a colony by its tag, a visit by its number; without one, the yard's latest visit."""
    latest = queries.visits_of_season(request.season.pk).filter(yard=yard).values_list("pk", flat=True).first()
    return {"colony": request.GET.get("colony", ""), "visit": request.GET.get("visit", latest)}
