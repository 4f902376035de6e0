"""Scenarios that ship: form, fit and units of a handful of seeds; the proofs of one."""

import jsonschema
import pytest

from tests.outside import share
from trainer.base.places import assets_dir
from trainer.base.yamlfile import read
from trainer.cli.schema import schema_of
from trainer.scenario.building import build_misfits
from trainer.scenario.checking import check_scenario
from trainer.scenario.load import find_scenario, load_scenario, scenario_names
from trainer.scenario.variants import draw

NAMES = scenario_names()


def test_names_come_by_level():
    levels = [load_scenario(name).level for name in NAMES]
    assert levels == sorted(levels)
    assert {"make-it-dead", "dual-capacitor-unit"} <= set(NAMES)


@pytest.mark.parametrize("name", share(NAMES, 2))
def test_form_fit_and_units_are_in_order(name):
    # builds the units of five seeds and every choice of every dial
    assert build_misfits(load_scenario(name), name) == []


@pytest.mark.parametrize("name", share(NAMES, 2, 1))
def test_twenty_seeds_draw_and_differ(name):
    scenario = load_scenario(name)
    seen = {str(draw(scenario, name, seed)) for seed in range(20)}
    assert len(seen) > 10


@pytest.mark.parametrize("name", share(NAMES, 2))
def test_the_published_schema_takes_them(name):
    jsonschema.validate(read(find_scenario(name)).data, schema_of("scenario"))


def test_a_whole_check_with_its_proofs():
    found = check_scenario(find_scenario("make-it-dead"), simulate=True, seeds=(1,))
    assert found.faults == []
    assert len(found.proofs) >= 7


def test_a_new_scenario_passes_as_it_stands():
    found = check_scenario(assets_dir() / "new-scenario.yaml", simulate=True)
    assert found.faults == [] and found.proofs
