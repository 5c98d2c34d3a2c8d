"""A record from a phone in words, beside what stands now: for the person who settles it."""

from collections.abc import Mapping
from typing import Any

from django.urls import reverse
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from apiary_ops.core.days import spoken_day
from apiary_ops.core.templatetags.ledger import temperature
from apiary_ops.fieldbook.registry import Told
from apiary_ops.yards import compute, queries
from apiary_ops.yards.models import JOBS, MATERIALS, Look, Visit


def address_of(ref: str) -> str:
    """The page of what a record made."""
    kind, _colon, key = ref.partition(":")
    pages = {"visit": "yards:visit", "colony": "yards:colony"}
    return reverse(pages[kind], args=[key]) if kind in pages else ""


def about_visit(said: compute.FieldVisit) -> str:
    return f"{said.yard}, {spoken_day(said.on)}"


def about_colony(said: compute.FieldLook | compute.FieldLoss) -> str:
    return said.tag


def about_frames(said: compute.FieldFrames) -> str:
    return _("%(giver)s to %(taker)s") % {"giver": said.from_tag, "taker": said.to_tag}


def about_nothing(said: Any) -> str:
    return ""


def tell_visit(said: compute.FieldVisit, parent: str) -> list[Told]:
    arrived = f"{said.arrived_at:%H:%M}" if said.arrived_at else ""
    rows = [
        (_("Yard"), said.yard),
        (_("Day"), spoken_day(said.on)),
        (_("Arrived"), arrived),
        (_("Crew"), ", ".join(queries.names_of(said.crew_ids))),
        (_("Temperature"), temperature(said.temperature_c, "C") if said.temperature_c is not None else ""),
        (_("Sky"), _label(Visit, "sky", said.sky)),
        (_("Frames counted"), _label(Visit, "view", said.view)),
        (_("Looked at"), _label(Visit, "depth", said.depth)),
    ]
    return [Told(label, words) for label, words in rows if words]


def tell_look(said: compute.FieldLook, parent: str) -> list[Told]:
    """Each fact that was seen, beside what the look that stands says."""
    standing = queries.look_standing(parent, said.tag)
    there = {name: getattr(standing, name) for name in said.facts} if standing else {}
    rows = [Told(_("Colony"), said.tag)]
    for name in said.facts:
        words = _look_words(said.facts, name)
        other = _look_words(there, name) if standing else ""
        if words or other:
            nothing = _("not looked")
            rows.append(Told(_head(Look, name), words or nothing, (other or nothing) if standing else ""))
    return rows


def _look_words(facts: Mapping[str, Any], name: str) -> str:
    value = facts[name]
    if name.endswith("_halves"):
        return "" if value is None else _("%(frames)s frames") % {"frames": f"{value / 2:g}"}
    if isinstance(value, bool):
        return _("yes") if value else ""
    return _label(Look, name, value)


def tell_tally(said: compute.FieldTally, parent: str) -> list[Told]:
    standing = queries.tally_standing(parent)
    there: Mapping[str, int] = standing.counts if standing else {}
    grades = dict.fromkeys([*said.counts, *there])
    rows = [
        Told(capfirst(grade), str(said.counts.get(grade, 0)), str(there.get(grade, 0)) if standing else "")
        for grade in grades
    ]
    return [*rows, Told(_("Dead"), str(said.dead), str(standing.dead) if standing else "")]


def tell_loss(said: compute.FieldLoss, parent: str) -> list[Told]:
    causes = dict(queries.loss_causes())
    colony = queries.colony_by_tag(said.tag).first()
    there = colony.loss_words if colony and colony.loss_cause else ""
    return [Told(_("Colony"), said.tag), Told(_("Lost"), causes.get(said.cause, said.cause), there)]


def tell_task_done(said: compute.FieldTaskDone, parent: str) -> list[Told]:
    task = queries.task(said.task).first()
    return [Told(_("Done"), str(task) if task else _("a task that is no longer there"))]


def tell_leave(said: compute.FieldLeave, parent: str) -> list[Told]:
    jobs, materials = dict(JOBS), dict(MATERIALS)
    used = ", ".join(f"{materials[material]}: {quantity:f}" for material, quantity in said.materials)
    rows = [
        Told(_("Left"), f"{said.left_at:%H:%M}" if said.left_at else ""),
        Told(_("Jobs"), ", ".join(str(jobs[job]) for job in said.jobs)),
        Told(_("Used"), used, queries.materials_standing(parent)),
    ]
    return [row for row in rows if row.said]


def tell_frames(said: compute.FieldFrames, parent: str) -> list[Told]:
    rows = [
        (_("From"), said.from_tag),
        (_("To"), said.to_tag),
        (_("Frames of brood"), str(said.brood or "")),
        (_("Frames of food"), str(said.food or "")),
        (_("With the bees"), _("yes") if said.with_bees else ""),
    ]
    return [Told(label, words) for label, words in rows if words]


def _label(model: Any, name: str, value: str) -> str:
    return str(dict(model._meta.get_field(name).flatchoices).get(value, value)) if value else ""


def _head(model: Any, name: str) -> str:
    return capfirst(str(model._meta.get_field(name).verbose_name).removesuffix(", half frames"))
