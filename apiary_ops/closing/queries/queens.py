from collections import Counter

from django.db.models import Count, Sum
from django.utils.translation import gettext as _

from apiary_ops.books import queries as books
from apiary_ops.business.models import Season
from apiary_ops.closing.compute import CENTS, QUEENS, Part, Proof
from apiary_ops.nucs.models import Nuc
from apiary_ops.queens.models import Lot, QueenMove

from .findings import batch_place, count_findings, lot_place, money_findings, of_subject

KINDS = QueenMove.Kind


def queens_proof(season: Season) -> Proof:
    """Queens received, by lot, against where they went by the moves and what the lots still count as banked."""
    lots = list(Lot.objects.filter(season=season).order_by("code"))
    rows = QueenMove.objects.filter(lot__season=season).values_list("lot__code", "kind").annotate(queens=Sum("queens"))
    moved: dict[str, Counter[str]] = {lot.code: Counter() for lot in lots}
    for code, kind, queens in rows.order_by():
        moved[code][kind] += queens
    went = {kind: sum(by_kind[kind] for by_kind in moved.values()) for kind in KINDS}
    accounted = {lot.code: lot.dead_on_arrival + lot.banked + moved[lot.code].total() for lot in lots}
    return Proof(
        name=_("Queens received"),
        unit=QUEENS,
        left_label=_("Received, by lot"),
        left_parts=(Part(_("received"), sum(lot.received for lot in lots)),),
        right_label=_("Where they are"),
        right_parts=(
            Part(_("dead on arrival"), sum(lot.dead_on_arrival for lot in lots)),
            Part(_("put into nucs"), went[KINDS.INTRODUCED]),
            Part(_("dead in the bank"), went[KINDS.DEAD]),
            Part(_("sold on"), went[KINDS.SOLD_ON]),
            Part(_("credited by the breeder"), went[KINDS.CREDITED]),
            Part(_("banked"), sum(lot.banked for lot in lots)),
        ),
        exceptions=count_findings({lot.code: lot.received for lot in lots}, accounted, lot_place),
        advice=_("Count the bank of each lot named here, and record the queens that died."),
    )


def queens_in_nucs_proof(season: Season) -> Proof:
    """Queens that left the bank for nucs, against the times nucs got a queen by their own history, batch by batch."""
    numbers = dict(Nuc.objects.filter(season=season).values_list("number", "batch_id"))
    taken: Counter[int] = Counter()
    for source, queens in QueenMove.objects.filter(lot__season=season, kind=KINDS.INTRODUCED).values_list(
        "source", "queens"
    ):
        taken[_batch_of(source, numbers)] += queens
    versions = Nuc.history.filter(season_id=season.pk, queened_on__isnull=False).order_by()
    # Each queen has her day; a nuc's other versions repeat it.
    days = versions.values_list("batch_id", "id", "queened_on").distinct()
    given: Counter[int] = Counter(batch_id for batch_id, _nuc, _day in days)
    return Proof(
        name=_("Queens in nucs"),
        unit=QUEENS,
        left_label=_("Taken from lots"),
        left_parts=(Part(_("put into nucs"), taken.total()),),
        right_label=_("By the nucs' own history"),
        right_parts=(Part(_("queens given to nucs"), given.total()),),
        exceptions=count_findings(taken, given, batch_place),
        advice=_("Open the batch and compare its nucs with the moves of its lot."),
    )


def _batch_of(source: str, numbers: dict[int, int]) -> int:
    """The batch a move of queens went into: its source is "batch:12", or "nuc:2027-031" and on a second time "-2"."""
    kind, _colon, key = source.partition(":")
    if kind == "batch" and key.isdecimal():
        return int(key)
    _season, number, *_again = [*key.split("-"), "0"]
    return numbers.get(int(number), 0) if number.isdecimal() else 0


def queens_on_hand_proof(season: Season) -> Proof:
    """Queens on hand in the books, lot by lot, against the landed cost of what the moves have left of each lot."""
    in_books = books.subject_balances("queens-on-hand", season_id=season.pk)
    lots = dict(Lot.objects.filter(season=season).order_by("code").values_list("code", "landed_cents"))
    moves = QueenMove.objects.filter(lot__season=season).values_list("lot__code")
    gone = dict(moves.annotate(cents=Sum("cost_cents")).order_by())
    left = {f"lot:{code}": cents - gone.get(code, 0) for code, cents in lots.items()}
    return Proof(
        name=_("Queens on hand"),
        unit=CENTS,
        left_label=_("In the books"),
        left_parts=(Part(_("queens on hand"), sum(in_books.values())),),
        right_label=_("By lot"),
        right_parts=(
            Part(_("landed cost of the lots"), sum(lots.values())),
            Part(_("taken along by queens that left"), -sum(gone.values())),
        ),
        exceptions=money_findings(in_books, left, of_subject("queens-on-hand", "lot", lot_place)),
        advice=_("Open the account: an entry by hand on it, or a lot without its bill, makes the difference."),
    )


def nucs_in_hand_proof(season: Season) -> Proof:
    """Nucs in hand in the books, batch by batch, against the queen cost of the nucs that are alive."""
    in_books = books.subject_balances("nucs-in-hand", season_id=season.pk)
    live = Nuc.objects.filter(season=season, state__in=Nuc.LIVE_STATES).values_list("batch_id")
    rows = live.annotate(nucs=Count("pk"), cents=Sum("queen_cost_cents")).order_by("batch_id")
    by_batch = {f"batch:{batch_id}": cents for batch_id, _nucs, cents in rows}
    return Proof(
        name=_("Nucs in hand"),
        unit=CENTS,
        left_label=_("In the books"),
        left_parts=(Part(_("nucs in hand"), sum(in_books.values())),),
        right_label=_("By nuc"),
        right_parts=(Part(_("what the queens of live nucs cost"), sum(by_batch.values())),),
        exceptions=money_findings(in_books, by_batch, of_subject("nucs-in-hand", "batch", batch_place)),
        advice=_("Open the batch: a nuc that left without its entry, or an entry by hand, makes the difference."),
    )
