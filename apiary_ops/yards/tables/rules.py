"""Grade rules, factors, and whom they change."""

from decimal import Decimal
from typing import Any

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.tables import LedgerTable, LinkColumn, NumberColumn, TextColumn
from apiary_ops.core.templatetags.ledger import temperature
from apiary_ops.yards.models import Factor

NUMBER = {"td": {"class": "number"}, "th": {"class": "number"}}
COLDEST_C = Decimal(-30)  # the first band begins with the coldest day a visit may note


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
    stated_by = TextColumn(
        verbose_name=_("Stated by"), accessor="stated_by__full_name", orderable=False, default=_("came with the desk")
    )

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


class StandardTable(LedgerTable):
    """What others ask of a colony, for comparison."""

    caption = _("Published standards, for comparison only")

    name = TextColumn(verbose_name=_("Standard"), orderable=False)
    least_frames = NumberColumn(verbose_name=_("Bees from"), unit=_("frames"), orderable=False)
    brood_frames = NumberColumn(verbose_name=_("Brood from"), unit=_("full frames"), decimals=1, orderable=False)
    least_bees = NumberColumn(verbose_name=_("Bees from"), unit=_("bees"), orderable=False)
    says = TextColumn(verbose_name=_("Besides"), orderable=False)
    source = TextColumn(verbose_name=_("Source"), orderable=False)
    how = TextColumn(verbose_name=_("How it is known"), orderable=False)
