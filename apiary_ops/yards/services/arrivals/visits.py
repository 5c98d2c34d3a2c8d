"""Visits from phones: started, joined by the other phones of that day, and left."""

from datetime import date
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from apiary_ops.business import queries as business
from apiary_ops.business.models import Season
from apiary_ops.fieldbook import queries as fieldbook
from apiary_ops.fieldbook.models import Record
from apiary_ops.fieldbook.registry import Arrival, Landing
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards.compute import FieldLeave, FieldVisit, SaidVisit, is_same_visit, merged_header
from apiary_ops.yards.models import Visit, Yard
from apiary_ops.yards.services.visits import MaterialDraft, OutsideSeason, edit_visit, leave_visit, record_visit

from .found import NotKnown, said_of, stands_instead, visit_of, who_said


class UnknownYard(RuleBroken):
    pass


def land_visit(said: FieldVisit, arrival: Arrival) -> Landing:
    """A visit begins, or joins the one that another phone began there that day: the crew is one, the km are once.

    A day after the one on which it came is taken as that one: the phone's calendar was wrong.
    """
    on = min(said.on, arrival.received_on)
    # A visit is held before its yard, as by a look that suspects disease.
    list(Visit.objects.select_for_update(no_key=True, of=("self",)).filter(yard__code=said.yard, on=on).order_by("pk"))
    yard = Yard.objects.select_for_update(no_key=True).filter(code=said.yard).first()
    if yard is None:
        raise UnknownYard(_("No yard has the code %(code)s.") % {"code": said.yard})
    crew_ids = _crew(said)
    shared = _visit_to_join(yard, on, said, arrival)
    if shared is not None:
        return _join(shared, said, arrival)
    visit = record_visit(
        season_id=_season_of(on).pk,
        yard_id=yard.pk,
        on=on,
        today=arrival.received_on,
        arrived_at=said.arrived_at,
        people=max(1, len(crew_ids)),
        crew_ids=crew_ids,
        km=said.km,
        temperature_c=said.temperature_c,
        sky=said.sky,
        depth=said.depth,
        view=said.view,
        actor=arrival.observed_by,
    )
    return Landing(f"visit:{visit.pk}", _day_words(said, on))


def _day_words(said: FieldVisit, on: date) -> str:
    return "" if said.on == on else _("The phone's calendar was ahead: this is the day it arrived.")


def _crew(said: FieldVisit) -> tuple[int, ...]:
    """Raises NotKnown when the crew names nobody who was ever here."""
    known = set(User.objects.filter(pk__in=said.crew_ids).values_list("pk", flat=True))
    if known != set(said.crew_ids):
        raise NotKnown(_("The crew names someone who is not among the people here."))
    return said.crew_ids


def _season_of(on: date) -> Season:
    seasons = [season for season in business.seasons() if season.is_open]
    season = next((season for season in seasons if on in season), None)
    if season is None:
        raise OutsideSeason(_("No open season has this day. Open the season first, or the phone's calendar was wrong."))
    return season


def _visit_to_join(yard: Yard, on: date, said: FieldVisit, arrival: Arrival) -> Visit | None:
    """The first visit that only other phones recorded there that day, at about the same temperature."""
    for visit in Visit.objects.filter(yard=yard, on=on).order_by("id"):
        records = said_of("visit", f"visit:{visit.pk}")
        if not records or any(record.device == arrival.device for record in records):
            continue
        if is_same_visit(visit.temperature_c, said.temperature_c):
            return visit
    return None


def _join(visit: Visit, said: FieldVisit, arrival: Arrival) -> Landing:
    """The header becomes what all phones together make of it; what the desk has mended since stays mended."""
    records = said_of("visit", f"visit:{visit.pk}")
    before = [SaidVisit(record.observed_at, str(record.key), fieldbook.read(record)) for record in records]
    earlier, now = (
        merged_header(before),
        merged_header([*before, SaidVisit(arrival.observed_at, str(arrival.key), said)]),
    )
    names = ("arrived_at", "temperature_c", "sky", "view", "depth", "km")
    changes: dict[str, Any] = {
        name: getattr(now, name) for name in names if getattr(now, name) != getattr(earlier, name)
    }
    changes["crew_ids"] = sorted({*visit.crew.values_list("pk", flat=True), *said.crew_ids})
    edit_visit(visit_id=visit.pk, version=visit.version, changes=changes, actor=arrival.observed_by)
    words = _("Joined the visit of %(who)s to %(yard)s.") % {"who": who_said(records), "yard": visit.yard}
    return Landing(f"visit:{visit.pk}", words)


def land_leave(said: FieldLeave, arrival: Arrival) -> Landing:
    """The crew leaves: jobs are added up, the last to leave sets the time, and what was used is counted once.

    Two phones that both noted what was used agree, or raise Question: it may be the same, or both.
    """
    visit = visit_of(arrival)
    ref = f"visit:{visit.pk}"
    records = said_of("leave", ref)
    others = [(record, _used(record)) for record in records if _used(record)]
    materials, drafts = said.materials, [MaterialDraft(material, quantity) for material, quantity in said.materials]
    differs = bool(others and materials) and all(used != materials for _record, used in others)

    def question(who: str) -> str:
        words = _("%(who)s noted other materials for this visit. If both were used, mend the visit by hand.")
        return words % {"who": who}

    replaces = differs and stands_instead(arrival, [record for record, _used_then in others], question)
    leave_visit(
        visit_id=visit.pk,
        left_at=said.left_at,
        jobs=said.jobs,
        materials=[] if others else drafts,
        actor=arrival.observed_by,
    )
    if replaces:
        visit.refresh_from_db()
        edit_visit(visit_id=visit.pk, version=visit.version, changes={"materials": drafts}, actor=arrival.observed_by)
    return Landing(ref)


def _used(record: Record) -> tuple[tuple[str, Decimal], ...]:
    said: FieldLeave = fieldbook.read(record)
    return said.materials
