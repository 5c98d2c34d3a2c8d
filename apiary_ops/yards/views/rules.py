from collections import Counter
from collections.abc import Sequence
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import status_of
from apiary_ops.core.panels import panels_for
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.yards import compute, forms, queries, services, tables

NAMED = 200  # colonies named one by one; the sums count all


@require_safe
def rules_page(request: HttpRequest) -> HttpResponse:
    in_force = queries.rules_in_force(request.today)
    valid_from = in_force[0].valid_from if in_force else None
    context = {
        "sets": [
            {"valid_from": day, "table": tables.RuleTable(rules), "is_in_force": day == valid_from}
            for day, rules in queries.rule_sets()
        ],
        "factors": tables.FactorTable(
            queries.factor_table(request.today), temperature_unit=request.business.temperature_unit
        ),
        "errors": compute.VIEW_ERROR,
        "tally_error": compute.TALLY_ERROR,
        "top_band": compute.TOP_BAND,
        "stands_days": compute.LOOK_STANDS_DAYS,
        "standards": tables.StandardTable(queries.grade_standards()),
        "panels": panels_for("rules", request, None),
    }
    return render(request, "yards/rules.html", context)


@require_http_methods(["GET", "POST"])
def change_rules(request: HttpRequest) -> HttpResponse:
    """Show who changes under new rules; save them once what they do was seen."""
    form = forms.NewRules(request.POST or None, initial={"valid_from": request.today})
    rows = forms.RuleRowSet(request.POST or None, prefix="rules", initial=_standing_rules(request))
    changes = None
    if form.is_valid() & rows.is_valid():
        valid_from = form.cleaned_data["valid_from"]
        try:
            proposed = services.checked_rules(valid_from, rows.rules)
            if form.cleaned_data["shown"] == _digest(proposed) and "save" in request.POST:
                services.set_grade_rules(valid_from=valid_from, rules=rows.rules, actor=request.user)
                messages.success(request, _("The rules are set."))
                return redirect("yards:rules")
        except services.RulesAlreadyDated as refusal:
            form.add_error("valid_from", str(refusal))
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            changes = queries.grade_changes(request.season.pk, request.today, proposed)
            form.data = form.data.copy()
            form.data["shown"] = _digest(proposed)
    elif form.is_bound and not rows.is_valid():
        form.add_error(None, _("Some rows need mending: it says what beside each."))
    context = {
        "form": form,
        "rows": rows,
        "changes": changes,
        "moves": Counter((change.before, change.after) for change in changes or ()).most_common(),
        "table": None if changes is None else tables.GradeChangeTable(changes[:NAMED], request=request),
    }
    return render(request, "yards/rules_change.html", context, status=200 if changes is not None else status_of(form))


def _standing_rules(request: HttpRequest) -> list[dict[str, Any]]:
    names = ("grade", "least_frames", "least_sealed_frames", "gives_nucs")
    return [{name: getattr(rule, name) for name in names} for rule in queries.rules_in_force(request.today)]


def _digest(rules: Sequence[compute.Rule]) -> str:
    """The rules in words: what is saved is what was shown."""
    return "; ".join(f"{rule.words}, {'counts' if rule.gives_nucs else 'does not count'}" for rule in rules)
