"""Imports: those under way and their history."""

from django.db.models import QuerySet

from apiary_ops.sheets.models import ImportRun


def runs() -> QuerySet[ImportRun]:
    """Every file given to import, latest first, without its bytes."""
    return ImportRun.objects.defer("content").select_related("given_by", "undone_by").order_by("-given_at", "-id")


def run(pk: int) -> QuerySet[ImportRun]:
    """One file given to import, with its bytes, or nothing."""
    return ImportRun.objects.filter(pk=pk).select_related("given_by", "undone_by")


def imported_before(kind: str, sha256: str) -> ImportRun | None:
    """The import of a file with the very same bytes that still stands."""
    rows = ImportRun.objects.filter(kind=kind, sha256=sha256, state=ImportRun.State.DONE)
    return rows.defer("content").select_related("given_by").first()


def last_columns(kind: str) -> dict[str, str]:
    """Which column was which, the last time a file of this kind was imported."""
    done = ImportRun.objects.filter(kind=kind).exclude(state=ImportRun.State.READ).order_by("-done_at", "-id")
    return done.values_list("columns", flat=True).first() or {}
