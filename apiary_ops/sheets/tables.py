from collections.abc import Sequence
from typing import Any

from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.tables import DateColumn, LedgerTable, LinkColumn, NumberColumn, StateColumn, TextColumn

from .compute import Column, plain
from .models import ImportRun
from .queries import Reading
from .registry import importer_of

TONES = {ImportRun.State.READ: "mind", ImportRun.State.DONE: "good", ImportRun.State.UNDONE: "quiet"}
PREVIEWED = 20


class RunTable(LedgerTable):
    """Files given to import, latest first."""

    caption = _("Files given to import, latest first")
    empty_text = _("No file was given yet.")

    file_name = LinkColumn(verbose_name=_("File"), url_name="sheets:run")
    kind = TextColumn(verbose_name=_("What it holds"))
    state = StateColumn(verbose_name=_("State"), tones={})
    rows = NumberColumn(verbose_name=_("Rows"), empty_values=(0,))  # counted once imported
    given_by = TextColumn(verbose_name=_("Given by"), accessor="given_by__full_name")
    given_at = DateColumn(verbose_name=_("Given"))
    done_at = DateColumn(verbose_name=_("Imported"))
    undone_at = DateColumn(verbose_name=_("Undone"))

    def render_kind(self, value: str) -> str:
        return self.value_kind(value)

    def value_kind(self, value: str) -> str:
        importer = importer_of(value)
        return str(importer.heading) if importer else value

    def render_state(self, record: ImportRun) -> SafeString:
        return format_html('<span class="state state-{}">{}</span>', TONES[record.state], record.get_state_display())

    def value_state(self, record: ImportRun) -> str:
        return record.get_state_display()


class FaultTable(LedgerTable):
    """Everything that is wrong with a file, by line and column."""

    caption = _("What is wrong, by line")

    line = NumberColumn(verbose_name=_("Line"))
    column = TextColumn(verbose_name=_("Column"))
    said = TextColumn(verbose_name=_("It says"), orderable=False)
    wrong = TextColumn(verbose_name=_("What to do"))


class ColumnTable(LedgerTable):
    """The columns of a kind: what each takes."""

    caption = _("Columns of the file")

    head = TextColumn(verbose_name=_("Column"), orderable=False)
    is_needed = TextColumn(verbose_name=_("Needed"), orderable=False)
    example = TextColumn(verbose_name=_("Such as"), accessor="kind__example", orderable=False)
    help = TextColumn(verbose_name=_("What it takes"), orderable=False)

    def render_is_needed(self, value: bool) -> str:
        return gettext("yes") if value else ""


class PreviewTable(LedgerTable):
    """The first rows as they were understood."""

    caption = _("The first rows as they were understood")

    line = NumberColumn(verbose_name=_("Line"), orderable=False)

    def __init__(self, reading: Reading, **kwargs: Any) -> None:
        shown = [column for column in reading.columns if _is_filled(column, reading)]
        rows = [
            {"line": row.line} | {column.name: _shown(column, row.values[column.name]) for column in shown}
            for row in reading.rows[:PREVIEWED]
        ]
        extra: Sequence[tuple[str, TextColumn]] = [
            (column.name, TextColumn(verbose_name=column.head, orderable=False)) for column in shown
        ]
        super().__init__(rows, extra_columns=extra, **kwargs)


def _is_filled(column: Column, reading: Reading) -> bool:
    return any(row.values[column.name] not in (None, False) for row in reading.rows[:PREVIEWED])


def _shown(column: Column, value: Any) -> str:
    return "" if value is None or value == "" else plain(column.kind.write(value))
