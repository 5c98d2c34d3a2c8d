"""What can be imported and saved again: a higher app registers its importer in `apps.py ready()`.

sheets.registry.register(Importer(kind="colonies", ...))
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Protocol

from apiary_ops.people.models import User

from .compute import Column, Fault, Row
from .models import ImportRun


@dataclass(frozen=True, slots=True)
class Checked:
    """What the rows of a file would do: what refuses them, and otherwise what would come of them, in sentences."""

    faults: Sequence[Fault] = ()
    outcome: Sequence[str] = ()


class Write(Protocol):
    """Write checked rows, each marked with the run, inside the caller's transaction; raises RuleBroken."""

    def __call__(self, *, rows: Sequence[Row], run: ImportRun, today: date, actor: User) -> None: ...


class Undo(Protocol):
    """Delete what a run wrote, inside the caller's transaction; raises RuleBroken when something builds on it."""

    def __call__(self, *, run: ImportRun, actor: User) -> None: ...


@dataclass(frozen=True, slots=True)
class Importer:
    """One kind of record that comes from files.

    `check` is given every row, those with spoiled cells too, so that all that is wrong is said at once.
    `columns` and `records` are told the business's unit of temperature, "C" or "F".
    """

    kind: str
    heading: Any
    columns: Callable[[str], Sequence[Column]]
    check: Callable[[Sequence[Row], date], Checked]
    write: Write
    undo: Undo
    records: Callable[[str], Iterable[Mapping[str, Any]]]
    note: Any = ""


_importers: dict[str, Importer] = {}


def register(importer: Importer) -> None:
    """Add a kind of record; order of registration is order on the page."""
    _importers[importer.kind] = importer


def importers() -> list[Importer]:
    """Every kind of record that can come from files."""
    return list(_importers.values())


def importer_of(kind: str) -> Importer | None:
    """The importer of a kind, or nothing when no app registered it."""
    return _importers.get(kind)
