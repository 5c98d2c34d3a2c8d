from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from apiary_ops.business.queries import business, seasons
from apiary_ops.closing import queries
from apiary_ops.closing.compute import CENTS, Proof
from apiary_ops.kernel.money import Money


class Command(BaseCommand):
    help = "Check every proof of the seasons and the seal of every entry; ends with 1 when anything differs."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--season", type=int, help="only the season of this spring, such as 2027")

    def handle(self, *, season: int | None, **options: Any) -> None:
        chosen = [row for row in seasons() if season in (None, row.year)]
        if not chosen:
            raise CommandError(f"There is no season {season}." if season else "There is no season yet.")
        currency = business().currency
        failed = checked = 0
        for row in chosen:
            self.stdout.write(f"Season {row.year}")
            for proof in queries.proofs(row.pk):
                checked += 1
                failed += not proof.agrees
                self._say(proof, currency)
        broken = queries.unbalanced_entries()
        self.stdout.write("  every entry is sealed and sums to zero" if not broken else "  seals")
        for finding in broken:
            self.stdout.write(f"    {finding.text}")
        if failed or broken:
            raise CommandError(f"{failed} of {checked} proofs differ; broken entries: {len(broken)}.")
        self.stdout.write(f"{checked} proofs agree.")

    def _say(self, proof: Proof, currency: str) -> None:
        left, right = (_shown(value, proof.unit, currency) for value in (proof.left, proof.right))
        word = "agrees " if proof.agrees else "DIFFERS"
        self.stdout.write(f"  {word}  {proof.name}: {left} {'=' if proof.left == proof.right else '≠'} {right}")
        for finding in proof.exceptions:
            self.stdout.write(f"             {finding.text}")


def _shown(value: int, unit: str, currency: str) -> str:
    return str(Money(value, currency)) if unit == CENTS else f"{value:,} {unit}"
