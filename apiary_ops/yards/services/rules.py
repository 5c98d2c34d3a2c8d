"""Grade rules and factors: dated, never changed."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from apiary_ops.core.days import spoken_day
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards.compute import Rule, never_reached
from apiary_ops.yards.models import Factor, GradeRule

from .days import bump_open_seasons
from .task_rules import install_task_rules


class RulesAlreadyDated(RuleBroken):
    pass


class NoCatchAll(RuleBroken):
    pass


class RuleNeverReached(RuleBroken):
    pass


@dataclass(frozen=True, slots=True)
class RuleDraft:
    """One rule of a new set; its place is its place in the list."""

    grade: str
    least_frames: Decimal
    least_sealed_frames: Decimal | None = None
    gives_nucs: bool = True

    def at(self, place: int, valid_from: date) -> Rule:
        return Rule(valid_from, place, self.grade, self.least_frames, self.least_sealed_frames, self.gives_nucs)


def checked_rules(valid_from: date, rules: Sequence[RuleDraft]) -> list[Rule]:
    """The set as it would stand, or the refusal to set it. Raises RuleNeverReached, NoCatchAll."""
    dated = [rule.at(place, valid_from) for place, rule in enumerate(rules, start=1)]
    if hidden := never_reached(dated):
        rule, earlier = hidden
        raise RuleNeverReached(
            _(
                "Rule %(place)s (%(grade)s) can never match: rule %(earlier_place)s (%(earlier_grade)s) "
                "takes all its colonies first. Put the stricter rule first."
            )
            % {"place": rule.place, "grade": rule.grade, "earlier_place": earlier.place, "earlier_grade": earlier.grade}
        )
    if not dated or not dated[-1].takes_every_colony:
        raise NoCatchAll(_("The last rule must take every colony: strength from 0, and no sealed brood asked."))
    return dated


@transaction.atomic
def set_grade_rules(
    *, valid_from: date, rules: Sequence[RuleDraft], actor: User | None, source: str = "the grower's own"
) -> list[GradeRule]:
    """A new set of grade rules from a day on; earlier sets stay as they were.

    Raises RulesAlreadyDated, RuleNeverReached, NoCatchAll.
    """
    dated = checked_rules(valid_from, rules)
    taken = RulesAlreadyDated(
        f"Rules from {spoken_day(valid_from)} are already there and never change. Choose a later day."
    )
    if GradeRule.objects.filter(valid_from=valid_from).exists():
        raise taken
    rows = [
        GradeRule(
            valid_from=valid_from,
            place=rule.place,
            grade=rule.grade,
            least_frames=rule.least_frames,
            least_sealed_frames=rule.least_sealed_frames,
            gives_nucs=rule.gives_nucs,
            source=source,
            stated_by=actor,
        )
        for rule in dated
    ]
    for row in rows:
        row.full_clean(validate_unique=False)
    try:
        with transaction.atomic():
            GradeRule.objects.bulk_create(rows)
    except IntegrityError:
        raise taken from None
    bump_open_seasons()
    return rows


@transaction.atomic
def install_reference_rules() -> int:
    """Install the starting factors, grade and task rules and treatments of fixtures/reference/; returns the rows added.

    Safe to run again: what is there stays as it is.
    """
    with open(settings.BASE_DIR / "fixtures" / "reference" / "yard_rules.json", encoding="utf-8") as file:
        reference: dict[str, Any] = json.load(file)
    valid_from = date.fromisoformat(reference["valid_from"])
    added = install_task_rules()
    for row in reference["factors"]:
        key = {"view": row["view"], "warmer_than_c": Decimal(row["warmer_than_c"]), "valid_from": valid_from}
        values = {"factor": Decimal(row["factor"]), "source": row["source"]}
        added += Factor.objects.get_or_create(**key, defaults=values)[1]
    for row in reference["grade_rules"]:
        values = {
            "grade": row["grade"],
            "least_frames": Decimal(row["least_frames"]),
            "gives_nucs": row["gives_nucs"],
            "source": row["source"],
        }
        added += GradeRule.objects.get_or_create(valid_from=valid_from, place=row["place"], defaults=values)[1]
    if added:
        bump_open_seasons()
    return added
