"""The whole answer for a plate, simulated starts included. Plates are invented."""

from dataclasses import replace

import pytest
from pytest import approx

from tests.outside import share
from tests.sizing.plates import plate
from trainer.base.places import scenarios_dir
from trainer.sizing import nameplate_file, proof
from trainer.sizing.choose import recommend
from trainer.sizing.sizing import RelayKit

AGAINST_PRESSURE = {"compressor": "reciprocating", "metering": "hard_shutoff_valve"}
SHEET = {
    "sheet": "sheet 7, invented",
    "start_capacitor": ["108 uF", "130 uF"],
    "relay": {"pickup": ["190 V", "220 V"], "dropout_most": "100 V", "continuous": "370 V"},
}


def outcomes(found, gear):
    return [proof.outcome for proof in found.proofs if proof.gear == gear]


def shipped(name):
    return recommend(nameplate_file.read(scenarios_dir() / "nameplates" / f"{name}.yaml"))


def test_a_scroll_that_starts_well_gets_no_aid():
    found = recommend(plate())
    assert found.aid.kind == "none"
    assert "scroll" in found.aid.reason
    assert outcomes(found, "none") == ["clean", "clean"]
    assert found.proofs[0].volts == approx(207.0)


def test_a_piston_against_pressure_gets_a_kit_that_proves_itself_at_the_corners():
    found = recommend(plate(**AGAINST_PRESSURE))
    assert found.aid.kind == "relay_kit"
    assert outcomes(found, "none") == ["stalled", "stalled"]
    assert outcomes(found, "relay_kit") == ["clean", "clean", "clean"]
    kits = [proof for proof in found.proofs if proof.gear == "relay_kit"]
    assert [proof.volts for proof in kits] == [approx(230.0), approx(253.0), approx(195.5)]
    assert found.warnings == ()


def test_lamps_that_dip_get_a_soft_starter_with_less_line_current():
    found = shipped("rotary-fifty-hertz")
    assert found.aid.kind == "soft_starter"
    assert outcomes(found, "soft_starter") == ["clean", "clean"]
    bare, soft = found.proofs[1], found.proofs[2]
    assert soft.volts == bare.volts
    assert soft.details["max_cycle_rms_line_a"] < 0.7 * bare.details["max_cycle_rms_line_a"]
    assert any("50 Hz" in note for note in found.notes)


def test_a_generator_is_proved_on_the_sets_that_were_sized():
    found = shipped("scroll-on-a-generator")
    assert found.aid.kind == "soft_starter"
    on_sets = [proof for proof in found.proofs if "generator" in proof.supply]
    assert [proof.gear for proof in on_sets] == ["none", "soft_starter"]
    assert [proof.outcome for proof in on_sets] == ["clean", "clean"]
    # sized for a dip of 30 % without a regulator: the simulated set may not dip more
    assert all(max(proof.details["sag_pct"].values()) <= 30.0 for proof in on_sets)
    bare, soft = (
        found.figures["generator_without_aid"],
        found.figures["generator_with_soft_starter"],
    )
    assert soft.number < bare.number


def failing(monkeypatch, fails):
    """Simulated starts that stall where ``fails(gear)`` says so, and are real elsewhere."""
    real = proof.start

    def start(unit, gear, on, breaker_a):
        found = real(unit, gear, on, breaker_a)
        worse = replace(found, outcome="stalled", time_to_90pct_s=None)
        return worse if fails(gear) else found

    monkeypatch.setattr(proof, "start", start)


def test_a_soft_starter_that_stalls_is_not_chosen(monkeypatch):
    failing(monkeypatch, lambda gear: isinstance(gear, str))
    found = recommend(plate(complaint="lights_dip"))
    assert found.aid.kind == "none"
    assert "stalled" in found.aid.reason
    assert found.figures["starter_class"].value == "P20"
    assert found.figures["generator_with_soft_starter"].value is None


