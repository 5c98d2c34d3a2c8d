"""Health: treatments, washes, brood checks, queens to replace, and which yard next."""

from typing import Any

from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.tables import DateColumn, LedgerTable, LinkColumn, NumberColumn, StateColumn, TextColumn
from apiary_ops.yards.models import BroodCheck, TaskRule
from apiary_ops.yards.queries import NextYardRow, TreatmentRow, WashRow

from .places import DrivenColumn

DEED = {"td": {"class": "deed"}}
FIRM = {"td": {"class": "firm"}}
NUMBER = {"td": {"class": "number"}, "th": {"class": "number"}}


class TreatmentTable(LedgerTable):
    caption = _("Treatments, the first to come out first")
    empty_text = _("No treatment this season.")

    kind = TextColumn(verbose_name=_("Treatment"), accessor="treatment__kind__name")
    words = StateColumn(verbose_name=_("State"), tones="tone", order_by=("treatment__due_out_on",))
    yard = LinkColumn(
        verbose_name=_("Yard"),
        accessor="treatment__yard__name",
        url_name="yards:detail",
        key="treatment__yard__code",
    )
    colony = TextColumn(verbose_name=_("Colony"), accessor="treatment__colony__tag", default=_("the whole yard"))
    starts_on = DateColumn(verbose_name=_("Given"), accessor="treatment__starts_on")
    due_out_on = DateColumn(verbose_name=_("Ends by"), accessor="treatment__due_out_on")
    ended_on = DateColumn(verbose_name=_("Ended on"), accessor="treatment__ended_on")
    dose = TextColumn(verbose_name=_("Dose"), accessor="treatment__dose")
    label_lot = TextColumn(verbose_name=_("Lot"), accessor="treatment__label_lot")
    end = TextColumn(
        verbose_name=_("End it"), accessor="treatment__pk", orderable=False, exclude_from_export=True, attrs=DEED
    )

    def render_end(self, record: TreatmentRow) -> SafeString | str:
        if record.treatment.ended_on:
            return ""
        url = reverse("yards:treatment-end", args=[record.treatment.pk])
        return format_html('<a href="{}">{}</a>', url, gettext("End it"))


class WashTable(LedgerTable):
    caption = _("Mite washes, latest first")
    empty_text = _("No wash this season.")

    on = DateColumn(verbose_name=_("Day"), accessor="wash__visit__on")
    yard = LinkColumn(
        verbose_name=_("Yard"),
        accessor="wash__visit__yard__name",
        url_name="yards:detail",
        key="wash__visit__yard__code",
    )
    colony = TextColumn(verbose_name=_("Colony"), accessor="wash__colony__tag", default=_("the yard"))
    load = StateColumn(
        verbose_name=_("Mites on 100 bees"), accessor="load__words", tones="load__tone", order_by=("load__percent",)
    )
    mites = NumberColumn(verbose_name=_("Mites"), accessor="wash__mites")
    bees = NumberColumn(verbose_name=_("Bees"), accessor="wash__bees")
    method = TextColumn(verbose_name=_("Method"), accessor="wash__method")
    mend = TextColumn(
        verbose_name=_("Mend it"), accessor="wash__pk", orderable=False, exclude_from_export=True, attrs=DEED
    )

    def render_method(self, record: WashRow) -> str:
        return str(record.wash.get_method_display())

    def render_mend(self, record: WashRow) -> SafeString:
        return _correct("yards:wash-correct", record.wash.pk)


class BroodCheckTable(LedgerTable):
    caption = _("Brood checks, latest first")
    empty_text = _("No brood check this season.")

    on = DateColumn(verbose_name=_("Day"), accessor="visit__on")
    yard = LinkColumn(
        verbose_name=_("Yard"), accessor="visit__yard__name", url_name="yards:detail", key="visit__yard__code"
    )
    colony = TextColumn(verbose_name=_("Colony"), accessor="colony__tag", default=_("several"))
    colonies_checked = NumberColumn(verbose_name=_("Checked"), unit=_("colonies"))
    result = StateColumn(verbose_name=_("Result"), tones={})
    note = TextColumn(verbose_name=_("Note"))
    mend = TextColumn(verbose_name=_("Mend it"), accessor="pk", orderable=False, exclude_from_export=True, attrs=DEED)

    def render_result(self, record: BroodCheck) -> SafeString:
        tone = "broken" if record.result == BroodCheck.Result.SUSPECT else "good"
        return format_html('<span class="state state-{}">{}</span>', tone, record.get_result_display())

    def value_result(self, record: BroodCheck) -> str:
        return str(record.get_result_display())

    def render_mend(self, record: BroodCheck) -> SafeString:
        return _correct("yards:brood-check-correct", record.pk)


