from collections.abc import Mapping
from datetime import date
from typing import Any

from django.utils.formats import date_format
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext_lazy as _
from django_tables2.utils import Accessor

from apiary_ops.core.tables import (
    DateColumn,
    LedgerColumn,
    LedgerTable,
    LinkColumn,
    NumberColumn,
    StateColumn,
    TextColumn,
)
from apiary_ops.core.templatetags.ledger import halves

from .models import Nuc, NucKind
from .queries import Standing, standing


class NucTable(LedgerTable):
    """Nucs with how they stand today; give `today` and the yards on hold."""

    number = LinkColumn(verbose_name=_("Nuc"), url_name="nucs:nuc")
    kind = TextColumn(verbose_name=_("Kind"), accessor="kind__name")
    yard = TextColumn(verbose_name=_("Stands at"), accessor="yard__name")
    batch = LinkColumn(verbose_name=_("Batch"), accessor="batch_id", url_name="nucs:batch", key="batch_id")
    queened_on = DateColumn(verbose_name=_("Queen in"))
    state = StateColumn(verbose_name=_("State"), tones="state_tone")
    ready_on = LedgerColumn(verbose_name=_("Ready"), empty_values=())
    collect_by = LedgerColumn(
        verbose_name=_("Collect by"), empty_values=(), orderable=False, attrs={"cell": {"class": "date"}}
    )

    def __init__(self, *args: Any, today: date, held_yards: Mapping[int, str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today, self.held_yards = today, held_yards

    def standing(self, nuc: Nuc) -> Standing:
        return standing(nuc, self.today, self.held_yards)

    def render_ready_on(self, record: Nuc) -> SafeString | str:
        found = self.standing(record)
        return format_html('<span class="state state-{}">{}</span>', found.tone, found.word) if found.word else ""

    def value_ready_on(self, record: Nuc) -> str:
        return self.standing(record).word

    def render_collect_by(self, record: Nuc) -> str:
        found = self.standing(record)
        return date_format(found.collect_by, "D j M") if found.collect_by else ""

    def value_collect_by(self, record: Nuc) -> str:
        found = self.standing(record)
        return found.collect_by.isoformat() if found.collect_by else ""


class BatchNucTable(NucTable):
    """The nucs of one batch, with what each lacks; give its words by pk."""

    missing = LedgerColumn(verbose_name=_("What is missing"), empty_values=(), orderable=False)

    class Meta:
        exclude = ("kind", "yard", "batch", "queened_on")
        sequence = ("number", "state", "ready_on", "missing", "collect_by")

    def __init__(self, *args: Any, missing: Mapping[int, str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.missing_of = missing

    def render_missing(self, record: Nuc) -> str:
        return self.missing_of.get(record.pk, "")


class SplitDayTable(LedgerTable):
    on = DateColumn(verbose_name=_("Day"), linkify=("nucs:split-day", [Accessor("pk")]))
    yard = TextColumn(verbose_name=_("Yard"), accessor="yard__name")
    state_word = StateColumn(verbose_name=_("State"), tones="state_tone", orderable=False)
    batch_count = NumberColumn(verbose_name=_("Batches"))
    nucs_made = NumberColumn(verbose_name=_("Nucs made"))


class BatchTable(LedgerTable):
    pk = LinkColumn(verbose_name=_("Batch"), url_name="nucs:batch")
    kind = TextColumn(verbose_name=_("Kind"), accessor="kind__name")
    made = NumberColumn(verbose_name=_("Nucs"))
    stands_at = TextColumn(verbose_name=_("Stands at"), accessor="stands_at__name")
    made_on = DateColumn(verbose_name=_("Made up"))
    queen_in_on = DateColumn(verbose_name=_("Queens in"))
    lot = TextColumn(verbose_name=_("Lot"), accessor="lot__code")


class DonationTable(LedgerTable):
    """What each colony gave on one day."""

    colony = LinkColumn(
        verbose_name=_("Colony"), accessor="colony__tag", url_name="yards:colony", key="colony__tag", orderable=False
    )
    bees_frames = NumberColumn(verbose_name=_("Frames of bees"), orderable=False)
    brood_frames = NumberColumn(verbose_name=_("Frames of brood"), orderable=False)


class CheckTable(LedgerTable):
    """What was seen of one nuc; what was not looked at stays empty."""

    on = DateColumn(verbose_name=_("Day"), orderable=False)
    queen = TextColumn(verbose_name=_("Queen"), orderable=False)
    covered_halves = LedgerColumn(verbose_name=_("Covered"), orderable=False)
    brood_halves = LedgerColumn(verbose_name=_("Brood"), orderable=False)
    food_halves = LedgerColumn(verbose_name=_("Food"), orderable=False)
    own_sealed_brood = LedgerColumn(verbose_name=_("Own sealed brood"), orderable=False)
    queen_cells = LedgerColumn(verbose_name=_("Queen cells"), orderable=False)
    disease_clear = LedgerColumn(verbose_name=_("Disease"), orderable=False)
    note = TextColumn(verbose_name=_("Note"), orderable=False)
    recorded_by = TextColumn(verbose_name=_("By"), orderable=False)

    def render_covered_halves(self, value: int) -> str:
        return halves(value)

    render_brood_halves = render_food_halves = render_covered_halves

    def render_own_sealed_brood(self, value: bool) -> Any:
        return _("seen") if value else _("none seen")

    def render_queen_cells(self, value: bool) -> Any:
        return _("found") if value else _("none")

    def render_disease_clear(self, value: bool) -> Any:
        return _("looked clear") if value else _("did not look clear")


class KindTable(LedgerTable):
    """Kinds with their recipes and standards."""

    name = TextColumn(verbose_name=_("Kind"))
    frames = NumberColumn(verbose_name=_("Frames"))
    make_up = LedgerColumn(verbose_name=_("Make-up"), empty_values=(), orderable=False)
    sale = LedgerColumn(verbose_name=_("At sale"), empty_values=(), orderable=False)
    weeks_to_sale = NumberColumn(verbose_name=_("Weeks to sale"))
    keeps_days = NumberColumn(verbose_name=_("Days a ready one keeps"))
    source = TextColumn(verbose_name=_("Source"), orderable=False)

    def render_make_up(self, record: NucKind) -> str:
        return record.make_up_words

    def render_sale(self, record: NucKind) -> str:
        return record.sale_words


class EditableKindTable(KindTable):
    """The same for those who may change them."""

    name = LinkColumn(verbose_name=_("Kind"), url_name="nucs:kind-edit", key="code")