def test_a_pair_that_fails_gives_way_to_the_next(monkeypatch):
    first = recommend(plate(**AGAINST_PRESSURE)).kit
    failing(monkeypatch, lambda gear: first.label in getattr(gear, "label", ""))
    found = recommend(plate(**AGAINST_PRESSURE))
    assert found.kit.label != first.label
    assert outcomes(found, "relay_kit") == ["clean", "clean", "clean"]
    assert found.warnings == ()


def test_when_no_pair_proves_itself_the_first_is_given_with_warnings(monkeypatch):
    failing(monkeypatch, lambda gear: isinstance(gear, RelayKit))
    found = recommend(plate(**AGAINST_PRESSURE))
    assert found.aid.kind == "relay_kit"
    assert len(found.warnings) == 3


def test_figures_come_in_the_order_of_the_job():
    names = list(recommend(plate(supply={"transformer": "25 kVA"}), prove=False).figures)
    assert names == [
        "minimum_circuit_ampacity", "conductor", "largest_breaker",
        "largest_breaker_if_it_will_not_start", "disconnect", "lowest_volts", "start_capacitor",
        "relay_pickup", "relay_dropout", "relay_continuous", "starter_class", "sag_ratio", "pst",
        "generator_without_aid", "generator_with_relay_kit", "generator_with_soft_starter",
    ]  # fmt: skip


def test_every_figure_has_rule_and_source():
    found = recommend(plate(supply={"transformer": "25 kVA"}), prove=False)
    assert all(ruled.rule and ruled.source for ruled in found.figures.values())


def test_a_makers_table_comes_first_and_is_said_to():
    found = recommend(plate(**AGAINST_PRESSURE, maker_table=SHEET))
    assert found.kit.from_maker
    assert found.kit.range_f == (108e-6, 130e-6)
    assert "comes first" in found.notes[0]
    assert "sheet 7" in found.notes[0]
    what = {proof.what for proof in found.proofs if proof.gear == "relay_kit"}
    assert "108-130 µF, relay as the sheet gives it" in what


def test_without_a_makers_table_the_answer_says_what_would_come_first():
    assert "maker's start-parts table comes first" in recommend(plate(), prove=False).notes[0]


def test_a_makers_table_whose_parts_fail_is_given_with_a_warning():
    small = {**SHEET, "start_capacitor": ["20 uF", "24 uF"]}
    found = recommend(plate(**AGAINST_PRESSURE, maker_table=small))
    assert found.kit.from_maker
    assert found.aid.kind == "relay_kit"
    assert any("proof failed" in warning for warning in found.warnings)


def test_a_maker_that_forbids_aids_is_obeyed():
    found = recommend(
        plate(**AGAINST_PRESSURE, maker_table={"sheet": "sheet 9", "start_aid": "forbidden"})
    )
    assert found.aid.kind == "none"
    assert "sheet 9" in found.aid.reason
    assert outcomes(found, "none")[0] == "stalled"


@pytest.mark.parametrize("more", [{"phases": 3}, {"drive": "variable_speed"}])
def test_motors_that_take_no_start_gear_get_the_branch_circuit_alone(more):
    found = recommend(plate(**more, lra=None, run_capacitor=None, ohms=None))
    assert found.aid.kind == "none"
    assert (found.kit, found.proofs) == (None, ())
    assert list(found.figures)[-1] == "lowest_volts"


@pytest.mark.parametrize(("more", "kind"), [({}, "none"), (AGAINST_PRESSURE, "relay_kit")])
def test_without_proof_phasors_decide_and_say_so(more, kind):
    found = recommend(plate(**more), prove=False)
    assert found.aid.kind == kind
    assert "phasors" in found.aid.source
    assert any("Not proved" in note for note in found.notes)


@pytest.mark.parametrize("path", share(sorted((scenarios_dir() / "nameplates").glob("*.yaml")), 2))
def test_shipped_plates_prove_what_they_choose(path):
    found = recommend(nameplate_file.read(path))
    assert found.warnings == ()
    assert set(outcomes(found, found.aid.kind)) == {"clean"}