def _correct(url_name: str, pk: int) -> SafeString:
    return format_html('<a href="{}">{}</a>', reverse(url_name, args=[pk]), gettext("Correct"))


class RequeenTable(LedgerTable):
    caption = _("Queens to replace, longest known first")
    empty_text = _("No queen wants replacing.")

    tag = LinkColumn(verbose_name=_("Colony"), accessor="colony__tag", url_name="yards:colony", key="colony__tag")
    words = StateColumn(verbose_name=_("Queen"), tones="tone")
    yard = LinkColumn(
        verbose_name=_("Yard"), accessor="colony__yard__name", url_name="yards:detail", key="colony__yard__code"
    )
    position = NumberColumn(verbose_name=_("Position"), accessor="colony__position")
    seen_on = DateColumn(verbose_name=_("Seen on"))
    days = NumberColumn(verbose_name=_("Known for"), unit=_("days"))
    due_on = DateColumn(verbose_name=_("Task by"))
    queen_year = TextColumn(verbose_name=_("Queen of"), accessor="colony__queen_year", attrs=NUMBER)
    queen_origin = TextColumn(verbose_name=_("From"), accessor="colony__queen_origin")


class NextYardTable(LedgerTable):
    """Yards in the order to visit them, with what waits and the reasons."""

    caption = _("Yards in the order to visit them")
    empty_text = _("No yard has colonies or work yet.")

    rank = NumberColumn(verbose_name=_("Place"))
    yard = LinkColumn(
        verbose_name=_("Yard"), accessor="yard__name", url_name="yards:detail", key="yard__code", attrs=FIRM
    )
    reasons = TextColumn(
        verbose_name=_("Why"), orderable=False, attrs={"td": {"class": "sentence"}, "th": {"class": "sentence"}}
    )
    points = NumberColumn(verbose_name=_("Points"))
    days_since_look = NumberColumn(verbose_name=_("Unseen"), unit=_("days"))
    cells = TextColumn(verbose_name=_("Cell checks"), accessor="cells__words", order_by=("-cells__number",), attrs=FIRM)
    strips = TextColumn(
        verbose_name=_("Strips, hives"), accessor="strips__words", order_by=("-strips__number",), attrs=FIRM
    )
    patties = TextColumn(
        verbose_name=_("Patties"), accessor="patties__words", order_by=("-patties__number",), attrs=FIRM
    )
    others = TextColumn(
        verbose_name=_("Other tasks"), accessor="others__words", order_by=("-others__number",), attrs=FIRM
    )
    km = DrivenColumn(verbose_name=_("Round trip"), accessor="yard__round_trip_km")
    hours = NumberColumn(verbose_name=_("Work"), unit=_("hours"), decimals=1)

    def __init__(self, *args: Any, distance_unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.distance_unit = distance_unit

    def row_tone(self, record: NextYardRow) -> str:
        return "broken" if record.is_kept_back else ""


class TaskRuleTable(LedgerTable):
    """What makes a task of itself, and when it is due."""

    code = TextColumn(verbose_name=_("Task"), accessor="code", orderable=False)
    when = TextColumn(verbose_name=_("When"), accessor="code", orderable=False)
    days = NumberColumn(verbose_name=_("Due within"), unit=_("days"), orderable=False)
    is_on = TextColumn(verbose_name=_("In use"), orderable=False)
    source = TextColumn(verbose_name=_("Source"), orderable=False)
    change = TextColumn(
        verbose_name=_("Change"), accessor="code", orderable=False, exclude_from_export=True, attrs=DEED
    )

    def render_code(self, record: TaskRule) -> str:
        return str(record.get_code_display())

    def render_when(self, record: TaskRule) -> str:
        words = {
            TaskRule.Code.LOWER_BOX: gettext("the lower box is empty and there are at most %(frames)s frames of bees")
            if record.most_frames is not None
            else gettext("the lower box is empty"),
            TaskRule.Code.STRIPS: gettext("a treatment must come out: these days before its last day"),
            TaskRule.Code.REQUEEN: gettext("the queen is missing, lays drones, or her brood is spotty"),
            TaskRule.Code.PATTY: gettext("the patty is gone"),
            TaskRule.Code.CELLS: gettext("queen cells were left"),
        }
        return words[TaskRule.Code(record.code)] % {"frames": record.most_frames}

    def render_is_on(self, value: bool) -> str:
        return gettext("yes") if value else gettext("no")

    def render_change(self, value: str) -> SafeString:
        return format_html('<a href="{}">{}</a>', reverse("yards:task-rule", args=[value]), gettext("Change"))
