"""Colonies and looks as tables: which columns a file may have, and what becomes of its rows."""

import re
from collections.abc import Sequence
from datetime import date
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from apiary_ops.sheets import registry
from apiary_ops.sheets.compute import (
    Column,
    DayKind,
    DegreesKind,
    HalvesKind,
    Row,
    TextKind,
    WholeKind,
    WordKind,
    YesKind,
)
from apiary_ops.sheets.registry import Checked, Importer

from . import queries, services
from .models import PATTIES, TAG_FORM, Colony, Look

MOST_HALVES = 40


def register() -> None:
    """Let colonies and looks come in from files, and go out again."""
    registry.register(COLONIES)
    registry.register(LOOKS)


def colony_columns(temperature_unit: str) -> list[Column]:
    """The columns of a file of colonies."""
    return [
        _tag(),
        _yard(is_needed=True, help=_("Its code or its name. The yard must be there already.")),
        Column(
            "position",
            _("Position"),
            WholeKind(1, 9999, "14"),
            help=_("Its place in walking order; left empty it follows the last one."),
            also=("pos", "place in the yard"),
        ),
        Column("boxes", _("Boxes"), WholeKind(1, 6, "2"), help=_("2 when left empty.")),
        Column(
            "started_on",
            _("Started on"),
            DayKind(),
            is_needed=True,
            also=("started", "since", "stands here since"),
            help=_("Since when it stands here."),
        ),
        Column(
            "purpose",
            _("Kept for"),
            _words(Colony.Purpose.choices),
            also=("purpose",),
            help=_listed(Colony.Purpose.choices),
        ),
        Column("purpose_from", _("Kept for it from"), DayKind(ahead=True)),
        Column("purpose_until", _("Kept for it until"), DayKind(ahead=True), help=_("With that day.")),
        Column("queen_year", _("Queen's year"), WholeKind(2000, 2099, "2026"), also=("queen year", "queen")),
        Column("queen_origin", _("Queen's origin"), TextKind(80, _("own raising"))),
        Column("queen_mark", _("Queen's mark"), _words(Colony.Mark.choices), help=_listed(Colony.Mark.choices)),
        Column("queen_lot", _("Queen's lot"), TextKind(40, "L-12")),
        Column(
            "state",
            _("State"),
            _words(Colony.State.choices),
            help=_("Live when left empty. %(words)s") % {"words": _listed(Colony.State.choices)},
        ),
        Column("ended_on", _("Ended on"), DayKind(), help=_("Only of one that ended.")),
        Column("loss_cause", _("Why it ended"), TextKind(120, _("starved")), also=("cause", "loss cause")),
    ]


def look_columns(temperature_unit: str) -> list[Column]:
    """The columns of a file of looks; a plain "temperature" is taken in the business's own unit."""
    plain = ("temperature", "temp")
    frames = _("Frames, in halves.")
    return [
        Column("on", _("Day"), DayKind(), is_needed=True, also=("date", "looked on")),
        _tag(),
        _yard(is_needed=False, help=_("Only to check: the yard the colony stands in.")),
        Column(
            "degrees_c",
            _("Temperature °C"),
            DegreesKind("C"),
            also=plain if temperature_unit == "C" else (),
            help=_("Of the air, at that yard on that day."),
        ),
        Column(
            "degrees_f",
            _("Temperature °F"),
            DegreesKind("F"),
            also=plain if temperature_unit == "F" else (),
            help=_("The same in Fahrenheit; one of the two."),
        ),
        _halves("below_halves", _("From below"), ("frames", "frames of bees", "below"), frames),
        _halves("above_halves", _("From above"), ("above",), frames),
        _halves("sealed_halves", _("Sealed brood"), ("brood", "capped brood", "sealed"), frames),
        Column("lower_box", _("Lower box"), _words(Look.LowerBox.choices), help=_listed(Look.LowerBox.choices)),
        Column("queen", _("Queen"), _words(Look.Queen.choices), help=_listed(Look.Queen.choices)),
        Column(
            "patty",
            _("Patty left"),
            _words(PATTIES),
            also=("patty",),
            help=_listed(PATTIES),
        ),
        Column("cells", _("Queen cells"), _words(Look.Cells.choices), help=_listed(Look.Cells.choices)),
        Column("heft", _("Heft"), _words(Look.Heft.choices), also=("weight",), help=_listed(Look.Heft.choices)),
        Column("flying", _("Bees flying"), YesKind(), also=("flying",)),
        Column("suspect_disease", _("Disease suspected"), YesKind(), also=("disease", "disease?")),
        Column("strips_pulled", _("Strips pulled"), YesKind()),
        Column("lower_box_off", _("Lower box taken off"), YesKind()),
        Column("patty_given", _("Patty given"), YesKind()),
        Column("broken_frame", _("Broken frame"), YesKind()),
        Column("note", _("Note"), TextKind(300), also=("notes", "remarks")),
        Column(
            "observed_by",
            _("Seen by"),
            TextKind(150),
            also=("observed by", "who"),
            help=_("Someone who signs in here, by user name or by name."),
        ),
    ]


