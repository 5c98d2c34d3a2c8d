from dataclasses import dataclass, replace
from datetime import date

from django.db import transaction

from apiary_ops.business import stamps
from apiary_ops.orders.models import Line
from apiary_ops.people.models import User
from apiary_ops.promise import compute, queries

from . import promises


@dataclass(frozen=True, slots=True)
class Turns:
    """What became of those whose turn it was."""

    promised: tuple[Line, ...]
    waiting: tuple[Line, ...]


@transaction.atomic
def promise_in_turn(*, season_id: int, today: date, actor: User) -> Turns:
    """Promise everyone who asks with a complete deposit, by tier and then by the instant it was complete.

    Each line is promised whole or not at all, and one that does not fit holds up nobody behind it. Who has not paid
    reserves nothing here, whatever the tier. Those who do not fit wait, with the reason.
    """
    stamps.lock(season_id, ("orders", promises.AREA))
    promises.refresh(season_id, today)
    lines = queries.lines_in_turn(season_id)
    outlook = queries.season_outlook(season_id, today)
    promised, left = [], []
    for line in lines:
        key = (line.round_id, line.kind_id)
        if line.quantity > compute.safe_number(outlook, round_key=key[0], kind_key=key[1]).room:
            left.append(line)
            continue
        promised.append(promises.promise(line, today, actor))
        owed = dict(outlook.owed or {})
        outlook = replace(outlook, owed=owed | {key: owed.get(key, 0) + line.quantity})
    rooms = {(row.round.pk, row.kind.pk): row for row in promises.refresh(season_id, today)}
    for line in left:
        if line.state != Line.State.WAITING:
            here = rooms[line.round_id, line.kind_id]
            promises.wait(line, here, here.room, today, actor)
    return Turns(tuple(promised), tuple(left))
