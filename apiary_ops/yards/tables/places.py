"""Yards, colonies and visits."""

from collections.abc import Sequence
from typing import Any

from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from django_tables2.utils import Accessor

from apiary_ops.core.tables import DateColumn, LedgerTable, LinkColumn, NumberColumn, StateColumn, TextColumn
from apiary_ops.core.tables.cells import Show
from apiary_ops.kernel import units
from apiary_ops.yards.queries import GradedColony, WalkStop, YardRow

NUMBER = {"td": {"class": "number"}, "th": {"class": "number"}}


class YardTable(LedgerTable):
    """All yards at a glance; one column for each grade of the rules in force."""

    caption = _("Yards in use")
    empty_text = _("No yard yet.")

    yard = LinkColumn(verbose_name=_("Yard"), url_name="yards:detail", key="yard__code")
    words = StateColumn(verbose_name=_("Wants"), tones="tone", order_by=("urgency",))
    colonies = NumberColumn(verbose_name=_("Colonies"))
    mean_frames = NumberColumn(verbose_name=_("Mean"), unit=_("frames"), decimals=1)
    left_out = NumberColumn(verbose_name=_("Left out"))
    days_since_look = NumberColumn(verbose_name=_("Last look"), unit=_("days ago"))
    open_tasks = NumberColumn(verbose_name=_("Tasks"), empty_values=(0,))
    overdue_tasks = NumberColumn(verbose_name=_("Late"), empty_values=(0,))

    class Meta:
        sequence = (
            "yard",
            "words",
            "colonies",
            "mean_frames",
            "...",
            "left_out",
            "days_since_look",
            "open_tasks",
            "overdue_tasks",
        )

    def __init__(self, rows: Sequence[YardRow], *, grades: Sequence[str] = (), **kwargs: Any) -> None:
        columns = [
            (
                f"grade_{place}",
                NumberColumn(verbose_name=capfirst(grade), accessor=f"counts__{place}", empty_values=(0,)),
            )
            for place, grade in enumerate(grades)
        ]
        super().__init__(rows, extra_columns=columns, **kwargs)

    def row_tone(self, record: YardRow) -> str:
        return record.tone if record.hold else ""


class CertificateTable(LedgerTable):
    """The certificate of every yard, what runs out first at the top."""

    caption = _("Certificates, what runs out first")
    empty_text = _("No yard yet.")

    yard = LinkColumn(verbose_name=_("Yard"), url_name="yards:detail", key="yard__code")
    words = StateColumn(verbose_name=_("Holds"), tones="tone", order_by=("certificate__expires_on",))
    number = TextColumn(verbose_name=_("Number"), accessor="certificate__number")
    inspector = TextColumn(verbose_name=_("Inspector"), accessor="certificate__inspector")
    issued_on = DateColumn(verbose_name=_("Issued on"), accessor="certificate__issued_on")
    expires_on = DateColumn(verbose_name=_("Good until"), accessor="certificate__expires_on")


class ColonyTable(LedgerTable):
    """Colonies of a yard in walking order."""

    caption = _("Colonies in walking order")
    empty_text = _("No colony stands here yet.")

    tag = LinkColumn(verbose_name=_("Colony"), url_name="yards:colony", key="tag")
    position = NumberColumn(verbose_name=_("Position"))
    grade_words = StateColumn(verbose_name=_("Grade"), tones="tone", order_by=("strength_frames",))
    strength_words = TextColumn(
        verbose_name=_("Strength"), unit=_("frames"), order_by=("strength_frames",), attrs=NUMBER
    )
    sealed_frames = NumberColumn(verbose_name=_("Sealed brood"), unit=_("frames"), decimals=1)
    looked_on = DateColumn(verbose_name=_("Counted on"))
    basis = TextColumn(verbose_name=_("By"), orderable=False)

    def __init__(self, rows: Sequence[GradedColony], **kwargs: Any) -> None:
        if len({row.basis for row in rows if row.basis}) < 2:
            kwargs["exclude"] = (*kwargs.get("exclude", ()), "basis")  # the caption says it for all
        super().__init__(rows, **kwargs)
        if told := sorted({row.basis_words for row in rows if row.basis_words}):
            self.caption = f"{self.caption}; {'; '.join(told)}"

    def render_basis(self, value: str) -> str:
        return {"sample": gettext("sample"), "tally": gettext("tally"), "look": gettext("look")}.get(value, "")


class DrivenColumn(NumberColumn):
    """Whole km, shown in the unit of the table's `distance_unit`."""

    def unit(self, table: Any) -> str:
        return str(table.distance_unit)

    def digits(self, table: Any, grouping: str) -> Show:
        digits = super().digits(table, grouping)
        in_miles = table.distance_unit == "mi"
        return lambda value, record: digits(round(units.miles(value)) if in_miles else value, record)


class VisitTable(LedgerTable):
    caption = _("Visits, latest first")
    empty_text = _("No visit yet.")

    on = DateColumn(verbose_name=_("Day"), linkify=("yards:visit", [Accessor("pk")]))
    yard = TextColumn(verbose_name=_("Yard"), accessor="yard__name")
    work = TextColumn(verbose_name=_("Work"))
    look_count = NumberColumn(verbose_name=_("Looks"))
    people = NumberColumn(verbose_name=_("People"))
    minutes = NumberColumn(verbose_name=_("Minutes"), empty_values=(0, None))
    km = DrivenColumn(verbose_name=_("Driven"))
    recorded_by = TextColumn(verbose_name=_("Recorded by"), accessor="recorded_by__full_name")

    def __init__(self, *args: Any, distance_unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.distance_unit = distance_unit


class StopTable(LedgerTable):
    """Colonies of a visit in walking order, each opening its look."""

    caption = _("Colonies in walking order")
    empty_text = _("No colony stood here that day.")

    tag = TextColumn(verbose_name=_("Colony"), accessor="colony__tag", orderable=False)
    state = StateColumn(verbose_name=_("Look"), accessor="colony", tones={}, orderable=False)
    strength = TextColumn(
        verbose_name=_("Strength"), unit=_("frames"), accessor="colony", orderable=False, attrs=NUMBER
    )
    said = TextColumn(verbose_name=_("Noted"), accessor="look__noted", orderable=False)

    def __init__(self, *args: Any, visit_id: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.visit_id = visit_id

    def render_tag(self, value: str, record: WalkStop) -> SafeString:
        url = reverse("yards:look", args=[self.visit_id, value])
        return format_html('<a href="{}">{} · {}</a>', url, record.colony.position, value)

    def render_state(self, record: WalkStop) -> SafeString:
        tone, word = ("good", gettext("taken")) if record.look else ("quiet", gettext("not yet"))
        return format_html('<span class="state state-{}">{}</span>', tone, word)

    def render_strength(self, record: WalkStop) -> str:
        return f"{record.strength.frames} ± {record.strength.spread}" if record.strength else ""
