"""Making dead and back to a start, right and wrong; every consequence comes out of the circuit."""

from pathlib import Path

import pytest
from pytest import approx

from tests.session.jobs import charged, do, kinds, of_kind, on, plain, shown
from trainer.session.acts import load_moves
from trainer.session.attempt import start, verify
from trainer.session.evolve import fold
from trainer.session.log import read
from trainer.session.plain import unit_to_plain

MOVES = Path(__file__).parent / "moves" / "make-it-dead.yaml"


@pytest.fixture(scope="module")
def attempt(tmp_path_factory):
    path = tmp_path_factory.mktemp("attempt") / "dead.jsonl"
    running = start(plain(), path, {"scenario": "larkspur-row", "seed": 0})
    for act in load_moves(MOVES).acts:
        running.do(act)
    return running, path


def test_the_right_way_is_refused_nothing(attempt):
    assert [e.data["why"] for e in attempt[0].events if e.kind == "refused"] == []


def test_the_right_way_hurts_nobody(attempt):
    assert attempt[0].bench.hurts == ()
    assert attempt[0].bench.declared and attempt[0].bench.over


def test_what_the_meter_saw(attempt):
    volts = {
        (r["leads"]["red"], r["leads"]["black"], r["why"]): r["shown"]["value"]
        for r in attempt[0].bench.readings
        if r["instrument"] == "meter"
    }
    # the known source is the line side: live behind an open, locked disconnect
    assert volts["disconnect.L1", "disconnect.L2", "known source"] == approx(240.0, abs=2.0)
    dead = [v for (_, _, why), v in volts.items() if why == "test"]
    assert len(dead) == 9
    # an open contact's 1 Gohm and the meter's 10 Mohm leave a ghost of about a volt
    assert all(abs(v) < 2.0 for v in dead)


def test_it_starts_again(attempt):
    course = [e.data["course"] for e in attempt[0].events if e.kind == "start"]
    assert [c["outcome"] for c in course] == ["runs"]
    lines = next(e.data["near"] for e in attempt[0].events if e.kind == "start")
    assert all(len(line["points"]) <= 400 for line in lines.values())
    assert all(isinstance(p, int) for line in lines.values() for p in line["points"])


def test_the_clamp_caught_the_inrush_and_then_the_running_amps(attempt):
    caught = [r for r in attempt[0].bench.readings if r["instrument"] == "clamp"]
    assert [r["setting"] for r in caught] == ["inrush", "A ac"]
    rush, running = (r["shown"]["value"] for r in caught)
    # locked-rotor amps of this motor are near 80 A; both clamps enclose the fan as well
    assert 60.0 < rush < 100.0
    assert 5.0 < running < 20.0


def test_the_file_replays_to_the_same_bench(attempt):
    running, path = attempt
    again = fold(read(path).events)
    assert unit_to_plain(again.unit) == unit_to_plain(running.bench.unit)
    assert again == running.bench


def test_the_file_verifies_act_by_act(attempt):
    assert verify(read(attempt[1])) is None


def test_a_changed_reading_is_found(attempt, tmp_path):
    path = tmp_path / "forged.jsonl"
    text = attempt[1].read_text()
    seq = next(e.seq for e in attempt[0].events if e.kind == "read")
    lines = text.splitlines()
    assert '"value":240.0' in lines[seq]
    lines[seq] = lines[seq].replace('"value":240.0', '"value":0.0')
    path.write_text("\n".join(lines) + "\n")
    found = verify(read(path))
    assert found is not None
    assert found.seq == seq


def test_wrong_touching_the_line_side_of_an_open_disconnect():
    bench = on(plain())
    do(bench, "take off", cover="disconnect-front")
    do(bench, "open", part="disconnect")
    do(bench, "lock", part="disconnect")
    shock = of_kind(do(bench, "touch", place="disconnect.L1"), "shock")
    # 120 V to chassis; IEC TS 60479-1:2005 (from memory): 1725 ohm at 100 V, 1550 at 125 V
    assert shock["volts_ac"] == approx(120.0, abs=1.0)
    assert 120.0 / 1725.0 < shock["amps"] < 120.0 / 1550.0
    assert shock["effect"] == "the heart may fibrillate"
    assert kinds(do(bench, "touch", place="disconnect.T1")).count("shock") == 0


