from collections.abc import Iterable
from datetime import date, datetime

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from apiary_ops.allocation import compute, queries
from apiary_ops.allocation.models import Place, Plan
from apiary_ops.business import stamps
from apiary_ops.core.days import spoken_day
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.kernel.weeks import Week
from apiary_ops.people.models import User


class StalePlan(RuleBroken):
    """The world is no longer the one the plan was made for."""


def propose_plan(*, season_id: int, today: date, now: datetime, actor: User | None) -> Plan:
    """Work out who gets what and keep it as a proposal; nothing is locked while it is worked out.

    Where nothing changed since the newest plan of this week, that plan is returned: the same facts give the same plan.
    """
    inputs = queries.plan_inputs(season_id, today)
    newest = queries.newest_plan(season_id)
    if newest and newest.stamps == inputs.stamps and _week_of(newest.made_at) == Week.of(today):
        return newest
    outcome = compute.allocate(inputs.demands, inputs.supplies, inputs.pins)
    refusals = {pin.demand_key: reason for pin, reason in outcome.refused_pins}
    with transaction.atomic():
        plan = Plan.objects.create(season_id=season_id, made_at=now, made_by=actor, stamps=inputs.stamps)
        Place.objects.bulk_create(_places(plan, outcome.outcomes, refusals, inputs.kind_ids), batch_size=1000)
    return plan


def _places(
    plan: Plan, outcomes: Iterable[compute.Outcome], refusals: dict[str, str], kind_ids: dict[str, int]
) -> list[Place]:
    """A row for each supply a line takes from, and one for what it is short of."""
    places = []
    for outcome in outcomes:
        said = {
            "plan": plan,
            "line_id": int(outcome.key),
            "reason": outcome.reason,
            "pin_refusal": refusals.get(outcome.key, ""),
        }
        places += [
            Place(**said, week=take.week, kind_id=kind_ids[take.kind], quantity=take.quantity, supply=take.supply_key)
            for take in outcome.takes
        ]
        if outcome.short:
            places.append(Place(**said, short=outcome.short))
    return places


@transaction.atomic
def accept_plan(*, plan_id: int, now: datetime, actor: User) -> Plan:
    """Make a proposal the standing plan of its season, in place of the one before.

    The stamps are locked first, so nothing it was made from can change meanwhile. Accepting the standing plan again
    changes nothing. Raises StalePlan.
    """
    season_id = Plan.objects.values_list("season_id", flat=True).get(pk=plan_id)
    counters = stamps.lock(season_id, queries.AREAS)
    plan = Plan.objects.select_for_update(no_key=True, of=("self",)).get(pk=plan_id)
    if plan.is_standing:
        return plan
    _refuse_stale(plan, counters, now)
    for standing in Plan.objects.select_for_update(no_key=True).filter(season_id=season_id, is_standing=True):
        standing.is_standing = False
        standing.save(update_fields=["is_standing"])
    stamps.bump(season_id, "allocation")
    plan.is_standing, plan.accepted_at, plan.accepted_by = True, now, actor
    # The plan holds for the world as it is from now on: the one in which it stands itself.
    plan.stamps = stamps.read(season_id, queries.AREAS)
    plan.save(update_fields=["is_standing", "accepted_at", "accepted_by", "stamps"])
    return plan


def _refuse_stale(plan: Plan, counters: dict[str, int], now: datetime) -> None:
    if plan.accepted_at is not None:
        raise StalePlan(_("This plan was replaced by a later one. Work out a new plan."))
    moved = [str(queries.AREA_WORDS[area]) for area in queries.AREAS if plan.stamps.get(area, 0) != counters[area]]
    if moved:
        what = _("This has changed since the plan was made: %(what)s.") % {"what": ", ".join(moved)}
        raise StalePlan(f"{what} {_('Work out a new plan and look at what it changes.')}")
    if _week_of(plan.made_at) != _week_of(now):
        day = spoken_day(timezone.localdate(plan.made_at))
        raise StalePlan(_("This plan was made on %(day)s, in another week. Work out a new plan.") % {"day": day})


def _week_of(at: datetime) -> Week:
    return Week.of(timezone.localtime(at).date())
