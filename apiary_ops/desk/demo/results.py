"""One page of what the season came to; only figures that were truly computed."""

from collections.abc import Callable

from apiary_ops.billing import queries as billing
from apiary_ops.capacity import queries as capacity
from apiary_ops.closing import queries as closing
from apiary_ops.kernel.money import Money
from apiary_ops.margin import queries as margin
from apiary_ops.margin.compute import rounded_per_nuc
from apiary_ops.nucs.models import Nuc
from apiary_ops.orders.models import Line

from .scenario import Scenario

WIDTH = 34


def write_page(scenario: Scenario, say: Callable[[str], None]) -> bool:
    """Print the results; True when every proof agrees."""
    season, currency = scenario.season, scenario.data["business"]["currency"]

    def row(label: str, value: str) -> None:
        say(f"  {label:<{WIDTH}} {value}")

    say(f"{scenario.data['business']['name']}, season {season}, on {scenario.today:%A %d %B %Y}")
    forecast = capacity.latest_forecast(season.pk)
    if forecast is not None:
        row("Colonies graded for nucs", f"{forecast.colonies_counted:,} of {len(scenario.found['colonies']):,}")
        for kind in capacity.kind_capacity(forecast):
            row(f"Could still make, {kind.kind}", f"{kind.low:,} – {kind.middle:,} – {kind.high:,}  (assumed springs)")
    made = Nuc.objects.filter(season=season)
    promised = sum(
        Line.objects.filter(order__season=season, state__in=["promised", "part collected", "collected"]).values_list(
            "quantity", flat=True
        )
    )
    row("Nucs made", f"{made.count():,}")
    row("Promised", f"{promised:,}")
    row("Ready now", f"{made.filter(state__in=Nuc.LIVE_STATES, ready_on__isnull=False).count():,}")
    row("Handed over", f"{made.filter(state=Nuc.State.HANDED_OVER).count():,}")
    row("Deposits held", str(Money(billing.deposits_held_total(season.pk), currency)))
    write_margin(scenario, row, currency)
    say("\nProofs")
    proofs = closing.proofs(season.pk)
    for proof in proofs:
        say(f"  {'agrees ' if proof.agrees else 'DIFFERS'}  {proof.name}")
        for exception in [] if proof.agrees else proof.exceptions[:5]:
            say(f"           {exception.text}")
    say("\nSign in as")
    for person in scenario.data["people"]:
        row(f"{person['username']} ({person['role']})", person["password"])
    return all(proof.agrees for proof in proofs)


def write_margin(scenario: Scenario, row: Callable[[str, str], None], currency: str) -> None:
    """Margin per nuc of each kind handed over."""
    report = margin.season_margin(scenario.season.pk)
    for kind in report.margin.kinds:
        per_nuc = rounded_per_nuc(kind)
        if per_nuc is not None:
            row(f"Margin per nuc, {report.kinds[kind.key]}", str(Money(per_nuc.margin_cents, currency)))
