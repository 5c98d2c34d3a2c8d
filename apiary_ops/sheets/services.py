"""Writes of the sheets: a file is read, carried out as a whole or not at all, and may be undone."""

import hashlib
from collections.abc import Mapping
from datetime import date, datetime

from django.db import transaction
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from apiary_ops.core.days import spoken_day
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User

from . import compute, queries
from .models import ImportRun
from .registry import Importer, importer_of

LONGEST_NAME = 120


class NothingImports(RuleBroken):
    pass


class CannotRead(RuleBroken):
    pass


class AlreadyImported(RuleBroken):
    """`run` is the import that this very file was carried out by."""

    def __init__(self, message: str, run: ImportRun) -> None:
        super().__init__(message)
        self.run = run


class NotWaiting(RuleBroken):
    pass


class NotImported(RuleBroken):
    pass


class NotReady(RuleBroken):
    pass


@transaction.atomic
def read_file(*, kind: str, file_name: str, content: bytes, actor: User, now: datetime) -> ImportRun:
    """Keep a file to be imported, its columns guessed by their heads and by what was chosen last time.

    The same bytes given again, while they still wait, are the same run. Raises NothingImports, CannotRead,
    AlreadyImported.
    """
    importer = _importer(kind)
    sha256 = hashlib.sha256(content).hexdigest()
    if done := queries.imported_before(kind, sha256):
        raise AlreadyImported(
            _("This very file was imported on %(day)s, given by %(who)s. Undo that import before giving it again.")
            % {"day": spoken_day(localtime(done.done_at).date()), "who": done.given_by},
            done,
        )
    columns, sheet = _guessed(importer, content, "")
    waiting = ImportRun.objects.filter(kind=kind, sha256=sha256, state=ImportRun.State.READ).first()
    if waiting:
        return waiting
    return ImportRun.objects.create(
        kind=kind,
        file_name=_printable(file_name)[-LONGEST_NAME:] or kind,
        sha256=sha256,
        content=content,
        columns=columns,
        sheet=sheet,
        given_by=actor,
        given_at=now,
    )


@transaction.atomic
def choose_columns(*, run_id: int, columns: Mapping[str, str], sheet: str = "", day_order: str = "") -> ImportRun:
    """Say which column of the file is which of ours, and how its days are written.

    Another sheet has other heads: its columns are guessed anew. Raises NotWaiting, CannotRead.
    """
    run = _waiting(run_id)
    importer = _importer(run.kind)
    chosen = {name: head for name, head in columns.items() if head}
    if sheet and sheet != run.sheet:
        chosen, sheet = _guessed(importer, bytes(run.content), sheet)
    run.columns, run.sheet, run.day_order = chosen, sheet or run.sheet, ImportRun.DayOrder(day_order)
    run.save(update_fields=["columns", "sheet", "day_order"])
    return run


@transaction.atomic
def carry_out(*, run_id: int, today: date, actor: User, now: datetime) -> ImportRun:
    """Import every row of a file, or none; its bytes are not kept after that.

    Raises NotWaiting, NotReady, CannotRead, or what the kind refuses.
    """
    run = _waiting(run_id)
    importer = _importer(run.kind)
    try:
        reading = queries.reading_of(run, importer, today)
    except compute.Unreadable as trouble:
        raise CannotRead(queries.said(trouble.saying)) from trouble
    if not reading.is_ready:
        raise NotReady(_("Something in this file is wrong as things stand now. Look at what is said below."))
    run.state, run.done_at, run.rows, run.content = ImportRun.State.DONE, now, len(reading.rows), b""
    run.save(update_fields=["state", "done_at", "rows", "content"])
    importer.write(rows=reading.rows, run=run, today=today, actor=actor)
    return run


@transaction.atomic
def undo(*, run_id: int, actor: User, now: datetime) -> ImportRun:
    """Take back what an import wrote, as long as nothing builds on it. Raises NotImported, or what the kind refuses."""
    run = ImportRun.objects.select_for_update(no_key=True).get(pk=run_id)
    if run.state != ImportRun.State.DONE:
        raise NotImported(_("This file is not imported now, so there is nothing to undo."))
    _importer(run.kind).undo(run=run, actor=actor)
    run.state, run.undone_at, run.undone_by = ImportRun.State.UNDONE, now, actor
    run.save(update_fields=["state", "undone_at", "undone_by"])
    return run


@transaction.atomic
def forget_file(*, run_id: int) -> None:
    """Let go of a file that was given and not imported. Raises NotWaiting."""
    _waiting(run_id).delete()


def _printable(name: str) -> str:
    return "".join(letter for letter in name if letter.isprintable())


def _waiting(run_id: int) -> ImportRun:
    run = ImportRun.objects.select_for_update().get(pk=run_id)
    if run.state != ImportRun.State.READ:
        raise NotWaiting(_("This file was already imported. Give it anew to import it again."))
    return run


def _importer(kind: str) -> Importer:
    importer = importer_of(kind)
    if importer is None:
        raise NothingImports(_("No import of “%(kind)s” is known here.") % {"kind": kind})
    return importer


def _guessed(importer: Importer, content: bytes, sheet: str) -> tuple[dict[str, str], str]:
    """Which column is likely which, and the sheet they stand on. Raises CannotRead."""
    columns = queries.columns_of(importer)
    try:
        grid = compute.read_grid(content, columns, sheet)
        table = compute.table_of(grid, columns)
    except compute.Unreadable as trouble:
        raise CannotRead(queries.said(trouble.saying)) from trouble
    return compute.guessed(table.heads, columns, queries.last_columns(importer.kind)), grid.sheet[:LONGEST_NAME]
