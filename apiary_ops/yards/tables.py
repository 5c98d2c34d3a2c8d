from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from django.middleware.csrf import get_token
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.text import capfirst
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _
from django_tables2.utils import Accessor

from apiary_ops.core.tables import DateColumn, LedgerTable, LinkColumn, NumberColumn, StateColumn, TextColumn
from apiary_ops.core.templatetags.ledger import distance, temperature

from .models import Factor, Hold, Task
from .queries import WalkStop, YardRow

NUMBER = {"td": {"class": "number"}, "th": {"class": "number"}}
COLDEST_C = Decimal(-30)  # the first band begins with the coldest day a visit may note


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
    task_words = TextColumn(verbose_name=_("Tasks"), order_by=("-open_tasks",), attrs=NUMBER)

    class Meta:
        sequence = ("yard", "words", "colonies", "mean_frames", "...", "left_out", "days_since_look", "task_words")

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


class ColonyTable(LedgerTable):
    """Colonies of a yard in walking order."""

    caption = _("Colonies in walking order")
    empty_text = _("No colony stands here yet.")

    tag = LinkColumn(verbose_name=_("Colony"), url_name="yards:colony", key="tag")
    position = NumberColumn(verbose_name=_("Position"))
    grade_words = StateColumn(verbose_name=_("Grade"), tones="tone", order_by=("strength_frames",))
    strength_words = TextColumn(verbose_name=_("Strength, frames"), order_by=("strength_frames",), attrs=NUMBER)
    sealed_frames = NumberColumn(verbose_name=_("Sealed brood"), unit=_("frames"), decimals=1)
    looked_on = DateColumn(verbose_name=_("Counted on"))
    basis_words = TextColumn(verbose_name=_("How"), orderable=False)


