"""Frames moved from one colony to another. They carry disease, so each move is kept, and a mistake is struck.

A move changes no forecast: that goes by looks, and the next look sees what the frames made of both colonies.
"""

from datetime import date
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.core import once
from apiary_ops.core.days import spoken_day
from apiary_ops.core.history import sign
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards.models import MOST_FRAMES_MOVED, Colony, FrameMove

from .days import refuse_future
from .holds import ReasonMissing
from .moves import SameColony
from .standing import AlreadyEnded, lock_yards, locked, refuse_on_hold


class NoFrames(RuleBroken):
    pass


class MovedBeforeStart(RuleBroken):
    pass


class MoveAlreadyStruck(RuleBroken):
    pass


@transaction.atomic
def move_frames(
    *,
    from_id: int,
    to_id: int,
    on: date,
    today: date,
    brood_frames: int = 0,
    food_frames: int = 0,
    with_bees: bool = False,
    actor: User,
    once_key: UUID | None = None,
) -> FrameMove:
    """Whole frames went from one colony to another on a day.

    What was moved before a hold began or before a colony ended is still taken: a trace of disease needs it. Raises
    SameColony, NoFrames, FutureDay, MovedBeforeStart, AlreadyEnded, and NothingMoves while either is on hold.
    """
    claimed = once.claim(once_key, "frames")
    if from_id == to_id:
        raise SameColony(_("Frames move from one colony to another. Choose two."))
    most = MOST_FRAMES_MOVED
    if not (0 <= brood_frames <= most and 0 <= food_frames <= most and brood_frames + food_frames):
        raise NoFrames(_("Say how many frames moved, at most %(most)s of each.") % {"most": most})
    refuse_future(on, today, _("A move of frames"))
    colonies = locked([from_id, to_id])
    giver, taker = colonies[from_id], colonies[to_id]
    lock_yards(giver.yard_id, taker.yard_id)
    _refuse_frames_of(giver, on, _("give frames"))
    _refuse_frames_of(taker, on, _("take frames"))
    move = FrameMove(
        on=on,
        from_colony=giver,
        to_colony=taker,
        brood_frames=brood_frames,
        food_frames=food_frames,
        with_bees=with_bees,
        moved_by=actor,
    )
    move.full_clean()
    sign(move, actor)
    move.save()
    once.settle(claimed, f"frames:{move.pk}")
    return move


def _refuse_frames_of(colony: Colony, on: date, act: str) -> None:
    if on < colony.started_on:
        raise MovedBeforeStart(
            _("%(colony)s started on %(day)s. It cannot have given or taken frames before.")
            % {"colony": colony, "day": spoken_day(colony.started_on)}
        )
    if colony.ended_on is not None and on >= colony.ended_on:
        raise AlreadyEnded(
            _("%(colony)s ended on %(day)s: it cannot %(act)s. Keep its frames shut away until the cause is known.")
            % {"colony": colony, "day": spoken_day(colony.ended_on), "act": act}
        )
    refuse_on_hold(colony, act, on)


@transaction.atomic
def strike_frame_move(*, move_id: int, because: str, on: date, actor: User) -> FrameMove:
    """A move that was recorded by mistake: it stays to be read, with the reason.

    Raises MoveAlreadyStruck, ReasonMissing.
    """
    move = FrameMove.objects.select_for_update(no_key=True).get(pk=move_id)
    if move.struck_on is not None:
        raise MoveAlreadyStruck(_("This move was already struck on %(day)s.") % {"day": spoken_day(move.struck_on)})
    if not because.strip():
        raise ReasonMissing(_("Say what was wrong with it, so that the next person knows."))
    move.struck_on, move.struck_because = on, because.strip()
    sign(move, actor)
    move.save(update_fields=["struck_on", "struck_because"])
    return move
