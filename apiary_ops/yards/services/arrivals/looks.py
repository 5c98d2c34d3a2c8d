"""Looks and tallies from phones: the first stands, the same again agrees, anything else is a question."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from django.utils.translation import gettext as _

from apiary_ops.fieldbook import queries as fieldbook
from apiary_ops.fieldbook.models import Record
from apiary_ops.fieldbook.registry import Arrival, Landing
from apiary_ops.yards.compute import FieldLook, FieldTally, SaidLook, facts_said, merged_look
from apiary_ops.yards.models import Look, Tally
from apiary_ops.yards.services.looks import LookDraft, correct_look, record_look
from apiary_ops.yards.services.tallies import correct_tally, record_tally

from .found import colony_of, said_of, stands_instead, visit_of

NOT_SEEN = {"colony_id", "observed_by_id", "observed_at"}


def land_look(said: FieldLook, arrival: Arrival) -> Landing:
    """A look at a colony on its visit; one by another phone that differs is a question.

    Looks of one phone add up, the later word on each fact standing. What a look did not look at never takes away
    what another saw.
    """
    visit = visit_of(arrival)
    colony = colony_of(said.tag)
    draft = LookDraft(colony.pk, **said.facts, observed_by_id=arrival.observed_by.pk, observed_at=arrival.observed_at)
    standing = Look.objects.filter(visit=visit, colony=colony).first()
    if standing is None:
        recorded = record_look(visit_id=visit.pk, look=draft, actor=arrival.observed_by)
        return Landing(f"look:{recorded.looks[0].pk}", " ".join(recorded.warnings))
    ref = f"look:{standing.pk}"
    seen = {name: value for name, value in asdict(draft).items() if name not in NOT_SEEN}
    if all(getattr(standing, name) == value for name, value in seen.items()):
        return Landing(ref)

    def question(who: str) -> str:
        return _("%(who)s already said otherwise of %(tag)s on this visit.") % {"who": who, "tag": colony}

    records = said_of("look", ref)
    is_latest = stands_instead(arrival, records, question)
    changes = facts_said(said.facts) if arrival.insist else _mended(said, arrival, records)
    if not changes:
        return Landing(ref, _("The same phone looked again later; that stands."))
    if is_latest:
        changes |= {"observed_by_id": draft.observed_by_id, "observed_at": draft.observed_at}
    recorded = correct_look(look_id=standing.pk, version=standing.version, changes=changes, actor=arrival.observed_by)
    return Landing(ref, " ".join(recorded.warnings))


def _mended(said: FieldLook, arrival: Arrival, records: Sequence[Record]) -> dict[str, Any]:
    """What this look changes of all that its own phone said before; what the desk has mended since stays mended."""
    before = [SaidLook(record.observed_at, str(record.key), fieldbook.read(record)) for record in records]
    earlier, now = merged_look(before), merged_look([*before, SaidLook(arrival.observed_at, str(arrival.key), said)])
    return {name: value for name, value in now.items() if earlier.get(name) != value}


def land_tally(said: FieldTally, arrival: Arrival) -> Landing:
    """A yard counted up on its visit; a second count that differs is a question, or the same phone's correction."""
    visit = visit_of(arrival)
    standing = Tally.objects.filter(visit=visit).first()
    if standing is None:
        tally = record_tally(visit_id=visit.pk, counts=said.counts, dead=said.dead, actor=arrival.observed_by)
        return Landing(f"tally:{tally.pk}")
    ref = f"tally:{standing.pk}"
    counted = dict(standing.counts.values_list("grade", "colonies"))
    if (counted, standing.dead) == (said.counts, said.dead):
        return Landing(ref)

    def question(who: str) -> str:
        return _("%(who)s already counted otherwise on this visit.") % {"who": who}

    if not stands_instead(arrival, said_of("tally", ref), question):
        return Landing(ref, _("The same phone counted again later; that stands."))
    correct_tally(
        tally_id=standing.pk,
        version=standing.version,
        counts=said.counts,
        dead=said.dead,
        actor=arrival.observed_by,
    )
    return Landing(ref)
