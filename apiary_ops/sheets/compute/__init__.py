"""Files to values and back, pure: letters, separators, sheets, heads, kinds of cells, and what is wrong with them."""

from .columns import Column, Table, guessed, likeness, table_of
from .days import DayOrder, Ways
from .faults import Fault, Refused, Saying, Unreadable, gettext_noop
from .grid import MOST_BYTES, MOST_COLUMNS, MOST_ROWS, Grid
from .kinds import DayKind, DegreesKind, HalvesKind, TextKind, WholeKind, WordKind, YesKind, plain
from .reading import Row, read_grid, read_rows
from .writing import csv_bytes, xlsx_bytes

__all__ = [
    "MOST_BYTES",
    "MOST_COLUMNS",
    "MOST_ROWS",
    "Column",
    "DayKind",
    "DayOrder",
    "DegreesKind",
    "Fault",
    "Grid",
    "HalvesKind",
    "Refused",
    "Row",
    "Saying",
    "Table",
    "TextKind",
    "Unreadable",
    "Ways",
    "WholeKind",
    "WordKind",
    "YesKind",
    "csv_bytes",
    "gettext_noop",
    "guessed",
    "likeness",
    "plain",
    "read_grid",
    "read_rows",
    "table_of",
    "xlsx_bytes",
]
