from django.db.models import Count, Exists, OuterRef, Q, Sum
from django.utils.translation import gettext as _

from apiary_ops.books.models import Entry, Line, Seal
from apiary_ops.closing.compute import CENTS, Finding, Part, Proof

from .findings import entry_url


def trial_balance_proof() -> Proof:
    """All debits against all credits, of every season: the books are one."""
    sums = Line.objects.aggregate(
        debits=Sum("cents", filter=Q(cents__gt=0), default=0), credits=Sum("cents", filter=Q(cents__lt=0), default=0)
    )
    differs = sums["debits"] + sums["credits"] != 0
    return Proof(
        name=_("Trial balance"),
        unit=CENTS,
        left_label=_("Debits"),
        left_parts=(Part(_("all debits"), sums["debits"]),),
        right_label=_("Credits"),
        right_parts=(Part(_("all credits"), -sums["credits"]),),
        exceptions=tuple(unbalanced_entries()) if differs else (),
        advice=_("Restore the latest backup in which the books balanced, and ask for help before posting anything."),
    )


def unbalanced_entries() -> list[Finding]:
    """Entries that no seal should have let pass: no seal, fewer than two lines, or a sum that is not zero."""
    sealed = Exists(Seal.objects.filter(pk=OuterRef("sealed_id")))
    rows = Entry.objects.annotate(count=Count("lines"), cents=Sum("lines__cents", default=0), has_seal=sealed)
    broken = rows.filter(Q(count__lt=2) | ~Q(cents=0) | Q(has_seal=False)).order_by("pk")
    return [Finding(_fault(entry.pk, entry.has_seal), entry_url(entry.pk)) for entry in broken]


def _fault(pk: int, has_seal: bool) -> str:
    if not has_seal:
        return _("Entry %(entry)s has no seal.") % {"entry": pk}
    return _("Entry %(entry)s: its lines do not sum to zero.") % {"entry": pk}
