"""The yard sheet: a yard in walking order, with room for a pencil, in the words that the typed sheet takes."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apiary_ops.business import queries as business_queries
from apiary_ops.business.papers import paper_header, paper_words
from apiary_ops.papers import Block, Column, build, cautions, facts, paragraph, table, title

from . import queries
from .models import Task, Yard
from .queries import SheetRow

APART = 2 * "\N{NO-BREAK SPACE}"  # letters far enough from each other to ring one with a thick pencil


def yard_sheet_pdf(yard_id: int, *, season_id: int, printed_on: date) -> bytes:
    """Position, tag, last look and open tasks of each colony, and boxes to fill in by hand."""
    business = business_queries.business()
    yard = Yard.objects.get(pk=yard_id)
    rows = queries.sheet_rows(yard, season_id, printed_on)
    tasks = [task for task in queries.open_tasks_of(yard.pk, season_id) if task.colony_id is None]
    count = ngettext("%(count)s colony", "%(count)s colonies", len(rows)) % {"count": len(rows)}
    blocks = [title(_("Yard sheet"), f"{yard} · {count}")]
    blocks += _stops(yard, printed_on)
    blocks += [facts(_facts(yard, tasks)), _the_day()]
    blocks += [paragraph(_how()), _walk(rows)] if rows else [paragraph(_("No colony stands here yet."))]
    header = paper_header(business)
    return build(
        replace(header, cautions=tuple(_cautions(yard))),
        blocks,
        title=_("Yard sheet"),
        number=str(yard),
        printed_on=printed_on,
        words=paper_words(),
    )


def _stops(yard: Yard, printed_on: date) -> list[Block]:
    """What forbids moving anything, or driving there at all, before anything else."""
    said = [
        (_("On hold: %(reason)s. Nothing leaves or comes in; ask the inspector.") % {"reason": hold.reason})
        for hold in queries.open_holds_of(yard_id=yard.pk)
    ]
    if warning := queries.no_go_warning(yard.pk, printed_on):
        said.append(warning)
    return [cautions(said)] if said else []


def _facts(yard: Yard, tasks: Sequence[Task]) -> list[tuple[str, str]]:
    """Where and how to get in; the gate code stays off paper, which is lost in the grass."""
    pairs = [
        (_("Place"), yard.place),
        (_("Getting in"), yard.access_notes),
        (_("Hazards"), yard.hazards),
        (_("To do here"), "\n".join(_task(task) for task in tasks)),
    ]
    return [(label, words) for label, words in pairs if words]


def _the_day() -> Block:
    columns = [
        Column(_("Day")),
        Column(_("Arrived")),
        Column(_("Left")),
        Column(_("Temperature")),
        Column(_("Sky")),
        Column(_("Crew"), share=2),
    ]
    return table(columns, [("",) * len(columns)], roomy=True)


def _how() -> str:
    return _(
        "Frames in halves. Ring a letter: lower box empty, few, spilling, brood; patty gone, half, plenty; "
        "queen ok, queenless, spotty brood, drone layer. What is left empty was not looked at."
    )


def _walk(rows: Sequence[SheetRow]) -> Block:
    columns = [
        Column(_("Colony"), share=0.8),
        Column(_("Last look, and what to do"), share=3.5),
        Column(_("Below"), share=0.7),
        Column(_("Above"), share=0.7),
        Column(_("Lower box"), share=1.1),
        Column(_("Patty"), share=0.85),
        Column(_("Sealed"), share=0.7),
        Column(_("Queen"), share=1.6),
        Column(_("Note"), share=1.6),
    ]
    return table(columns, [_row(row) for row in rows])


def _row(row: SheetRow) -> tuple[str, ...]:
    """The letters to ring are what the typed sheet takes."""
    colony = row.colony
    place = _("%(position)s, on hold") if colony.on_hold else "%(position)s"
    return (
        f"{place % {'position': colony.position}}\n{colony.tag}",  # two lines leave room to write
        "\n".join([_last(row), *(f"→ {_task(task)}" for task in row.tasks)]),
        "",
        "",
        APART.join("efsb"),
        APART.join("ghp"),
        "",
        APART.join(("ok", "q", "sp", "d")),
        "",
    )


def _last(row: SheetRow) -> str:
    strength = row.colony.strength_words
    said = [_("%(frames)s frames") % {"frames": strength}] if strength else []
    if row.look:
        day = date_format(row.look.visit.on, "j M")
        said = [f"{day}: {said[0]}" if said else day, row.look.noted]
    return "; ".join(words for words in said if words) or _("not looked at")


def _task(task: Task) -> str:
    return f"{task.what}, {date_format(task.due_on, 'j M')}"


def _cautions(yard: Yard) -> list[str]:
    """Where the danger of a yard is; the business's own speak to buyers."""
    said = [
        _("Veil on before the gate. Stings can kill: whoever reacts never works alone; keep the telephone at hand."),
        _("Smoker: bare ground, water beside it, and cold before it rides in the truck."),
        _("Lift with the legs, two to a full box."),
        _("Disease suspected? Close the hive, open no other, move nothing, ring the inspector."),
    ]
    if yard.has_bears:
        said.insert(1, _("The fence is live: switch it off before reaching over, and on again when leaving."))
    return said
