"""Grade rules: dated sets that never change, and the starting set installed once."""

from datetime import date
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.business import stamps
from apiary_ops.core.versions import StaleRecord
from apiary_ops.yards import queries, services
from apiary_ops.yards.models import Factor, GradeRule, TaskRule, TreatmentKind
from apiary_ops.yards.services import RuleDraft
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.yards import FactorFactory, GradeRuleFactory

pytestmark = pytest.mark.django_db
MARCH = date(2027, 3, 1)
STRONG, REST = RuleDraft("strong", Decimal(6)), RuleDraft("rest", Decimal(0), gives_nucs=False)


def test_a_set_of_rules_is_in_force_from_its_day():
    season = SeasonFactory()
    services.install_reference_rules()

    services.set_grade_rules(valid_from=MARCH, rules=[STRONG, REST], actor=UserFactory())

    before, after = queries.rules_in_force(date(2027, 2, 28)), queries.rules_in_force(MARCH)
    assert [rule.grade for rule in before] == ["best", "ordinary", "slow", "behind"]
    assert [(rule.place, rule.grade, rule.gives_nucs) for rule in after] == [(1, "strong", True), (2, "rest", False)]
    assert stamps.read(season.pk, ["yards"]) == {"yards": 2}


def test_rules_of_a_day_are_set_once():
    services.set_grade_rules(valid_from=MARCH, rules=[REST], actor=None)

    with pytest.raises(services.RulesAlreadyDated) as refusal:
        services.set_grade_rules(valid_from=MARCH, rules=[STRONG, REST], actor=None)

    assert str(refusal.value) == "Rules from Mon 1 Mar 2027 are already there and never change. Choose a later day."


def test_a_rule_that_can_never_match_is_refused():
    with pytest.raises(services.RuleNeverReached) as refusal:
        services.set_grade_rules(valid_from=MARCH, rules=[RuleDraft("fair", Decimal(4)), STRONG, REST], actor=None)

    assert str(refusal.value) == (
        "Rule 2 (strong) can never match: rule 1 (fair) takes all its colonies first. Put the stricter rule first."
    )


@pytest.mark.parametrize("rules", [[], [STRONG], [RuleDraft("strong", Decimal(0), Decimal(1))]])
def test_the_last_rule_takes_every_colony(rules):
    with pytest.raises(services.NoCatchAll, match="The last rule must take every colony"):
        services.set_grade_rules(valid_from=MARCH, rules=rules, actor=None)


def test_the_reference_rules_are_installed_once():
    season = SeasonFactory()

    assert services.install_reference_rules() == 21
    assert services.install_reference_rules() == 0

    assert (Factor.objects.count(), GradeRule.objects.count()) == (6, 4)
    assert (TaskRule.objects.count(), TreatmentKind.objects.count()) == (5, 6)
    assert stamps.read(season.pk, ["yards"]) == {"yards": 1}


def test_the_database_changes_no_rule_and_no_factor():
    rule, factor = GradeRuleFactory(), FactorFactory()

    with pytest.raises(IntegrityError, match="Grade rules never change"), transaction.atomic():
        GradeRule.objects.filter(pk=rule.pk).update(least_frames=1)
    with pytest.raises(IntegrityError, match="A factor never changes"), transaction.atomic():
        Factor.objects.filter(pk=factor.pk).delete()


def test_a_task_rule_is_changed_once_by_each_who_saw_it():
    season, ada = SeasonFactory(), UserFactory()
    services.install_task_rules()

    changed = services.edit_task_rule(code="patty", version=1, changes={"days": 5}, actor=ada)

    assert (changed.days, changed.version) == (5, 2)
    assert stamps.read(season.pk, ["yards"]) == {"yards": 1}
    with pytest.raises(StaleRecord):
        services.edit_task_rule(code="patty", version=1, changes={"days": 9}, actor=ada)
