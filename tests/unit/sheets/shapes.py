"""A small shape to read files by."""

from datetime import date

from apiary_ops.sheets.compute import (
    Column,
    DayKind,
    DegreesKind,
    HalvesKind,
    TextKind,
    Ways,
    WholeKind,
    WordKind,
    YesKind,
    read_grid,
    read_rows,
    table_of,
)
from apiary_ops.sheets.compute.columns import guessed

COLUMNS = (
    Column("tag", "Tag", TextKind(20, form=r"[A-Z0-9][A-Z0-9.-]*", ask="A tag is letters.", capitals=True), True),
    Column("on", "Day", DayKind(), also=("date",)),
    Column("frames", "Frames", HalvesKind(40)),
    Column("boxes", "Boxes", WholeKind(1, 6)),
    Column("degrees", "Temperature °C", DegreesKind("C"), also=("temperature",)),
    Column("flying", "Flying", YesKind()),
    Column("patty", "Patty", WordKind({"gone": "gone", "plenty": "plenty"}, {"none": "gone"})),
    Column("note", "Note", TextKind(40)),
)
MONTHS = {"apr": 4, "april": 4, "may": 5}
WAYS = Ways(today=date(2027, 4, 12), months=MONTHS)


def rows_and_faults(content, *, ways=WAYS, sheet="", remembered=None):
    if isinstance(content, str):
        content = content.encode()
    table = table_of(read_grid(content, COLUMNS, sheet), COLUMNS)
    return read_rows(table, COLUMNS, guessed(table.heads, COLUMNS, remembered or {}), ways)


def said(saying):
    return saying.words % {name: getattr(fact, "words", fact) for name, fact in saying.facts.items()}


def value(text, name, *, ways=WAYS):
    """What a cell reads as, or the words it is refused with."""
    column = next(one for one in COLUMNS if one.name == name)
    rows, faults = rows_and_faults(f'Tag\t{column.head}\nC1\t"{text}"\n', ways=ways)
    return said(faults[0].saying) if faults else rows[0].values[name]
