"""From a name and a seed to a bench: what is handed out, and that nothing planted is told."""

import json
from dataclasses import replace

import pytest

from tests.scenario.files import PLAIN
from trainer.base.errors import Faults, NotFoundError
from trainer.scenario.load import load_scenario
from trainer.scenario.variants import variant
from trainer.session.attempt import start
from trainer.session.opening import CONDITIONS, FOUND, FOUND_MOST, opening, reference
from trainer.session.plain import unit_to_plain


def test_the_same_seed_is_the_same_bench():
    one = opening("dual-capacitor-unit", 5)
    FOUND.clear()
    other = opening("dual-capacitor-unit", 5)
    assert unit_to_plain(one.unit) == unit_to_plain(other.unit)
    assert one.header == other.header and one.found == other.found


def test_the_start_that_is_wanted_is_found_once(monkeypatch):
    """Until what it comes of changes; who got it may write into his own."""
    first = opening("dual-capacitor-unit", 5)
    monkeypatch.setattr("trainer.session.opening.judged", lambda *given: {"anew": True})
    again = opening("dual-capacitor-unit", 5)
    again.found["reference"]["figures"].clear()
    assert opening("dual-capacitor-unit", 5).found == first.found
    made = variant(load_scenario("dual-capacitor-unit"), "dual-capacitor-unit", 5)
    assert reference(replace(made, target=made.unit)) == {"anew": True}
    FOUND.clear()  # what another test would be given


def test_no_more_wanted_starts_are_kept_than_said(monkeypatch):
    monkeypatch.setattr("trainer.session.opening.judged", lambda *given: {})
    made = variant(load_scenario("dual-capacitor-unit"), "dual-capacitor-unit", 5)
    for seed in range(FOUND_MOST + 3):
        reference(replace(made, seed=seed))
    assert len(FOUND) == FOUND_MOST
    FOUND.clear()


def test_a_flat_battery_is_found_flat():
    # seed 2 of this drill draws a flat battery; see tests/scenario/test_variants.py
    opened = opening("make-it-dead", 2)
    bench = start(opened.unit, None, opened.header, found=opened.found).bench
    assert bench.health_of("meter").battery == "flat"
    assert bench.moving


def test_proved_dead_hangs_the_own_lock():
    opened = opening("dual-capacitor-unit", 0)
    bench = start(opened.unit, None, opened.header, found=opened.found).bench
    assert bench.declared and set(bench.locks) == {"disconnect"}
    assert not bench.moving and not bench.charged


def test_every_condition_of_an_instrument_is_one_of_its_health():
    from typing import get_args

    from trainer.instruments.shown import Health
    from trainer.scenario.dials import Condition

    assert set(CONDITIONS) == set(get_args(Condition))
    assert all(Health.model_validate(fields) for fields in CONDITIONS.values())


def test_what_is_planted_is_not_handed_out(tmp_path):
    shown = [{"name": "FAN", "setting": "farads", "at": ["can.C", "can.F"], "lifted": ["can.F"],
              "between": ["0 uF", "1 uF"]}]  # fmt: skip
    path = tmp_path / "planted.yaml"
    data = {**PLAIN, "plant": {"faults": ["F24"]}, "symptoms": {"F24": shown}}
    path.write_text(json.dumps(data), encoding="utf-8")
    opened = opening(str(path), 0)
    said = {key: value for key, value in opened.header.items() if key != "scenario"}  # the path
    told = json.dumps([said, opened.found])
    assert "F24" not in told and "open" not in told
    assert opened.unit.parts["can"].set["fan_condition"] == "open"


def test_a_layout_is_a_free_bench():
    opened = opening("larkspur-row", 0)
    assert "tray" not in opened.found
    assert opened.found["diagram"] == "clean"


def test_unknown_and_broken(tmp_path):
    with pytest.raises(NotFoundError, match="make-it-deaf") as caught:
        opening("make-it-deaf", 0)
    assert "make-it-dead" in caught.value.hint
    path = tmp_path / "broken.yaml"
    path.write_text("scenario: 1\nlevel: 9\n")
    with pytest.raises(Faults):
        opening(str(path), 0)
