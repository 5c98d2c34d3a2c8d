from django.utils.translation import gettext_lazy as _

from apiary_ops.core.tables import LedgerTable, LinkColumn, NumberColumn, StateColumn, TextColumn

FIRM = {"td": {"class": "firm"}}


class PlanTable(LedgerTable):
    caption = _("Every line, in the order it is served")

    order = LinkColumn(
        verbose_name=_("Order"),
        accessor="line__order__number",
        url_name="orders:order",
        key="line__order__number",
        attrs=FIRM,
    )
    buyer = TextColumn(verbose_name=_("Buyer"), accessor="line__order__buyer__name")
    kind = TextColumn(verbose_name=_("Kind"), accessor="line__kind__name", attrs=FIRM)
    asked = NumberColumn(verbose_name=_("Owed"))
    given = TextColumn(verbose_name=_("Given"), order_by="first_week")
    short = NumberColumn(verbose_name=_("Short"), empty_values=(0,))
    reason = TextColumn(verbose_name=_("Why"), orderable=False)

    def row_tone(self, record):
        return "mind" if record.short else ""


class ChangeTable(LedgerTable):
    caption = _("What it changes against the plan that stands")

    order = LinkColumn(
        verbose_name=_("Order"),
        accessor="line__order__number",
        url_name="orders:order",
        key="line__order__number",
        attrs=FIRM,
    )
    buyer = TextColumn(verbose_name=_("Buyer"), accessor="line__order__buyer__name")
    change = StateColumn(verbose_name=_("What"), accessor="change_word", tones="change_tone")
    given_before = TextColumn(verbose_name=_("Stands now"), orderable=False)
    given = TextColumn(verbose_name=_("Would be"), order_by="first_week")
    reason = TextColumn(verbose_name=_("Why"), orderable=False)


class WeekTable(LedgerTable):
    caption = _("By week and kind, from this week on")

    label = TextColumn(verbose_name=_("Week"), order_by="week", attrs=FIRM)
    kind = TextColumn(verbose_name=_("Kind"))
    told = NumberColumn(verbose_name=_("Told this week"))
    given = NumberColumn(verbose_name=_("Given by the plan"))
    becomes_ready = NumberColumn(verbose_name=_("Become ready"))
    left = NumberColumn(verbose_name=_("Ready and not given"))
    verdict = StateColumn(
        verbose_name=_("So"), accessor="verdict", tones={"covered": "quiet", "too few": "broken"}, orderable=False
    )


class PinTable(LedgerTable):
    caption = _("Places fixed by hand: the plan gives these first")

    order = LinkColumn(
        verbose_name=_("Order"),
        accessor="line__order__number",
        url_name="orders:order",
        key="line__order__number",
        attrs=FIRM,
    )
    buyer = TextColumn(verbose_name=_("Buyer"), accessor="line__order__buyer__name")
    quantity = NumberColumn(verbose_name=_("Nucs"), accessor="line__outstanding", orderable=False)
    week = TextColumn(verbose_name=_("Week"), accessor="label", order_by="week", attrs=FIRM)
    kind = TextColumn(verbose_name=_("Kind"), accessor="kind__name")
    reason = TextColumn(verbose_name=_("Reason"))
    pinned_by = TextColumn(verbose_name=_("By"), accessor="pinned_by__full_name")
    remove = LinkColumn(
        verbose_name=_("Remove"),
        accessor="pk",
        url_name="allocation:pin-remove",
        orderable=False,
        exclude_from_export=True,
    )

    def render_remove(self):
        return _("Remove")
