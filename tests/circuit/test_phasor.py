"""Steady state by phasors: hand calculation, published machine results, any wiring."""

from __future__ import annotations

import cmath
import math
import random
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.circuit import draws
from tests.circuit.build import FITZGERALD_9_5, Bench
from tests.outside import examples
from trainer.circuit.elements import LEAKAGE_S, Resistor
from trainer.circuit.phasor import frequencies, prepare, solve
from trainer.circuit.phasor_solution import PhasorSolution

W60 = 120.0 * math.pi


def worst_node(solution: PhasorSolution) -> float:
    """Largest sum of currents at any node over the largest current of all, in a full circuit."""
    prepared = solution.prepared
    left = np.zeros(len(prepared.elements.nodes), dtype=complex)
    largest = 1e-30
    for branch in prepared.table:
        amps = solution.amps(branch.name)
        largest = max(largest, abs(amps))
        for node, coeff in branch.taps:
            left[node] += coeff * amps
    return float(np.max(np.abs(left[1:]), initial=0.0)) / largest


def test_series_rlc_by_hand() -> None:
    # 230 V over 10 ohm + 0.05 H + 100 uF: X = 18.850 - 26.526 = -7.676 ohm
    bench = Bench().line("u", "L", "chassis", 230.0, ohms=0.0, henries=0.0)
    bench.l("coil", "L", "m", 10.0, 0.05).c("cap", "m", "chassis", 100e-6, esr=0.0)
    solution = solve(bench.elements)
    z = complex(10.0, W60 * 0.05 - 1.0 / (W60 * 100e-6))
    assert solution.amps("coil") == pytest.approx(230.0 / z, rel=1e-4)
    assert abs(solution.amps("coil")) == pytest.approx(18.24, abs=0.01)
    assert abs(solution.plates("cap")) == pytest.approx(18.24 * 26.526, rel=1e-3)


def test_phase_is_that_of_the_sine() -> None:
    bench = Bench().line("u", "L", "chassis", 100.0, phase_rad=math.pi / 2)
    assert cmath.phase(solve(bench.elements).volts(bench.node("L"))) == pytest.approx(math.pi / 2)


def test_split_phase_legs_and_line_to_line() -> None:
    bench = Bench().line("leg1", "L1", "chassis", 120.0).line("leg2", "chassis", "L2", 120.0)
    solution = solve(bench.elements)
    l1, l2 = bench.node("L1"), bench.node("L2")
    assert abs(solution.volts(l1, l2)) == pytest.approx(240.0, rel=1e-6)
    assert abs(solution.volts(l2)) == pytest.approx(120.0, rel=1e-6)


def test_bolted_short_is_limited_by_the_supply() -> None:
    bench = (
        Bench().line("u", "L", "chassis", 240.0, ohms=0.024, henries=0.0).r("s", "L", "chassis", 0)
    )
    assert abs(solve(bench.elements).amps("s")) == pytest.approx(240.0 / 0.0242, rel=1e-9)


def test_meter_across_two_islands_reads_by_leakage_and_its_own_resistance() -> None:
    """120 V to chassis, one floating node: 1e-8 S of leakage behind a 10 Mohm meter."""
    bench = Bench().line("u", "L", "chassis", 120.0).r("stub", "x", "y", 1.0)
    meter = Resistor("meter", bench.node("L"), bench.node("x"), 10e6)
    solution = solve(bench.elements, extra=(meter,))
    divided = 120.0 * (2 * LEAKAGE_S) / (2 * LEAKAGE_S + 1e-7)
    assert abs(solution.volts(bench.node("L"), bench.node("x"))) == pytest.approx(divided, rel=1e-7)


def test_transformer_ratio_and_reflected_load() -> None:
    bench = Bench().line("u", "h1", "chassis", 240.0)
    bench.transformer("t", "h1", "chassis", "x1", "x2", turns=10.0, ohms=1.0).r(
        "load", "x1", "x2", 1.0
    )
    solution = solve(bench.elements)
    z = complex(1.0 + 100.0 + 0.02, W60 * (2e-3 + 50e-6))
    assert solution.amps("t") == pytest.approx(240.0 / z, rel=1e-6)
    assert solution.amps("load") == pytest.approx(2400.0 / z, rel=1e-6)


def test_reversed_series_windings_cancel_nothing_but_run_in_series() -> None:
    """Common open: the two windings carry one current, reversed in one of them."""
    bench = Bench().line("u", "S", "R", 230.0).machine("m", "C", "S", "R")
    solution = solve(bench.elements)
    assert solution.amps("m.main") == pytest.approx(-solution.amps("m.aux"), rel=1e-6)
    z = complex(0.58 + 3.37 + 0.02, W60 * 50e-6)
    z += 1j * 2.653 + 1j * 27.73 * 0.5885 / (0.5885 + 1j * 27.73)
    z += 1j * 7.614 + 1.5459**2 * 1j * 27.73 * 0.5885 / (0.5885 + 1j * 27.73)
    assert abs(solution.amps("m.main")) == pytest.approx(230.0 / abs(z), rel=1e-6)


def running_psc() -> Bench:
    bench = Bench().line("u", "R", "C", 230.0, ohms=0.0, henries=0.0)
    return bench.machine("m", "C", "S", "R").c("rc", "R", "S", 35e-6, esr=0.0)


