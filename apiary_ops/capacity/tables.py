from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apiary_ops.core.tables import (
    DateColumn,
    LedgerColumn,
    LedgerTable,
    LinkColumn,
    NumberColumn,
    StateColumn,
    TextColumn,
)
from apiary_ops.kernel.weeks import Week

RESOURCE_WORDS = {
    "brood": gettext_lazy("brood"),
    "bees": gettext_lazy("bees"),
    "queens": gettext_lazy("queens"),
    "boxes": gettext_lazy("boxes"),
    "drawn combs": gettext_lazy("drawn combs"),
    "food frames": gettext_lazy("food frames"),
    "crew": gettext_lazy("crew days"),
    "pickup places": gettext_lazy("pickup places"),
}


class WeekColumn(LedgerColumn):
    """The Monday of a week as "week of 12 May"; exports say 2027-05-12."""

    css_class = "date"

    def text(self, table: LedgerTable) -> Any:
        return lambda value, record: value.isoformat()

    def html(self, table: LedgerTable) -> Any:
        return lambda value, record: Week.of(value).label


class WeekTable(LedgerTable):
    """By make-up week: what the colonies could give, and what binds once everything else is counted."""

    caption = gettext_lazy("Nucs that could be made by the end of each week; alone is each colony by itself")
    stacks = False

    week = WeekColumn(verbose_name=gettext_lazy("Made up by"), orderable=False)
    low = NumberColumn(verbose_name=gettext_lazy("Late spring"), orderable=False)
    middle = NumberColumn(verbose_name=gettext_lazy("Middle"), orderable=False)
    high = NumberColumn(verbose_name=gettext_lazy("Early"), orderable=False)
    middle_alone = NumberColumn(verbose_name=gettext_lazy("Alone, middle"), orderable=False)
    resource = TextColumn(verbose_name=gettext_lazy("What binds"), orderable=False)
    nucs = NumberColumn(verbose_name=gettext_lazy("Can be made"), orderable=False)
    adds = TextColumn(verbose_name=gettext_lazy("More of it adds"), orderable=False, empty_values=())

    def render_resource(self, value: str) -> str:
        return str(RESOURCE_WORDS[value])

    def render_adds(self, record: Any) -> str:
        if record.adds is None:
            return _("no other limit is known")
        words = {"nucs": record.adds, "next": RESOURCE_WORDS[record.next_resource]}
        return _("%(nucs)s (next: %(next)s)") % words


class SaleWeekTable(LedgerTable):
    """The table beside the picture."""

    caption = gettext_lazy("Nucs with a laying queen that could be sold by the end of each week, and promised by then")
    stacks = False

    week = WeekColumn(verbose_name=gettext_lazy("Sold by"), orderable=False)
    low = NumberColumn(verbose_name=gettext_lazy("Late spring"), orderable=False)
    middle = NumberColumn(verbose_name=gettext_lazy("Middle"), orderable=False)
    high = NumberColumn(verbose_name=gettext_lazy("Early"), orderable=False)
    promised = NumberColumn(verbose_name=gettext_lazy("Promised"), orderable=False)


class YardTable(LedgerTable):
    caption = gettext_lazy("Nucs that each yard could give by then; alone is each colony by itself")
    stacks = False

    yard = TextColumn(verbose_name=gettext_lazy("Yard"))
    low = NumberColumn(verbose_name=gettext_lazy("Late spring"))
    middle = NumberColumn(verbose_name=gettext_lazy("Middle"))
    high = NumberColumn(verbose_name=gettext_lazy("Early"))
    middle_alone = NumberColumn(verbose_name=gettext_lazy("Alone, middle"))


class SwarmTable(LedgerTable):
    """Colonies that are full or fill up, those whose check is due first."""

    caption = gettext_lazy("Colonies that are full or will be within six weeks")
    empty_text = gettext_lazy("No colony is full or fills up within six weeks.")

    tag = LinkColumn(verbose_name=gettext_lazy("Colony"), url_name="yards:colony", key="tag")
    words = StateColumn(verbose_name=gettext_lazy("State"), tones="tone", orderable=False)
    next_check_on = DateColumn(verbose_name=gettext_lazy("Next check"))
    yard_name = LinkColumn(verbose_name=gettext_lazy("Yard"), url_name="yards:detail", key="yard_code")
    position = NumberColumn(verbose_name=gettext_lazy("Position"))
    full_on = DateColumn(verbose_name=gettext_lazy("Full by"))
    full_early_on = DateColumn(verbose_name=gettext_lazy("In an early spring"))
    outcome = TextColumn(verbose_name=gettext_lazy("Cells last looked for"), orderable=False)
    costs_nucs = NumberColumn(verbose_name=gettext_lazy("A swarm costs"), unit=gettext_lazy("nucs"), decimals=1)


class LeftOutTable(LedgerTable):
    caption = gettext_lazy("Colonies that do not count, by reason")

    reason = TextColumn(verbose_name=gettext_lazy("Reason"))
    colonies = NumberColumn(verbose_name=gettext_lazy("Colonies"))


class AssumptionTable(LedgerTable):
    caption = gettext_lazy("What these numbers assume")

    label = TextColumn(verbose_name=gettext_lazy("Assumption"), orderable=False)
    value = NumberColumn(verbose_name=gettext_lazy("Value"), orderable=False)
    unit = TextColumn(verbose_name=gettext_lazy("Unit"), orderable=False)
    allowed = TextColumn(verbose_name=gettext_lazy("Allowed"), accessor="low", orderable=False)
    source = TextColumn(verbose_name=gettext_lazy("Source"), orderable=False)

    def render_allowed(self, record: Any) -> str:
        return _("%(low)s to %(high)s") % {"low": _signed(record.low), "high": _signed(record.high)}

    def render_source(self, value: str, record: Any) -> str:
        return value if record.is_default else _("set here; the default was %(source)s") % {"source": value}


class BuildUpTable(LedgerTable):
    caption = gettext_lazy("Starting values of the build-up, the same for every season")

    name = TextColumn(verbose_name=gettext_lazy("Value of"), orderable=False)
    value = NumberColumn(verbose_name=gettext_lazy("Value"), orderable=False)
    unit = TextColumn(verbose_name=gettext_lazy("Unit"), orderable=False)
    source = TextColumn(verbose_name=gettext_lazy("Source"), orderable=False)

    def render_name(self, value: str) -> str:
        return value.replace("_", " ").replace("march", "in March").replace("may", "in May")

    def render_value(self, value: float) -> str:
        return f"{value:g}"


def _signed(value: Any) -> str:
    return f"{value}".replace("-", "−")