def check_colonies(rows: Sequence[Row], today: date) -> Checked:
    """What refuses the colonies of a file, or how many would stand in how many yards."""
    placed, faults = queries.colonies_from_rows(rows)
    yards = {one.yard_id for one in placed}
    colonies = ngettext("%(count)s colony", "%(count)s colonies", len(placed)) % {"count": len(placed)}
    places = ngettext("%(count)s yard", "%(count)s yards", len(yards)) % {"count": len(yards)}
    return Checked(faults, [_("%(colonies)s would be added in %(yards)s.") % {"colonies": colonies, "yards": places}])


def check_looks(rows: Sequence[Row], today: date) -> Checked:
    """What refuses the looks of a file, or how many would be added on how many days."""
    placed, faults = queries.looks_from_rows(rows)
    days = {one.row.values["on"] for one in placed}
    looks = ngettext("%(count)s look", "%(count)s looks", len(placed)) % {"count": len(placed)}
    on = ngettext("%(count)s day", "%(count)s days", len(days)) % {"count": len(days)}
    outcome = [_("%(looks)s of %(days)s would be added.") % {"looks": looks, "days": on}]
    if any(one.row.values["suspect_disease"] for one in placed):
        outcome.append(_("Disease is suspected in some: of this season, their yards are put on hold."))
    return Checked(faults, outcome)


COLONIES = Importer(
    kind="colonies",
    heading=gettext_lazy("Colonies"),
    columns=colony_columns,
    check=check_colonies,
    write=services.import_colonies,
    undo=services.undo_colonies,
    records=queries.colony_records,
    note=gettext_lazy("New colonies with where they stand; those that are there already stay as they are."),
)
LOOKS = Importer(
    kind="looks",
    heading=gettext_lazy("Looks"),
    columns=look_columns,
    check=check_looks,
    write=services.import_looks,
    undo=services.undo_looks,
    records=queries.look_records,
    note=gettext_lazy(
        "What was seen of colonies that are here. They are history: no tasks are made of them, no treatment ends and "
        "no box comes off. Suspected disease of this season puts the yard on hold all the same."
    ),
)


def _tag() -> Column:
    return Column(
        "tag",
        _("Tag"),
        TextKind(20, "C0031", form=re.compile(TAG_FORM.regex).pattern, ask=str(TAG_FORM.message), capitals=True),
        is_needed=True,
        also=("colony", "hive", "hive no", "hive number", "number"),
        help=_("As written on the lid."),
    )


def _yard(*, is_needed: bool, help: str) -> Column:
    return Column("yard", _("Yard"), TextKind(80, "mill-lane"), is_needed, also=("yard code", "place"), help=help)


def _halves(name: str, head: str, also: tuple[str, ...], help: str) -> Column:
    return Column(name, head, HalvesKind(MOST_HALVES), also=also, help=help)


def _words(choices: Any) -> WordKind:
    return WordKind({value: str(word) for value, word in choices if value})


def _listed(choices: Any) -> str:
    return ", ".join(str(word) for value, word in choices if value)