def test_published_running_point_of_a_compressor_size_machine() -> None:
    """Fitzgerald, Kingsley, Umans, 6th ed., Example 9.5: 3500 r/min, 35 uF."""
    solution = solve(running_psc().elements, speeds={"m": 3500.0 * math.pi / 30.0})
    machine = solution.machines["m"]
    assert cmath.polar(machine.i_main) == pytest.approx((15.9, math.radians(-37.6)), rel=3e-3)
    assert abs(machine.i_aux) == pytest.approx(5.20, rel=2e-3)
    assert cmath.polar(solution.amps("u.z")) == pytest.approx((18.5, math.radians(-22.7)), rel=3e-3)
    assert abs(solution.plates("rc")) == pytest.approx(394.0, rel=2e-3)
    assert machine.torque_nm == pytest.approx(9.75, rel=1e-3)


def test_published_losses_balance_at_that_point() -> None:
    """Same example, powers worked out from its parameters: 3935.8 = 237.2 + 126.6 + 3572.1 W."""
    solution = solve(running_psc().elements, speeds={"m": 3500.0 * math.pi / 30.0})
    machine = solution.machines["m"]
    found = (machine.stator_copper_w, machine.rotor_copper_w, machine.converted_w)
    assert found == pytest.approx((237.2, 126.6, 3572.1), rel=5e-4)
    assert solution.balance().source_w == pytest.approx(3935.8, rel=5e-4)
    assert solution.balance().gap_ratio < 1e-9


def test_prepared_state_gives_what_a_fresh_solution_gives() -> None:
    prepared = prepare(running_psc().elements)
    for speed in (-50.0, 0.0, 200.0, 376.0):
        fresh = solve(running_psc().elements, speeds={"m": speed})
        assert prepared.at({"m": speed}).torque("m") == pytest.approx(fresh.torque("m"), rel=1e-12)


def test_torque_curve_is_the_same_as_point_by_point() -> None:
    prepared = prepare(running_psc().elements)
    speeds = np.linspace(-100.0, 400.0, 11)
    curve = prepared.torque_curve("m", speeds, {})
    points = [prepared.at({"m": float(w)}).machines["m"].torque_nm for w in speeds]
    assert curve == pytest.approx(np.array(points), rel=1e-10)


def test_iron_loss_resistor_of_the_parameters_is_left_to_the_part() -> None:
    lossy = replace(FITZGERALD_9_5, core_ohms=500.0)
    plain, same = (
        Bench().line("u", "R", "C", 230.0).machine("m", "C", "S", "R", params=p)
        for p in (FITZGERALD_9_5, lossy)
    )
    assert solve(plain.elements).amps("u.z") == solve(same.elements).amps("u.z")


def test_hot_windings_take_less_current() -> None:
    cold = prepare(running_psc().elements).at({})
    hot = prepare(running_psc().elements, temps={"m": (120.0, 120.0)}).at({})
    assert abs(hot.amps("m.main")) < abs(cold.amps("m.main"))


def test_frequency_override_runs_every_source_at_it() -> None:
    bench = Bench().line("u", "L", "chassis", 100.0, ohms=0.0, henries=0.0)
    bench.l("coil", "L", "chassis", 0.0, 0.1)
    slow = solve(bench.elements, hz=50.0)
    assert abs(slow.amps("coil")) == pytest.approx(100.0 / (100.0 * math.pi * 0.1), rel=1e-4)


def test_sources_of_another_frequency_are_silent() -> None:
    bench = Bench().line("mains", "L", "chassis", 120.0, hz=60.0).r("load", "L", "G", 10.0)
    bench.line("set", "G", "chassis", 120.0, hz=50.0)
    assert frequencies(bench.elements) == (50.0, 60.0)
    assert solve(bench.elements).source_va["mains"] == 0.0
    assert prepare(bench.elements, emf={"mains": 12.0}).at({}).source_va["mains"] != 0.0


def test_nothing_connected_is_nothing() -> None:
    solution = solve(Bench().elements)
    assert solution.volts(0, 0) == 0.0
    assert solution.balance().gap_ratio == 0.0


@settings(deadline=None, max_examples=examples(150))
@given(draws.items(), st.floats(-400.0, 400.0))
def test_any_wiring_obeys_kirchhoff_and_makes_no_energy(drawn: list[draws.Item], w: float) -> None:
    bench = draws.lay_out(draws.names_of(drawn))
    solution = solve(bench.elements, speeds={m.name: w for m in bench.elements.machines})
    assert np.all(np.isfinite(solution.node_volts))
    assert worst_node(solution) < 1e-9
    assert solution.balance().gap_ratio < 1e-8


@settings(deadline=None, max_examples=examples(60))
@given(draws.items(sources=False))
def test_no_source_no_volts(drawn: list[draws.Item]) -> None:
    bench = draws.lay_out(draws.names_of(drawn))
    solution = solve(bench.elements)
    assert np.all(solution.node_volts == 0.0)
    assert solution.balance().dissipated_w == 0.0


@settings(deadline=None, max_examples=examples(100))
@given(draws.items(), st.randoms(use_true_random=False))
def test_order_and_names_change_nothing(drawn: list[draws.Item], chance: random.Random) -> None:
    named = draws.names_of(drawn)
    first = draws.lay_out(named)
    shuffled = chance.sample(named, len(named))
    second = draws.lay_out(shuffled, {n: f"x{n}" for n in draws.NODES[1:]})
    one, two = solve(first.elements), solve(second.elements)
    volts = [abs(one.volts(first.node(n))) for n in first.elements.nodes]
    again = [
        abs(two.volts(second.node(n if n == "chassis" else f"x{n}"))) for n in first.elements.nodes
    ]
    assert again == pytest.approx(volts, rel=1e-9, abs=1e-9 * max(*volts, 1e-12))
