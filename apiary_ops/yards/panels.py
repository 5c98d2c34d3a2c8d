"""Panels of a yard and a colony: their health, and how strong the yard was over the season."""

from django.http import HttpRequest
from django.utils.translation import gettext as _

from apiary_ops.core.panels import Panel
from apiary_ops.yards.models import Colony, Yard

from . import compute, queries


def yard_health(request: HttpRequest, yard: Yard) -> Panel:
    """On a yard's page: its last wash and brood check, and the treatments at work."""
    running = queries.treatments_running(request.today, yard_id=yard.pk)
    context = {
        "yard": yard,
        "tag": "",
        "washes": queries.wash_rows(queries.washes(request.season.pk).filter(visit__yard=yard)[:1]),
        "checks": queries.brood_checks(request.season.pk).filter(visit__yard=yard)[:1],
        "treatments": queries.treatment_rows(running, request.today),
        "may_record": yard.is_active,
    }
    return Panel(key="health", heading=_("Health"), template="yards/_health.html", context=context)


def colony_health(request: HttpRequest, colony: Colony) -> Panel | None:
    """On a colony's page: its washes and brood checks, and what it was treated with, alone or with its yard."""
    context = {
        "yard": colony.yard,
        "tag": colony.tag,
        "washes": queries.wash_rows(queries.washes(request.season.pk).filter(colony=colony)),
        "checks": list(queries.brood_checks(request.season.pk).filter(colony=colony)),
        "treatments": queries.treatment_rows(queries.treatments_of_colony(colony)[:6], request.today),
        "may_record": colony.ended_on is None,
    }
    if not (context["may_record"] or context["washes"] or context["checks"] or context["treatments"]):
        return None
    return Panel(key="health", heading=_("Health"), template="yards/_health.html", context=context)


def strength_of_yard(request: HttpRequest, yard: Yard) -> Panel | None:
    """Strength over time with its range; nothing before the yard was looked at or tallied."""
    rounds = queries.strength_over_time(yard, request.season.pk, request.today)
    picture = compute.draw_strength(rounds)
    if picture is None:
        return None
    return Panel(
        key="strength",
        heading=_("Strength over the season"),
        template="yards/_strength.html",
        context={"picture": picture, "rounds": [(point, _by(point.basis)) for point in reversed(rounds)]},
        note=_("The line joins the means; each bar holds the middle half of the colonies."),
    )


def _by(basis: str) -> str:
    return {"look": _("looks"), "sample": _("a sample"), "tally": _("a tally")}[basis]