def test_wrong_touching_a_unit_nobody_isolated():
    bench = on(plain())
    do(bench, "take off", cover="control-panel")
    do(bench, "thermostat", to="call")
    shock = of_kind(do(bench, "touch", place="contactor.T1", other="contactor.T2"), "shock")
    # 225 V row: 1225 ohm (from memory)
    assert shock["amps"] == approx(shock["volts_ac"] / shock["body_ohms"], rel=0.01)
    assert 0.18 < shock["amps"] < 0.21


def test_gloves_that_are_rated_keep_the_current_out():
    bench = on(plain())
    do(bench, "put on", items=["insulating gloves"])
    do(bench, "take off", cover="disconnect-front")
    assert "shock" not in kinds(do(bench, "touch", place="disconnect.L1"))


def test_wrong_skipping_the_discharge():
    bench = on(charged(380.0))
    do(bench, "take off", cover="disconnect-front")
    do(bench, "open", part="disconnect")
    do(bench, "take off", cover="control-panel")
    assert shown(bench, "can.C", "can.H", "V ac") == approx(0.0, abs=0.5)
    held = shown(bench, "can.C", "can.H", "V dc")
    assert abs(held) > 300.0
    shock = of_kind(do(bench, "touch", place="can.C", other="can.H"), "shock")
    assert shock["peak_a"] == approx(abs(shock["volts_dc"]) / shock["body_ohms"], rel=0.01)
    # C v^2 / 2 of 35 uF, nearly all of it into the body within a second
    assert shock["joules"] == approx(0.5 * 35e-6 * shock["volts_dc"] ** 2, rel=0.02)
    assert abs(shown(bench, "can.C", "can.H", "V dc")) < 5.0


def test_the_resistor_takes_the_charge_away():
    bench = on(charged(380.0))
    do(bench, "take off", cover="control-panel")
    before = shown(bench, "can.C", "can.H", "V dc")
    do(bench, "discharge", a="can.C", b="can.H", seconds=3.5)
    # 35 uF through 20 kohm: 0.7 s, five time constants
    after = shown(bench, "can.C", "can.H", "V dc")
    assert abs(after) < abs(before) * 0.01
    assert "shock" not in kinds(do(bench, "touch", place="can.C", other="can.H"))


def test_wrong_a_blade_across_a_charged_can():
    bench = on(charged(380.0))
    do(bench, "take off", cover="control-panel")
    held = shown(bench, "can.C", "can.H", "V dc")
    arc = of_kind(do(bench, "short", a="can.C", b="can.H"), "arc")
    stored = 0.5 * 35e-6 * held**2
    # 10 mohm of blade in series with the can: 0.002 / (377 x 35 uF) = 0.152 ohm keeps the rest
    assert arc["joules"] == approx(stored * 0.010 / 0.162, rel=0.02)
    assert arc["peak_a"] == approx(held / 0.162, rel=0.02)
    assert not arc["fed"]


def test_wrong_a_blade_across_the_line_trips_the_breaker():
    bench = on(plain())
    do(bench, "take off", cover="disconnect-front")
    events = do(bench, "short", a="disconnect.L1", b="disconnect.L2")
    assert of_kind(events, "arc")["fed"]
    told = [n for e in events if e.kind == "electrics" for _, k, n in e.data["happenings"]
            if k == "tripped"]  # fmt: skip
    assert any(name.startswith("breaker") for name in told)
    assert shown(bench, "disconnect.L1", "disconnect.L2", "V ac") == approx(0.0, abs=1.0)


def test_wrong_ohms_on_a_live_circuit_burns_the_meter():
    bench = on(plain())
    do(bench, "take off", cover="disconnect-front")
    do(bench, "select", instrument="meter", setting="ohms")
    events = do(bench, "measure", red="disconnect.L1", black="disconnect.L2")
    assert of_kind(events, "harmed")["what"] == "ohms_burnt"
    assert bench.bench.health_of("meter").ohms_burnt
