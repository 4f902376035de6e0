"""Capacitor loops in closed form: the two-capacitor formula, surges, and what is left alone."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.circuit import draws
from tests.circuit.build import Bench
from tests.outside import examples
from trainer.circuit.charge import Decay
from trainer.circuit.loops import fast_loops

LIMIT_S = 500e-6


def pair(v1: float = 400.0, v2: float = -100.0) -> Bench:
    bench = Bench().c("a", "p", "n", 108e-6, 0.05, v1).c("b", "q", "n", 40e-6, 0.02, v2)
    return bench.s("k", "p", "q", closed=False, ohms=3e-3)


def test_two_capacitors_share_their_charge_exactly() -> None:
    after = fast_loops(pair().elements, {"k": True}, None, LIMIT_S).volts_after
    shared = (108 * 400.0 - 40 * 100.0) / 148
    assert after["a"] == pytest.approx(shared, rel=1e-8)
    assert after["b"] == pytest.approx(shared, rel=1e-8)


def test_the_energy_that_vanishes_is_booked_to_the_loop() -> None:
    """C1 C2 / (2 (C1 + C2)) dV^2, shared by resistance: 50, 20 and 3 milliohm."""
    heat = fast_loops(pair().elements, {"k": True}, None, LIMIT_S).heat_j
    lost = 0.5 * (108e-6 * 40e-6 / 148e-6) * 500.0**2
    assert sum(heat.values()) == pytest.approx(lost, rel=1e-8)
    assert heat["a"] == pytest.approx(lost * 50 / 73, rel=1e-8)
    assert heat["b"] == pytest.approx(lost * 20 / 73, rel=1e-8)
    assert heat["k"] == pytest.approx(lost * 3 / 73, rel=1e-8)


def test_surge_of_the_closing_contact() -> None:
    found = fast_loops(pair().elements, {"k": True}, None, LIMIT_S)
    lost = 0.5 * (108e-6 * 40e-6 / 148e-6) * 500.0**2
    assert found.peak_a["k"] == pytest.approx(500.0 / 0.073, rel=1e-8)
    assert found.a2s["k"] == pytest.approx(lost / 0.073, rel=1e-8)


def test_a_screwdriver_across_one_capacitor() -> None:
    bench = Bench().c("a", "p", "n", 108e-6, 0.05, 466.7).s("blade", "p", "n", ohms=0.01)
    found = fast_loops(bench.elements, {}, None, LIMIT_S)
    assert found.volts_after["a"] == pytest.approx(0.0, abs=1e-6)
    assert found.heat_j["blade"] == pytest.approx(11.76 / 6, rel=1e-3)
    assert found.peak_a["blade"] == pytest.approx(466.7 / 0.06, rel=1e-6)


def test_slow_loops_are_left_to_the_steps() -> None:
    bench = Bench().c("a", "p", "n", 108e-6, 0.05, 466.7).r("bleed", "p", "n", 15e3)
    found = fast_loops(bench.elements, {}, None, LIMIT_S)
    assert found.volts_after == {"a": 466.7}
    assert found.heat_j == {}


def test_a_coil_in_the_loop_keeps_its_current() -> None:
    bench = Bench().c("a", "p", "n", 108e-6, 0.05, 300.0).l("coil", "p", "n", 0.01, 1e-3)
    bench.machine("m", "n", "p", "p")
    assert fast_loops(bench.elements, {}, None, LIMIT_S).volts_after == {"a": 300.0}


def test_a_ring_of_three_capacitors_keeps_the_charge_between() -> None:
    """Two in series paralleled with a third: the middle node keeps its charge."""
    bench = Bench().c("a", "p", "m", 10e-6, 0.01, 100.0).c("b", "m", "n", 20e-6, 0.01, 50.0)
    bench.c("c", "q", "n", 5e-6, 0.01, 0.0).s("k", "p", "q", ohms=1e-3)
    after = fast_loops(bench.elements, {}, None, LIMIT_S).volts_after
    assert 20e-6 * after["b"] - 10e-6 * after["a"] == pytest.approx(0.0, abs=1e-11)
    assert 10e-6 * after["a"] + 5e-6 * after["c"] == pytest.approx(1e-3, rel=1e-8)
    assert after["a"] + after["b"] == pytest.approx(after["c"], rel=1e-7)


def test_charge_of_a_floating_pair_is_kept_when_two_loops_relax() -> None:
    bench = pair().c("far", "x", "y", 7e-6, 0.1, 55.0)
    assert fast_loops(bench.elements, {"k": True}, None, LIMIT_S).volts_after["far"] == 55.0


def test_agrees_with_the_full_decay_just_after_the_surge() -> None:
    bench = pair().r("bleed", "p", "n", 15e3)
    loops = fast_loops(bench.elements, {"k": True}, None, LIMIT_S)
    decay = Decay(bench.elements, {"k": True})
    slow = Decay(bench.elements, {"k": True}, loops.volts_after)
    assert decay.at(1e-3) == pytest.approx(slow.at(1e-3), rel=1e-9)


@settings(deadline=None, max_examples=examples(150))
@given(draws.items(sources=False), st.data())
def test_energy_lost_is_energy_booked(drawn: list[draws.Item], data: st.DataObject) -> None:
    elements = draws.lay_out(draws.names_of(drawn)).elements
    volts = {c.name: data.draw(st.floats(-600.0, 600.0)) for c in elements.capacitives}
    found = fast_loops(elements, {}, volts, LIMIT_S)
    stored = [
        math.fsum(0.5 * c.farads * v[c.name] ** 2 for c in elements.capacitives)
        for v in (volts, found.volts_after)
    ]
    assert all(h >= 0.0 for h in found.heat_j.values())
    assert sum(found.heat_j.values()) == pytest.approx(
        stored[0] - stored[1], rel=1e-9, abs=1e-11 * (stored[0] + 1e-30)
    )
