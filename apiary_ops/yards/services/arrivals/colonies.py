"""Losses, tasks done and frames moved, from phones."""

from django.utils.translation import gettext as _

from apiary_ops.core.days import spoken_day
from apiary_ops.fieldbook.registry import Arrival, Landing, Question
from apiary_ops.kernel.ref import Ref
from apiary_ops.yards.compute import FieldFrames, FieldLoss, FieldTaskDone
from apiary_ops.yards.models import Colony, FrameMove, Task
from apiary_ops.yards.services.colonies import edit_colony
from apiary_ops.yards.services.frames import move_frames
from apiary_ops.yards.services.lineage import end_colony
from apiary_ops.yards.services.standing import locked
from apiary_ops.yards.services.tasks import finish_task

from .found import NotKnown, colony_of, day_of, said_of, stands_instead, who_said


def land_loss(said: FieldLoss, arrival: Arrival) -> Landing:
    """A colony found dead. Found so by two people it died once; of two causes, a person chooses."""
    colony = locked([colony_of(said.tag).pk]).popitem()[1]
    ref = f"colony:{colony.tag}"
    if colony.state != Colony.State.LOST:
        end_colony(
            colony_id=colony.pk,
            state=Colony.State.LOST,
            on=day_of(arrival),
            today=arrival.received_on,
            cause=said.cause,
            actor=arrival.observed_by,
        )
        return Landing(ref)
    if colony.loss_cause == said.cause:
        return Landing(ref)

    def question(who: str) -> str:
        words = _("%(who)s already said that %(tag)s is lost: %(cause)s.")
        return words % {"who": who, "tag": colony, "cause": colony.loss_words}

    if not stands_instead(arrival, said_of("lost", ref), question):
        return Landing(ref, _("The same phone said otherwise later; that stands."))
    edit_colony(
        colony_id=colony.pk,
        version=colony.version,
        changes={"loss_cause": said.cause},
        actor=arrival.observed_by,
    )
    return Landing(ref)


def land_task_done(said: FieldTaskDone, arrival: Arrival) -> Landing:
    """A task is done; done by two people, or by a look's own taps, it is done once."""
    task = Task.objects.select_for_update(no_key=True).filter(pk=said.task).first()
    if task is None:
        raise NotKnown(_("This task is no longer there: what made it was corrected. Set it aside."))
    ref = f"task:{task.pk}"
    if task.done_on is not None:
        return Landing(ref, _("It was already done on %(day)s.") % {"day": spoken_day(task.done_on)})
    finish_task(task_id=task.pk, on=day_of(arrival), actor=arrival.observed_by)
    return Landing(ref)


def land_frames(said: FieldFrames, arrival: Arrival) -> Landing:
    """Frames went from one colony to another. The same move noted by another phone that day is a question."""
    giver, taker = colony_of(said.from_tag), colony_of(said.to_tag)
    held = locked({giver.pk, taker.pk})
    on = day_of(arrival)
    earlier = FrameMove.objects.filter(from_colony=giver, to_colony=taker, on=on, struck_on__isnull=True)
    for move in [] if arrival.insist else earlier.order_by("id"):
        records = said_of("frames", f"frames:{move.pk}")
        if not records or any(record.device == arrival.device for record in records):
            continue
        raise Question(
            _("%(who)s already noted frames from %(giver)s to %(taker)s that day. If these are others, let both stand.")
            % {"who": who_said(records), "giver": giver, "taker": taker}
        )
    move = move_frames(
        from_id=held[giver.pk].pk,
        to_id=held[taker.pk].pk,
        on=on,
        today=arrival.received_on,
        brood_frames=said.brood,
        food_frames=said.food,
        with_bees=said.with_bees,
        actor=arrival.observed_by,
    )
    return Landing(str(Ref("frames", str(move.pk))))
