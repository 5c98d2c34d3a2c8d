from collections.abc import Sequence
from datetime import date, datetime

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from apiary_ops.allocation import queries
from apiary_ops.allocation.models import Binding
from apiary_ops.business import stamps
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.nucs import queries as nuc_queries
from apiary_ops.nucs.models import Nuc
from apiary_ops.orders import services as orders
from apiary_ops.orders.models import Line, Order
from apiary_ops.people.models import User


class NotPromised(RuleBroken):
    """A line that nothing is owed on."""


class MoreThanOwed(RuleBroken):
    """More nucs than the line still has to come."""


class NucNotFit(RuleBroken):
    """A nuc that cannot leave on this day: not ready, on hold, gone, or of another season."""


class WrongKind(RuleBroken):
    """A nuc of a kind the line does not accept."""


class NucAlreadyGiven(RuleBroken):
    """A nuc that another line has."""


class AlreadyReleased(RuleBroken):
    """A binding that was let go before."""


@transaction.atomic
def bind_nucs(*, line_id: int, nuc_ids: Sequence[int], now: datetime, actor: User) -> list[Binding]:
    """Give numbered nucs to a line at loading; those it has already are left as they are. Returns all it has of them.

    Each must be ready on the day of `now`, unheld, and of the line's kind or one it accepts instead. Nucs bound to a
    line that is owed nothing any more are let go of first. Raises NotPromised, MoreThanOwed, NucNotFit, WrongKind,
    NucAlreadyGiven.
    """
    line = _locked(line_id)
    wanted = sorted(set(nuc_ids))
    nucs = list(Nuc.objects.select_for_update(no_key=True).filter(pk__in=wanted).order_by("pk"))
    for dead in queries.dead_bindings(wanted):
        _release(dead, now, _("nothing is owed on its line any more"))
    standing = {binding.nuc_id: binding for binding in queries.live_bindings(wanted)}
    own = [binding for binding in standing.values() if binding.line_id == line_id]
    fresh = [nuc for nuc in nucs if nuc.pk not in {binding.nuc_id for binding in own}]
    _refuse(line, fresh, found=len(nucs) == len(wanted), standing=standing, on=timezone.localtime(now).date())
    made = [_bind(nuc, line, now, actor) for nuc in fresh]
    if made:
        stamps.bump(line.order.season_id, "pickups")
    return sorted([*own, *made], key=lambda binding: binding.nuc_id)


def _locked_order(order_id: int) -> Order:
    """The order under lock, after the stamp that is bumped at the end (a hand-over takes them in this order too).

    Loading is part of a pickup: a plan is made from counts and does not go stale by it.
    """
    return orders.lock_order(order_id, "pickups")


def _locked(line_id: int) -> Line:
    """The line with what it accepts, under the lock of its order."""
    order = _locked_order(Line.objects.values_list("order_id", flat=True).get(pk=line_id))
    line = queries.takers(order.season_id).filter(pk=line_id).first()
    if line is None:
        raise NotPromised(
            _("Nothing is promised on this line of order %(number)s, so it takes no nucs. Promise it first.")
            % {"number": order.number}
        )
    return line


def _refuse(line: Line, fresh: list[Nuc], *, found: bool, standing: dict[int, Binding], on: date) -> None:
    if not found:
        raise NucNotFit(_("One of these nucs does not exist. Choose them again."))
    for nuc in fresh:
        if nuc.pk in standing:
            raise NucAlreadyGiven(_already_given(standing[nuc.pk]))
    accepted = {line.kind_id, *(kind.pk for kind in line.substitutes.all())}
    kinds = queries.kind_names()
    for nuc in fresh:
        if nuc.kind_id not in accepted:
            takes = _(" or ").join(kinds[pk] for pk in sorted(accepted, key=lambda pk: (pk != line.kind_id, pk)))
            raise WrongKind(
                _("Nuc %(number)s is of another kind (%(kind)s); this line takes %(takes)s. Choose another.")
                % {"number": nuc.number, "kind": kinds[nuc.kind_id], "takes": takes}
            )
    _refuse_unfit(line.order.season_id, fresh, on)
    bound = Binding.objects.filter(line=line, released_at__isnull=True, nuc__state__in=Nuc.LIVE_STATES).count()
    if bound + len(fresh) > line.outstanding:
        raise MoreThanOwed(
            _("This line has %(owed)s nucs to come and %(bound)s of them bound already. Choose fewer, or release some.")
            % {"owed": line.outstanding, "bound": bound}
        )


def _already_given(binding: Binding) -> str:
    order = binding.line.order
    return _("Nuc %(number)s is already given to order %(order)s (%(buyer)s). Release it there or choose another.") % {
        "number": binding.nuc.number,
        "order": order.number,
        "buyer": order.buyer,
    }


def _refuse_unfit(season_id: int, nucs: list[Nuc], on: date) -> None:
    """Name the first nuc that cannot leave on this day, and why."""
    ready = set(nuc_queries.ready_nucs(season_id, on=on).filter(pk__in=[nuc.pk for nuc in nucs]).values_list("pk"))
    for nuc in nucs:
        if (nuc.pk,) not in ready:
            why = _why_unfit(nuc, season_id, on)
            raise NucNotFit(
                _("Nuc %(number)s cannot leave: %(why)s. Choose another.") % {"number": nuc.number, "why": why}
            )


def _why_unfit(nuc: Nuc, season_id: int, on: date) -> str:
    if nuc.season_id != season_id:
        return _("it is of another season")
    if not nuc.is_live:
        return _("it is %(state)s") % {"state": nuc.get_state_display()}
    held = nuc.hold_reason or nuc_queries.held_yards(on).get(nuc.yard_id, "")
    if held:
        return _("it is on hold (%(reason)s)") % {"reason": held}
    missing = nuc_queries.readiness(nuc, on).missing
    return _("it is not ready (%(missing)s)") % {"missing": ", ".join(missing) or _("not checked")}


def _bind(nuc: Nuc, line: Line, now: datetime, actor: User) -> Binding:
    try:
        with transaction.atomic():
            return Binding.objects.create(nuc=nuc, line=line, bound_at=now, bound_by=actor)
    except IntegrityError:
        taken = queries.live_bindings([nuc.pk]).first()
        if taken is None:
            raise
        raise NucAlreadyGiven(_already_given(taken)) from None


@transaction.atomic
def release_binding(*, binding_id: int, reason: str, now: datetime, actor: User) -> Binding:
    """Let a bound nuc go again; the binding stays on record with the reason. Raises AlreadyReleased."""
    order = _locked_order(Binding.objects.values_list("line__order_id", flat=True).get(pk=binding_id))
    binding = Binding.objects.select_for_update(no_key=True, of=("self",)).select_related("nuc").get(pk=binding_id)
    if binding.released_at is not None:
        raise AlreadyReleased(_("Nuc %(number)s was already released.") % {"number": binding.nuc.number})
    if not binding.nuc.is_live:
        raise AlreadyReleased(
            _("Nuc %(number)s has left (%(state)s); its binding stays on record.")
            % {"number": binding.nuc.number, "state": binding.nuc.get_state_display()}
        )
    _release(binding, now, reason.strip())
    stamps.bump(order.season_id, "pickups")
    return binding


def _release(binding: Binding, now: datetime, reason: str) -> None:
    binding.released_at, binding.release_reason = now, reason[:200]
    binding.save(update_fields=["released_at", "release_reason"])
