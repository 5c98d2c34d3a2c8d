from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apiary_ops.business import stamps
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.orders import services as orders
from apiary_ops.orders.models import Line
from apiary_ops.people.models import Role, User
from apiary_ops.promise import compute, queries
from apiary_ops.promise.models import Override, Release, Telling, Wait

# Whoever decides on a promise holds this stamp, so two clerks never count the same room.
AREA = "promise"


class LineNotOpen(RuleBroken):
    """A line that is promised already, or that nobody asks for any more."""


class OverrideNeedsOwner(RuleBroken):
    """Someone else than the owner promising beyond the safe number."""


@transaction.atomic
def refresh_releases(*, season_id: int, today: date, actor: User | None = None) -> list[Release]:
    """Bring what may be promised up to the stored forecast; returns the releases that are at risk.

    What is promised already stays released, even beyond the safe number; `Release.short` then says by how much.
    """
    stamps.lock(season_id, (AREA,))
    refresh(season_id, today)
    at_risk = Release.objects.filter(round__season_id=season_id, short__gt=0).select_related("round", "kind")
    return list(at_risk.order_by("round__starts_on", "id"))


@transaction.atomic
def promise_line(*, line_id: int, today: date, actor: User, override_reason: str = "") -> Line:
    """Promise a line for its round if that many are still safe; otherwise it waits, with the reason on record.

    The room is counted again under the lock, from the stored forecast; those ahead in the waitlist who fit go first.
    With a reason the owner may promise beyond it. Raises LineNotOpen and OverrideNeedsOwner.
    """
    line = _locked(line_id)  # before any release: a cancellation holds the order and then changes the release
    season_id = line.round.season_id
    rooms = {(row.round.pk, row.kind.pk): row for row in refresh(season_id, today)}
    if line.state not in Line.OPEN_STATES:
        raise LineNotOpen(_("This line is %(state)s already.") % {"state": line.get_state_display()})
    here = rooms[line.round_id, line.kind_id]
    room = compute.room_behind(here.room, queries.ahead_of(line))
    if line.quantity <= room:
        line = promise(line, today, actor)
    elif override_reason.strip():
        _override(line, room, override_reason.strip(), today, actor)
        line = promise(line, today, actor)
    else:
        return wait(line, here, room, today, actor)
    refresh(season_id, today)
    return line


def _locked(line_id: int) -> Line:
    """The line with what names it, under the stamp of promises and the lock of its order."""
    order_id = Line.objects.values_list("order_id", flat=True).get(pk=line_id)
    orders.lock_order(order_id, AREA)
    return queries.line_with_order(line_id).get()


def promise(line: Line, today: date, actor: User) -> Line:
    """Promise a line whose room was counted under the stamp, and note that its round was told."""
    promised = orders.move_line(line_id=line.pk, to_state=Line.State.PROMISED, actor=actor)
    Telling.objects.create(
        line=promised,
        firmness=Telling.Firmness.ROUND,
        starts_on=line.round.starts_on,
        ends_before=line.round.ends_before,
        told_on=today,
        told_by=actor,
    )
    stamps.bump(line.round.season_id, AREA)
    return promised


def _override(line: Line, room: int, reason: str, today: date, actor: User) -> None:
    """Record the promise beyond the safe number and make room for it."""
    if actor.role != Role.OWNER:
        raise OverrideNeedsOwner(_("Only the owner promises beyond the safe number. Let the line wait, or ask them."))
    Override.objects.create(line=line, nucs=line.quantity - room, reason=reason, made_on=today, made_by=actor)
    release = Release.objects.get(round_id=line.round_id, kind_id=line.kind_id)
    release.released = max(release.released, release.promised + line.quantity)
    release.save(update_fields=["released"])


def wait(line: Line, here: queries.Room, room: int, today: date, actor: User) -> Line:
    """Let a line wait, with the reason on record."""
    reason = _why(line, here, room)
    Wait.objects.create(line=line, room=room, reason=reason, asked_on=today, asked_by=actor)
    if line.state != Line.State.WAITING:
        line = orders.move_line(line_id=line.pk, to_state=Line.State.WAITING, actor=actor)
    stamps.bump(here.round.season_id, AREA)
    return line


def _why(line: Line, here: queries.Room, room: int) -> str:
    """The reason in words: what is asked, what is safe, and what stands in the way."""
    if step := queries.first_step(here.round.season_id):
        return step
    words = {"round": here.round, "kind": here.kind, "limit": here.limited_by, "asked": line.quantity}
    if room < here.room:
        return _("%(asked)s asked, %(room)s safe after those ahead in the waitlist (%(kind)s, %(round)s).") % (
            words | {"room": room}
        )
    safe = ngettext("%(room)s more is safe", "%(room)s more are safe", room) % {"room": room}
    said = _("%(asked)s asked, %(safe)s in a late spring (%(kind)s, %(round)s).") % (words | {"safe": safe})
    if here.limited_by.pk != here.round.pk:
        said += " " + _("What is promised for the %(limit)s limits it.") % words
    return said


def refresh(season_id: int, today: date) -> list[queries.Room]:
    """Store what may be promised as counted now; the caller holds the stamp."""
    rooms = queries.room(season_id, today)
    stored = {(row.round_id, row.kind_id): row for row in Release.objects.filter(round__season_id=season_id)}
    for row in rooms:
        release = stored.get((row.round.pk, row.kind.pk))
        released = max(row.promised, row.safe)
        if release is None:
            Release.objects.create(round=row.round, kind=row.kind, released=released, short=row.short)
        elif (release.released, release.short) != (released, row.short):
            release.released, release.short = released, row.short
            release.save(update_fields=["released", "short"])
    return rooms
