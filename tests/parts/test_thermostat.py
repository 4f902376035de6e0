"""The indoor supply: volts at a coil, fuse, grounded secondary, thermostat contacts."""

import pytest

from tests.parts.bench import bench, line, node, run, times
from trainer.circuit.dead import Dead, insulation, ohms
from trainer.circuit.elements import Sense
from trainer.circuit.phasor import solve
from trainer.parts.control import Contactor
from trainer.parts.thermostat import ThermostatSupply

JOINS = (("t.Y", "k.A1"), ("t.C", "k.A2"))


def test_volts_at_a_sealed_coil():
    # 8 VA, mostly reactive, on 40 VA with 10 % + j3 %: open 26.46 V less j-current times 1.44 ohm
    e = bench({"t": ThermostatSupply(), "k": Contactor()}, *JOINS)
    solution = solve(e, closed={"t~Y": True, "k~gap": False})
    volts = abs(solution.volts(node(e, "k.A1"), node(e, "k.A2")))
    assert volts == pytest.approx(26.0, abs=0.3)


def test_volts_sag_during_pull_in():
    e = bench({"t": ThermostatSupply(), "k": Contactor()}, *JOINS)
    volts = abs(solve(e, closed={"t~Y": True}).volts(node(e, "k.A1"), node(e, "k.A2")))
    assert 20.4 < volts < 24.0  # 85 % of 24 V must be left for the coil


def test_a_small_transformer_lets_the_contactor_chatter_or_stay_out():
    e = bench({"t": ThermostatSupply(rating="8 VA"), "k": Contactor()}, *JOINS)
    _, trace = run(e, 0.6, [(0.1, "t~Y", True)])
    assert not times(trace, "picked_up", "k")


def test_call_makes_the_contactor():
    e = bench({"t": ThermostatSupply(), "k": Contactor()}, *JOINS)
    _, trace = run(e, 0.3, [(0.1, "t~Y", True)])
    assert 0.11 < times(trace, "closed", "k~1")[0] < 0.15


def test_uncall_drops_it():
    e = bench({"t": ThermostatSupply(calling=True), "k": Contactor()}, *JOINS)
    _, trace = run(e, 0.5, [(0.2, "t~Y", False)])
    assert 0.2 < times(trace, "dropped_out", "k")[0] < 0.26


@pytest.mark.parametrize(("grounded", "blows"), [(True, True), (False, False)])
def test_y_to_chassis_blows_the_fuse_of_a_grounded_secondary(grounded, blows):
    e = bench({"t": ThermostatSupply(secondary_grounded=grounded)}, ("t.Y", "chassis"))
    _, trace = run(e, 3.0, [(0.1, "t~Y", True)])
    assert bool(times(trace, "opened", "t~fuse")) is blows


def test_floating_secondary_reads_insulation():
    e = bench({"t": ThermostatSupply(fed="wires")})
    reading = insulation(Dead(e), node(e, "t.C"), 0)
    assert reading.unit == "Mohm" and reading.value > 100.0
    grounded = bench({"t": ThermostatSupply(fed="wires", secondary_grounded=True)})
    assert ohms(Dead(grounded), node(grounded, "t.C"), 0).value < 1.0


def test_fed_by_wires_it_is_dead_without_them():
    e = bench({"t": ThermostatSupply(fed="wires")})
    assert "H1" in ThermostatSupply(fed="wires").terminals()
    assert "H1" not in ThermostatSupply().terminals()
    assert abs(solve(e).volts(node(e, "t.R"), node(e, "t.C"))) < 1e-9
    line(e, "t.H1", "t.H2", 208.0)
    low = abs(solve(e).volts(node(e, "t.R"), node(e, "t.C")))
    assert low == pytest.approx(26.4 * 208.0 / 240.0, rel=0.02)


def test_valve_wire_follows_the_mode():
    for mode, live in (("cool", True), ("heat", False)):
        e = bench({"t": ThermostatSupply(mode=mode)})
        e.resistor("valve", node(e, "t.O"), node(e, "t.C"), 60.0)
        assert (abs(solve(e).volts(node(e, "t.O"), node(e, "t.C"))) > 20.0) is live
    moves = ThermostatSupply().hand("t")
    assert moves["heat"] == (("t~O", False),) and moves["call"] == (("t~Y", True),)


def test_fuse_amps_can_be_sensed():
    e = bench({"t": ThermostatSupply()})
    _, trace = run(e, 0.05, i=Sense(amps=(("t~fuse", 1.0),)))
    assert abs(trace["i"]).max() < 1e-3
