"""Nothing that a shipped rubric charges is without cases in these tests.

A code added to a rubric, or a new critical error, fails here until its cases are written.
"""

import pytest

from tests.assess import test_checks_each as test_checks
from tests.assess import test_critical_near as test_critical
from tests.assess import test_diagnosis, test_dressing, test_rules, test_workmanship
from trainer.assess.finding_rubric import load_rubric, rubric_names, rubrics_dir
from trainer.assess.lint import CORRECTNESS


@pytest.mark.parametrize("name", rubric_names())
def test_every_item_of_a_shipped_rubric_has_its_cases(name):
    rubric = load_rubric(rubrics_dir() / f"{name}.yaml")
    charged = {code for table in rubric.checks.values() for code, w in table.items() if w}
    assert charged <= set(test_checks.CASES)
    points = {code for code, weight in rubric.workmanship.items() if weight}
    assert points <= {*test_workmanship.CASES, *test_dressing.CASES, "W22", "W24"}
    assert {rule.name for rule in rubric.rules} <= set(test_rules.RULES)
    assert set(rubric.critical) <= set(test_critical.CASES)
    assert {item for item, w in rubric.diagnosis.items() if w} <= set(test_diagnosis.cases())
    assert {item for item, w in rubric.correctness.items() if w} <= set(CORRECTNESS)


def test_the_cases_have_every_outcome():
    """Met, and beside it one that is not; what cannot be not met is not shown or left out."""
    for code, cases in test_checks.CASES.items():
        assert "met" in cases and len(cases) >= 2, code
