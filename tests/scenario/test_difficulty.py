"""How hard a variant is: counted from the variant, and refused beyond the band."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.outside import share
from trainer.base.places import scenarios_dir
from trainer.instruments.shown import figure
from trainer.scenario.checking import check_scenario
from trainer.scenario.difficulty import load, table, unlike
from trainer.scenario.load import load_scenario, scenario_names
from trainer.scenario.proof import apart_by, mismatch
from trainer.scenario.readings import Symptom
from trainer.scenario.variants import met, variant

#: Of each job; an obstacle of one in four is in them.
SEEDS = range(40)
METER = "meter: {draw: tool, instrument: meter, conditions: [good, good, flat battery, open lead]}"
GOOD_OR_TWO = "cause: {draw: fault, choices: [none, F36, F49, F50]}"


def mine(tmp_path: Path, job: str, old: str, new: str) -> Path:
    text = (scenarios_dir() / "jobs" / f"{job}.yaml").read_text(encoding="utf-8")
    assert old in text
    path = tmp_path / f"{job}.yaml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    return path


@pytest.mark.parametrize("job", share(scenario_names(), 2, 1))
def test_all_variants_that_ship_are_of_like_difficulty(job: str) -> None:
    assert list(unlike(load_scenario(job), job, SEEDS)) == []


def test_a_seed_with_two_conditions_more_than_most_is_refused(tmp_path: Path) -> None:
    """A good unit in two draws of three, and three conditions at once in some."""
    dial = "{draw: fault, choices: [none, none, %s]}"
    three = "\n    ".join(f"{n}: {dial % f}" for n, f in (("a", "F36"), ("b", "F49"), ("c", "F50")))
    path = mine(tmp_path, "no-aid-is-the-right-answer", GOOD_OR_TWO, three)
    found = check_scenario(path, simulate=False, seeds=range(20))
    assert found.faults
    for fault in found.faults:
        assert (
            "is of another difficulty: " in fault.what and "the middle of 24 seeds is" in fault.what
        )
        assert "variants" in fault.where
    seeds = [f.what.partition(" is of")[0] for f in found.faults]
    scenario = load_scenario(path)
    planted = [len(met(scenario, path.stem, int(s.removeprefix("seed "))).faults) for s in seeds]
    assert min(planted) >= 2 and len(planted) < 20


def test_a_seed_with_every_obstacle_is_refused(tmp_path: Path) -> None:
    """Most draws have one instrument in four out of order; a few have all but one."""
    bad = "conditions: [good, good, good, flat battery]}"
    tools = ("meter", "clamp", "tester", "insulation")
    four = "\n    ".join(f"{t}: {{draw: tool, instrument: {t}, {bad}" for t in tools)
    path = mine(tmp_path, "make-it-dead", METER, four)
    refused = list(unlike(load_scenario(path), path.stem, SEEDS))
    assert 0 < len(refused) < 5
    assert all("instrument 3" in m.what or "instrument 4" in m.what for m in refused)


def test_what_is_counted() -> None:
    found = met(load_scenario("hum-and-no-turn"), "hum-and-no-turn", 0)
    points = load(found).points
    assert points["condition"] == table().points["condition"] * len(found.faults) == 1.0
    assert points["marking"] == table().points["marking"] * 2  # its dial puts dirt on two
    assert points["diagram"] == table().diagram[found.layout.diagram.state]
    assert points["instrument"] == points["charge"] == 0.0


def test_the_same_unit_is_counted_that_is_handed_out() -> None:
    for seed in range(3):
        scenario = load_scenario("growl-after-repair")
        light, whole = (
            met(scenario, "growl-after-repair", seed),
            variant(scenario, "growl-after-repair", seed),
        )
        assert light.unit.conductors == whole.unit.conductors
        assert light.unit.parts == whole.unit.parts
        assert light.target.conductors == whole.target.conductors
        assert (light.faults, light.layout) == (whole.faults, whole.layout)


def test_how_far_two_displays_are_apart() -> None:
    assert apart_by(figure(234.1, "V"), figure(237.6, "V")) == pytest.approx(3.5 / 237.6)
    assert apart_by(figure(0.0, "V"), figure(0.0, "V")) == 0.0
    over = figure(float("inf"), "ohm")
    assert apart_by(over, figure(3.0, "ohm")) == 1.0
    assert apart_by(over, over) == 0.0


def test_a_reading_that_hardly_differs_is_refused_with_both_figures() -> None:
    """A pitted contact moves the line amps in the second decimal: a span between them proves it,
    and no hand meter does."""
    scenario = load_scenario("no-aid-is-the-right-answer")
    thin = {"name": "line amps", "with": "clamp", "at": ["1"], "when": "running", "after": "2 s"}
    symptom = Symptom.model_validate({**thin, "between": ["8.59 A", "9 A"]})
    built = variant(scenario, "no-aid-is-the-right-answer", 0)
    told = mismatch(built, "F36", symptom)
    assert told.startswith("line amps reads 8.60 A with F36 and 8.58 A without F36: 0.2 % apart")
