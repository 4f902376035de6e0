"""The next exercise: what trains what broke first, never above the job, and onward after a pass."""

import pytest

from tests.report.made import OFFERS, critical, finding, mark
from trainer.assess.marks import DOMAINS
from trainer.assess.procedure import procedure
from trainer.report.assets import training
from trainer.report.next_exercise import next_exercise
from trainer.report.shelf import offers
from trainer.scenario.load import load_scenario, scenario_names


def chosen(*findings, criticals=(), offered=OFFERS, **more):
    return next_exercise(mark(findings, criticals, **more), offered, training())


def test_a_code_with_a_job_of_its_own():
    assert chosen(finding("P18 before WORK", "P18")).name == "empty-three-capacitors"


def test_a_code_without_one_goes_by_its_domain():
    assert chosen(finding("P09 before WORK", "P09")).name == "make-it-dead"


def test_never_above_the_job_that_was_done():
    # first-start, of level 4, trains P34; the job is of level 3
    found = chosen(finding("P34 before RESTORE", "P34"))
    assert found.name == "wired" and found.another


def test_the_same_job_again_on_another_board():
    found = chosen(finding("P09 before WORK", "P09"), scenario="make-it-dead", level=2)
    assert found.name == "make-it-dead" and "another seed" in found.sentence


def test_only_a_critical_error():
    found = chosen(criticals=[critical("CF4", (2,))])
    assert found.name == "empty-three-capacitors" and "not safe" in found.why


def test_after_a_pass_the_next_by_level():
    assert chosen(finding(outcome="met")).name == "first-start"


def test_after_the_last_this_one_again():
    found = chosen(finding(outcome="met"), scenario="first-start", level=4)
    assert found.name == "first-start" and found.another


def test_nothing_on_offer():
    assert chosen(finding(), offered=()) is None


def test_the_table_names_jobs_and_codes_that_exist():
    table, known = training(), procedure()
    names = {n for row in (*table.codes.values(), *table.domains.values()) for n in row}
    assert names <= set(scenario_names())
    assert set(table.codes) <= {*known.steps, *known.critical}
    assert set(table.domains) == set(DOMAINS)


@pytest.mark.parametrize("offer", offers(), ids=lambda o: o.name)
def test_what_is_offered_is_what_the_file_says(offer):
    scenario = load_scenario(offer.name)
    assert (offer.title, offer.level) == (scenario.title, scenario.level)
