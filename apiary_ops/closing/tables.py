from dataclasses import dataclass

from django.utils.translation import gettext as _

from apiary_ops.kernel.money import MINUS, Money

from .compute import CENTS, QUEENS, Finding, Part, Proof

# On screen; a proof gone wrong can name thousands of rows, and the first ones show what kind of mistake it is.
MOST_EXCEPTIONS = 25


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a proof in figures fit to show."""

    label: str
    lines: tuple[tuple[str, str], ...]
    total: str


@dataclass(frozen=True, slots=True)
class ProofRow:
    """A proof as the page shows it; `key` is its place on the page."""

    key: str
    name: str
    unit: str
    left: Side
    right: Side
    difference: str
    agrees: bool
    exceptions: tuple[Finding, ...]
    more: int
    advice: str


def proof_rows(proofs: list[Proof], currency: str) -> list[ProofRow]:
    """The proofs with their figures written out."""
    return [_row(f"proof-{place}", proof, currency) for place, proof in enumerate(proofs, start=1)]


def _row(key: str, proof: Proof, currency: str) -> ProofRow:
    def side(label: str, parts: tuple[Part, ...], total: int) -> Side:
        lines = tuple((part.label, _figure(part.value, proof.unit, currency)) for part in parts)
        return Side(label, lines, _figure(total, proof.unit, currency))

    return ProofRow(
        key=key,
        name=proof.name,
        unit={CENTS: currency, QUEENS: _("queens")}.get(proof.unit, _("nucs")),
        left=side(proof.left_label, proof.left_parts, proof.left),
        right=side(proof.right_label, proof.right_parts, proof.right),
        difference=_figure(proof.difference, proof.unit, currency) if proof.difference else "",
        agrees=proof.agrees,
        exceptions=proof.exceptions[:MOST_EXCEPTIONS],
        more=max(0, len(proof.exceptions) - MOST_EXCEPTIONS),
        advice=proof.advice,
    )


def _figure(value: int, unit: str, currency: str) -> str:
    return Money(value, currency).plain if unit == CENTS else f"{value:,}".replace("-", MINUS)