class VisitTable(LedgerTable):
    caption = _("Visits, latest first")
    empty_text = _("No visit yet.")

    on = DateColumn(verbose_name=_("Day"), linkify=("yards:visit", [Accessor("pk")]))
    yard = TextColumn(verbose_name=_("Yard"), accessor="yard__name")
    work = TextColumn(verbose_name=_("Work"))
    look_count = NumberColumn(verbose_name=_("Looks"))
    people = NumberColumn(verbose_name=_("People"))
    minutes = NumberColumn(verbose_name=_("Minutes"))
    km = TextColumn(verbose_name=_("Driven"), attrs=NUMBER)
    recorded_by = TextColumn(verbose_name=_("Recorded by"), accessor="recorded_by__full_name")

    def __init__(self, *args: Any, distance_unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.distance_unit = distance_unit

    def render_km(self, value: int) -> str:
        return distance(value, self.distance_unit)


class TaskTable(LedgerTable):
    """Tasks, each with the button that says it is done."""

    caption = _("Tasks by the day they are due")
    empty_text = _("Nothing to do here.")

    what = TextColumn(verbose_name=_("What"))
    due_on = DateColumn(verbose_name=_("By"))
    state = StateColumn(verbose_name=_("State"), accessor="due_on", tones={}, orderable=False)
    yard = LinkColumn(verbose_name=_("Yard"), accessor="yard__name", url_name="yards:detail", key="yard__code")
    colony = LinkColumn(verbose_name=_("Colony"), accessor="colony__tag", url_name="yards:colony", key="colony__tag")
    act = TextColumn(verbose_name=_("Done?"), accessor="pk", orderable=False, exclude_from_export=True)

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def render_state(self, record: Task) -> SafeString:
        tone, word = self._state(record)
        return format_html('<span class="state state-{}">{}</span>', tone, word)

    def value_state(self, record: Task) -> str:
        return self._state(record)[1]

    def _state(self, task: Task) -> tuple[str, str]:
        if task.done_on:
            who = {"who": task.done_by, "day": date_format(task.done_on, "j M")}
            return "good", gettext("done %(day)s, %(who)s") % who
        if task.due_on < self.today:
            return "broken", ngettext("%(days)s day late", "%(days)s days late", (self.today - task.due_on).days) % {
                "days": (self.today - task.due_on).days
            }
        return ("mind", gettext("today")) if task.due_on == self.today else ("quiet", gettext("open"))

    def render_act(self, record: Task) -> SafeString:
        url_name, word = (
            ("yards:task-reopen", gettext("Not done"))
            if record.done_on
            else (
                "yards:task-finish",
                gettext("Done"),
            )
        )
        return format_html(
            '<form method="post" action="{}"><input type="hidden" name="csrfmiddlewaretoken" value="{}">'
            '<input type="hidden" name="back" value="{}">'
            '<button class="button" type="submit">{}<span class="visually-hidden">: {}</span></button></form>',
            reverse(url_name, args=[record.pk]),
            get_token(self.request),
            self.request.get_full_path(),
            word,
            record.what,
        )


class HoldTable(LedgerTable):
    caption = _("Holds, those in force first")
    empty_text = _("Nothing is on hold.")

    reason = TextColumn(verbose_name=_("Reason"))
    state = StateColumn(verbose_name=_("State"), accessor="pk", tones={}, orderable=False)
    yard = TextColumn(verbose_name=_("Yard"), accessor="yard__name")
    colony = TextColumn(verbose_name=_("Colony"), accessor="colony__tag", default=_("the whole yard"))
    starts_on = DateColumn(verbose_name=_("From"))
    ended_on = DateColumn(verbose_name=_("Ended on"))
    ended_because = TextColumn(verbose_name=_("Why it ended"))
    placed_by = TextColumn(verbose_name=_("Placed by"), accessor="placed_by__full_name")
    lift = TextColumn(verbose_name=_("End it"), accessor="pk", orderable=False, exclude_from_export=True)

    def render_state(self, record: Hold) -> SafeString:
        tone, word = ("quiet", gettext("ended")) if record.ended_on else ("broken", gettext("on hold"))
        return format_html('<span class="state state-{}">{}</span>', tone, word)

    def value_state(self, record: Hold) -> str:
        return gettext("ended") if record.ended_on else gettext("on hold")

    def render_lift(self, record: Hold) -> SafeString | str:
        if record.ended_on:
            return ""
        return format_html('<a href="{}">{}</a>', reverse("yards:hold-lift", args=[record.pk]), gettext("End it"))


class RuleTable(LedgerTable):
    """One dated set of grade rules in order; the first that matches names the grade."""

    grade = TextColumn(verbose_name=_("Grade"), orderable=False)
    place = NumberColumn(verbose_name=_("Order"), orderable=False)
    least_frames = NumberColumn(verbose_name=_("Strength from"), unit=_("frames"), decimals=1, orderable=False)
    least_sealed_frames = NumberColumn(
        verbose_name=_("Sealed brood from"), unit=_("frames"), decimals=1, orderable=False, default=_("not asked")
    )
    gives_nucs = TextColumn(verbose_name=_("Counts for nucs"), orderable=False)
    source = TextColumn(verbose_name=_("Source"), orderable=False)

    def render_gives_nucs(self, value: bool) -> str:
        return gettext("yes") if value else gettext("no")


class FactorTable(LedgerTable):
    """What brings a count to the footing, by view and temperature."""

    view = TextColumn(verbose_name=_("Counted"), orderable=False)
    warmer_than_c = TextColumn(verbose_name=_("From"), orderable=False, attrs=NUMBER)
    factor = NumberColumn(verbose_name=_("Factor"), decimals=2, orderable=False)
    source = TextColumn(verbose_name=_("Source"), orderable=False)

    def __init__(self, *args: Any, temperature_unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.temperature_unit = temperature_unit

    def render_view(self, value: str) -> str:
        return str(dict(Factor._meta.get_field("view").flatchoices).get(value, value))

    def render_warmer_than_c(self, value: Decimal) -> str:
        return temperature(value, self.temperature_unit) if value > COLDEST_C else gettext("any cold")


class GradeChangeTable(LedgerTable):
    caption = _("Colonies whose grade changes")
    empty_text = _("No colony changes.")

    tag = LinkColumn(verbose_name=_("Colony"), url_name="yards:colony", key="tag")
    yard_code = TextColumn(verbose_name=_("Yard"))
    strength_frames = NumberColumn(verbose_name=_("Strength"), unit=_("frames"), decimals=1)
    before = TextColumn(verbose_name=_("Now"))
    after = TextColumn(verbose_name=_("Then"))


class StopTable(LedgerTable):
    """Colonies of a visit in walking order, each opening its look."""

    caption = _("Colonies in walking order")
    empty_text = _("No colony stood here that day.")

    tag = TextColumn(verbose_name=_("Colony"), accessor="colony__tag", orderable=False)
    state = StateColumn(verbose_name=_("Look"), accessor="colony", tones={}, orderable=False)
    strength = TextColumn(verbose_name=_("Frames"), accessor="colony", orderable=False, attrs=NUMBER)
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
