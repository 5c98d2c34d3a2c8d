"""Reads of the sheets: imports and their history, and what a file given to import says."""

from .reading import FaultRow, Reading, columns_of, reading_of, records_of, said
from .runs import imported_before, last_columns, run, runs

__all__ = [
    "FaultRow",
    "Reading",
    "columns_of",
    "imported_before",
    "last_columns",
    "reading_of",
    "records_of",
    "run",
    "runs",
    "said",
]
