"""Tables of two rounds side by side, and of a yard over time."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django.utils.formats import number_format
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.tables import LedgerTable, LinkColumn, NumberColumn, StateColumn
from apiary_ops.yards.queries import YardRow


def signed(frames: Decimal) -> str:
    """A change as +1.5, −0.5 or 0.0."""
    figure = number_format(abs(frames), 1)
    return f"+{figure}" if frames > 0 else f"−{figure}" if frames < 0 else figure


class YardChangeTable(LedgerTable):
    """Yards in two rounds, the one that fell most first."""

    caption = _("Yards, by the colonies counted in both rounds; those that fell most first")
    empty_text = _("No colony was counted in both rounds.")

    yard = LinkColumn(verbose_name=_("Yard"), url_name="yards:detail", key="yard__code")
    words = StateColumn(verbose_name=_("Wants"), tones="tone", orderable=False)
    colonies = NumberColumn(verbose_name=_("Colonies"))
    then = NumberColumn(verbose_name=_("Then"), unit=_("frames"), decimals=1)
    now = NumberColumn(verbose_name=_("Now"), unit=_("frames"), decimals=1)
    by = NumberColumn(verbose_name=_("Change"), unit=_("frames"), decimals=1)
    fell = NumberColumn(verbose_name=_("Fell"))
    fell_behind = NumberColumn(verbose_name=_("Fell behind"))

    def render_by(self, value: Decimal) -> str:
        return signed(value)


class ColonyChangeTable(LedgerTable):
    """Colonies in two rounds, the one that fell most first."""

    caption = _("Colonies counted in both rounds, those that fell most first")
    empty_text = _("No colony was counted in both rounds.")

    tag = LinkColumn(verbose_name=_("Colony"), url_name="yards:colony", key="tag")
    words = StateColumn(verbose_name=_("State"), tones="tone", orderable=False)
    yard_name = LinkColumn(verbose_name=_("Yard"), url_name="yards:detail", key="yard_code")
    position = NumberColumn(verbose_name=_("Position"))
    then = NumberColumn(verbose_name=_("Then"), unit=_("frames"), decimals=1)
    now = NumberColumn(verbose_name=_("Now"), unit=_("frames"), decimals=1)
    by = NumberColumn(verbose_name=_("Change"), unit=_("frames"), decimals=1)
    margin = NumberColumn(verbose_name=_("Counts err by"), unit=_("frames"), decimals=1)

    def render_by(self, value: Decimal) -> str:
        return signed(value)


class MixTable(LedgerTable):
    """Colonies of each grade by yard, the table beside the picture; a column for each grade in force."""

    caption = _("Colonies of each grade by yard")

    yard = LinkColumn(verbose_name=_("Yard"), url_name="yards:detail", key="yard__code", orderable=False)

    def __init__(self, rows: Sequence[YardRow], *, grades: Sequence[str], **kwargs: Any) -> None:
        columns = [
            (
                f"grade_{place}",
                NumberColumn(verbose_name=capfirst(grade), accessor=f"counts__{place}", orderable=False),
            )
            for place, grade in enumerate(grades)
        ]
        super().__init__(rows, extra_columns=columns, **kwargs)
