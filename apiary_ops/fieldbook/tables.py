from django.utils.translation import gettext_lazy as _

from apiary_ops.core.tables import DateColumn, LedgerTable, LinkColumn, StateColumn, TextColumn

FIRM = {"td": {"class": "firm"}}


class RecordTable(LedgerTable):
    """Records from phones, each opening the page where it is settled."""

    caption = _("Records from the yards, the latest first")
    empty_text = _("Nothing waits: every record from the yards has landed.")

    what = LinkColumn(
        verbose_name=_("What"), url_name="fieldbook:settle", key="record__pk", orderable=False, attrs=FIRM
    )
    state = StateColumn(verbose_name=_("State"), accessor="state_words", tones="tone", orderable=False)
    why = TextColumn(verbose_name=_("Why"), orderable=False)
    observed_by = TextColumn(verbose_name=_("Observed by"), accessor="record__observed_by", orderable=False)
    observed_at = DateColumn(verbose_name=_("Seen"), accessor="record__observed_at", orderable=False)
    received_at = DateColumn(verbose_name=_("Came in"), accessor="record__received_at", orderable=False)
