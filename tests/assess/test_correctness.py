"""Circuit correctness of whole jobs on the real bench, and what must not be told too early."""

from __future__ import annotations

import json
import re

import pytest

from tests.assess.made import Script, findings
from trainer.base.places import scenarios_dir
from trainer.cli.main import main
from trainer.scenario.load import load_scenario, scenario_names
from trainer.session.acts import act_from, load_moves
from trainer.session.attempt import start
from trainer.session.opening import opening

WIRING = "dual-capacitor-unit"


def wired(**moved: str) -> Script:
    """The loose ends of the job landed as the factory does, but for those moved (7_b="comp.R")."""
    script = Script(WIRING)
    from trainer.assess.loading import job_for

    for tag, conductor in job_for(WIRING, 0).target.conductors.items():
        for side in ("a", "b"):
            want = moved.get(f"_{tag}_{side}", conductor.end(side).on)
            if script.wires[tag][side]["on"] != want and want:
                script.land(tag, side, want).tug(tag, side)
    return script


def test_a_blank_board_scores_nothing():
    found = findings(Script(WIRING).marked("wiring"))["wiring"]
    assert (found.outcome, found.share) == ("not shown", 0)


def test_the_wanted_wiring_scores_whole():
    found = findings(wired().marked("wiring"))["wiring"]
    assert (found.outcome, found.share) == ("met", 1)
    assert found.sentence == "Same circuit as the diagram."


def test_half_of_it_scores_part():
    script = Script(WIRING)
    script.land("4", "a", "contactor.T1:a").land("4", "b", "comp.C")
    assert 0 < findings(script.marked("wiring"))["wiring"].share < 1


def test_an_exchange_is_one_sentence_with_what_this_start_did():
    script = wired(_4_b="comp.S", _7_b="comp.C")
    script.close("disconnect").call(outcome="stalled", peak_line_a=27.0, time_to_90pct_s=None,
                                    run_line_rms_a=None)  # fmt: skip
    found = findings(script.marked("wiring"))["wiring"]
    assert found.sentence.startswith("S and C of the compressor are exchanged: ")
    assert "it belongs on C of the compressor" in found.sentence
    assert found.consequence.startswith("Energised like this, the motor did not come up to speed")
    assert "27 A" in found.consequence


def test_a_wiring_that_was_never_energised_says_so():
    found = findings(wired(_4_b="comp.S", _7_b="comp.C").marked("wiring"))["wiring"]
    assert "never energised like this" in found.consequence


def test_a_wire_too_thin_is_told_although_the_nets_match():
    script = wired()
    thin = {**script.wires["4"], "tag": "31", "factory": False, "gauge": "16 AWG"}
    script.act("take wire", lambda: script.emit("conductor", conductor=thin), wire="31")
    found = findings(script.marked("wiring"))
    assert found["wiring"].share == 1
    assert found["gauges"].outcome == "not met"
    assert "wire 31 is 16 AWG, wanted is 10 AWG" in found["gauges"].sentence


def test_relay_1_and_2_exchanged_is_found_though_the_motor_runs():
    """Works by accident: the circuit starts clean and the wiring is not the diagram's."""
    job = "growl-after-repair"
    script = Script(job)
    ends = {(t, s): c[s]["on"] for t, c in script.wires.items() for s in ("a", "b") if c[s]["on"]}
    one = next(key for key, place in ends.items() if place.startswith("pr.1"))
    two = next(key for key, place in ends.items() if place.startswith("pr.2"))
    script.lift(*one).lift(*two).land(*one, "pr.2").land(*two, "pr.1")
    script.close("disconnect").call()
    found = findings(script.marked("fault"))
    assert found["a clean start shown"].outcome == "met"
    assert found["wiring"].outcome == "not met"
    assert "of the relay are exchanged" in found["wiring"].sentence


def test_an_alternate_that_the_scenario_allows_is_right():
    script = wired(_6_a="comp.R:a")
    assert findings(script.marked("wiring"))["wiring"].outcome == "met"


@pytest.mark.parametrize("name", [n for n in scenario_names() if load_scenario(n).plantable])
def test_nothing_tells_the_fault_while_the_attempt_is_open(name, tmp_path, capsys):
    """Neither the log, nor what is told, nor --json; the mark afterwards does."""
    moves = load_moves(scenarios_dir() / "moves" / f"{name}.yaml").acts
    opened = opening(name, 0)
    path = tmp_path / "open.att"
    running = start(opened.unit, path, {**opened.header, "mode": "bench"}, found=opened.found)
    for act in moves[:6]:
        running.do(act)
    running.do(act_from({"act": "look"}))
    assert main(["replay", str(path), "--json"]) == 0
    told = path.read_text() + capsys.readouterr().out
    assert json.loads(path.read_text().splitlines()[1])["kind"] == "begun"
    for fault in load_scenario(name).plantable:
        assert not re.search(rf"\b{fault}\b", told)
