from django.db.models import Count, F, Q, Sum
from django.urls import reverse
from django.utils.translation import gettext as _

from apiary_ops.billing.models import InvoiceLine
from apiary_ops.business.models import Season
from apiary_ops.closing.compute import NUCS, Finding, Part, Proof
from apiary_ops.nucs.models import Batch, Nuc
from apiary_ops.orders.models import Line
from apiary_ops.pickups.models import HandedNuc
from apiary_ops.promise.models import Release

from .findings import Place, batch_place, count_findings, nuc_url, order_place


def nucs_proof(season: Season) -> Proof:
    """Nucs made, by batch, against what became of them: the states of nucs, and the hand-overs."""
    made = Batch.objects.filter(season=season).aggregate(made=Sum("made", default=0))["made"]
    states = dict(Nuc.objects.filter(season=season).values_list("state").annotate(nucs=Count("pk")).order_by())
    handed = HandedNuc.objects.filter(nuc__season=season).count()
    # By their history: what became of them later does not undo that they came back.
    came_back = Nuc.history.filter(season_id=season.pk, state=Nuc.State.RETURNED).order_by()
    returned = set(came_back.values_list("id", flat=True).distinct())
    in_hand = sum(states.get(state, 0) for state in (*Nuc.LIVE_STATES, Nuc.State.RETURNED))
    return Proof(
        name=_("Nucs made"),
        unit=NUCS,
        left_label=_("Made, by batch"),
        left_parts=(Part(_("made"), made),),
        right_label=_("What became of them"),
        right_parts=(
            Part(_("handed over"), handed),
            Part(_("in hand"), in_hand),
            Part(_("lost"), states.get(Nuc.State.LOST, 0)),
            Part(_("united"), states.get(Nuc.State.UNITED, 0)),
            Part(_("kept as colonies"), states.get(Nuc.State.KEPT, 0)),
            Part(_("came back, so counted twice"), -len(returned)),
        ),
        exceptions=(*_batches_off(season), *_hand_overs_off(season, returned)),
        advice=_("Open each nuc or batch named here and record what became of it."),
    )


def _batches_off(season: Season) -> tuple[Finding, ...]:
    rows = Batch.objects.filter(season=season).annotate(rows=Count("nucs")).exclude(made=F("rows")).order_by("pk")
    off = [(batch.pk, batch.made, batch.rows) for batch in rows]
    return count_findings({pk: made for pk, made, _n in off}, {pk: nucs for pk, _m, nucs in off}, batch_place)


def _hand_overs_off(season: Season, returned: set[int]) -> list[Finding]:
    """Nucs that left without a hand-over, and nucs handed over that stand in the yard and never came back."""
    left = Q(state=Nuc.State.HANDED_OVER)
    rows = Nuc.objects.filter(season=season).filter((left & Q(handed__isnull=True)) | (~left & Q(handed__isnull=False)))
    found = []
    for nuc in rows.order_by("number"):
        words = {"number": nuc.number, "state": nuc.get_state_display()}
        if nuc.state == Nuc.State.HANDED_OVER:
            text = _("Nuc %(number)s is %(state)s and no hand-over names it.") % words
        elif nuc.pk not in returned:
            text = _("Nuc %(number)s was handed over and is %(state)s.") % words
        else:
            continue
        found.append(Finding(text, nuc_url(nuc.pk)))
    return found


def handed_over_proof(season: Season) -> Proof:
    """Nucs collected on order lines, handed over at the gate, and invoiced: order by order."""
    lines = Line.objects.filter(order__season=season, collected__gt=0).values_list("order__number")
    collected = dict(lines.annotate(nucs=Sum("collected")).order_by("order__number"))
    given = HandedNuc.objects.filter(line__order__season=season).values_list("line__order__number")
    handed = dict(given.annotate(nucs=Count("pk")).order_by("line__order__number"))
    billed = InvoiceLine.objects.filter(order_line__order__season=season).values_list("order_line__order__number")
    invoiced = dict(billed.annotate(nucs=Sum("quantity")).order_by("order_line__order__number"))
    return Proof(
        name=_("Nucs handed over"),
        unit=NUCS,
        left_label=_("At the gate"),
        left_parts=(Part(_("handed over"), sum(handed.values())),),
        right_label=_("On invoices"),
        right_parts=(Part(_("invoiced"), sum(invoiced.values())),),
        exceptions=(
            *count_findings(handed, invoiced, _invoiced_place),
            *count_findings(handed, collected, _collected_place),
        ),
        advice=_("Open the order: each hand-over makes its own invoice and counts on its line."),
    )


def _invoiced_place(number: str) -> Place:
    name, url = order_place(number)
    return _("%(order)s, handed over and invoiced") % {"order": name}, url


def _collected_place(number: str) -> Place:
    name, url = order_place(number)
    return _("%(order)s, handed over and counted on its lines") % {"order": name}, url


def promised_proof(season: Season) -> Proof:
    """Nucs promised, as each round and kind counts them, against the order lines that hold them."""
    releases = Release.objects.filter(round__season=season).values_list("round__name", "kind__name", "promised")
    counted = {(round_name, kind): nucs for round_name, kind, nucs in releases.order_by("round__starts_on", "kind_id")}
    lines = Line.objects.filter(order__season=season, state__in=Line.PROMISED_STATES)
    rows = lines.values_list("round__name", "kind__name").annotate(nucs=Sum("quantity"))
    summed = rows.order_by("round__starts_on", "kind_id")
    held = {(round_name, kind): nucs for round_name, kind, nucs in summed}
    return Proof(
        name=_("Nucs promised"),
        unit=NUCS,
        left_label=_("Counted by round"),
        left_parts=(Part(_("promised"), sum(counted.values())),),
        right_label=_("On order lines"),
        right_parts=(Part(_("promised or collected"), sum(held.values())),),
        exceptions=count_findings(counted, held, _round_place),
        advice=_("Open the rounds and compare what is promised in each with its orders."),
    )


def _round_place(key: tuple[str, str]) -> Place:
    return " · ".join(key), reverse("promise:take-order")
