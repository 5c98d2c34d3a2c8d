"""What a record from a phone means here: its visit, the colony of a tag, who said the same before."""

from collections.abc import Callable, Iterable, Sequence
from datetime import date

from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from apiary_ops.fieldbook import queries as fieldbook
from apiary_ops.fieldbook.models import Record
from apiary_ops.fieldbook.registry import Arrival, Question
from apiary_ops.kernel.ref import Ref
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.yards.models import Colony, Visit
from apiary_ops.yards.services.visits import locked_visit


class NotKnown(RuleBroken):
    pass


def visit_of(arrival: Arrival) -> Visit:
    """The visit a record hangs on, held for it: what two phones say of one visit is taken in turn."""
    return locked_visit(_visit_key(arrival))


def day_of(arrival: Arrival) -> date:
    """The day of the visit a record hangs on; without one, the day it was observed, never after it came."""
    if arrival.parent:
        return Visit.objects.values_list("on", flat=True).get(pk=_visit_key(arrival))
    return min(localtime(arrival.observed_at).date(), arrival.received_on)


def _visit_key(arrival: Arrival) -> int:
    parent = Ref.parse(arrival.parent)
    if parent.kind != "visit":
        raise NotKnown(_("What it belongs to is not a visit."))
    return int(parent.key)


def colony_of(tag: str) -> Colony:
    """Raises NotKnown for a tag that no colony has, as when it was changed after the yard was packed."""
    colony = Colony.objects.filter(tag=tag).select_related("yard").first()
    if colony is None:
        raise NotKnown(
            _("No colony has the tag %(tag)s. Add it, or give the colony its tag again, then land this.") % {"tag": tag}
        )
    return colony


def who_said(records: Iterable[Record]) -> str:
    """The names of those who observed what stands, or that it was typed in at the desk."""
    names = sorted({str(record.observed_by) for record in records})
    return ", ".join(names) or _("Someone at the desk")


def said_of(kind: str, ref: str) -> list[Record]:
    """The records that made a row, or agreed with it."""
    return fieldbook.landed_as(ref, kind)


def stands_instead(arrival: Arrival, records: Sequence[Record], question: Callable[[str], str]) -> bool:
    """Whether values that differ from what these records said take their place.

    They do where a person decided so, and where nobody but the same phone said otherwise, earlier: it corrects
    itself. They do not where that phone has said better since. Raises Question, in the words for who said what
    stands, when that was anyone else.
    """
    if arrival.insist:
        return True
    if {record.device for record in records} != {arrival.device}:
        raise Question(question(who_said(records)))
    return all(record.observed_at <= arrival.observed_at for record in records)
