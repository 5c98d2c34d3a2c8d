"""Tasks and holds."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from django.middleware.csrf import get_token
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.tables import DateColumn, LedgerTable, LinkColumn, StateColumn, TextColumn
from apiary_ops.yards.models import Hold, Task

DEED = {"td": {"class": "deed"}}
SEVERAL = "several"  # the form of the page that finishes what was ticked


class TaskTable(LedgerTable):
    """Tasks, each with the button that says it is done; with `ticks`, also a box for the form that finishes several."""

    caption = _("Tasks by the day they are due")
    empty_text = _("Nothing to do here.")

    tick = TextColumn(verbose_name=_("Tick"), accessor="pk", orderable=False, exclude_from_export=True)
    what = TextColumn(verbose_name=_("What"))
    due_on = DateColumn(verbose_name=_("By"))
    state = StateColumn(verbose_name=_("State"), accessor="due_on", tones={}, orderable=False)
    yard = LinkColumn(verbose_name=_("Yard"), accessor="yard__name", url_name="yards:detail", key="yard__code")
    colony = LinkColumn(verbose_name=_("Colony"), accessor="colony__tag", url_name="yards:colony", key="colony__tag")
    act = TextColumn(verbose_name=_("Done?"), accessor="pk", orderable=False, exclude_from_export=True, attrs=DEED)

    def __init__(
        self, *args: Any, today: date, ticks: bool = False, exclude: Sequence[str] = (), **kwargs: Any
    ) -> None:
        super().__init__(*args, exclude=exclude if ticks else (*exclude, "tick"), **kwargs)
        self.today = today

    def render_tick(self, record: Task) -> SafeString | str:
        if record.done_on:
            return ""
        return format_html(
            '<label class="row-tick"><input type="checkbox" form="{}" name="task" value="{}">'
            '<span class="visually-hidden">{}</span></label>',
            SEVERAL,
            record.pk,
            record.what,
        )

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
    lift = TextColumn(verbose_name=_("End it"), accessor="pk", orderable=False, exclude_from_export=True, attrs=DEED)

    def render_state(self, record: Hold) -> SafeString:
        tone, word = ("quiet", gettext("ended")) if record.ended_on else ("broken", gettext("on hold"))
        return format_html('<span class="state state-{}">{}</span>', tone, word)

    def value_state(self, record: Hold) -> str:
        return gettext("ended") if record.ended_on else gettext("on hold")

    def render_lift(self, record: Hold) -> SafeString | str:
        if record.ended_on:
            return ""
        return format_html('<a href="{}">{}</a>', reverse("yards:hold-lift", args=[record.pk]), gettext("End it"))
