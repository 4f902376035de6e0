"""Decay of stored charge and its natural modes: closed forms, energy to the last joule."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import expm

from tests.circuit import draws
from tests.circuit.build import Bench
from tests.outside import examples
from trainer.circuit.charge import Decay
from trainer.circuit.elements import LEAKAGE_S, Resistor


def bled(ohms: float = 15e3, volts: float = 466.7) -> Bench:
    return Bench().c("sc", "1", "2", 108e-6, esr=0.05, volts=volts).r("bleed", "1", "2", ohms)


def test_bleed_resistor_takes_a_start_capacitor_to_50_volts() -> None:
    """v = V exp(-t/RC): 108 uF through 15 kohm from 466.7 V to 50 V in 3.62 s."""
    found = Decay(bled().elements).time_until("sc", 50.0)
    assert found == pytest.approx(15e3 * 108e-6 * math.log(466.7 / 50.0), rel=2e-4)
    assert found == pytest.approx(3.62, rel=0.005)


def test_discharge_tool_is_an_extra_resistor() -> None:
    """20 kohm tool (common practice, no source): 4.83 s to 50 V, 10.9 W at first touch."""
    bench = Bench().c("sc", "1", "2", 108e-6, volts=466.7)
    tool = Resistor("tool", bench.node("1"), bench.node("2"), 20e3)
    decay = Decay(bench.elements, extra=(tool,))
    assert decay.time_until("sc", 50.0) == pytest.approx(4.83, rel=0.005)
    assert decay.amps("tool", 0.0) ** 2 * 20e3 == pytest.approx(10.9, rel=0.005)


def test_body_takes_nearly_all_the_energy() -> None:
    """1000 ohm across 108 uF at 466.7 V: 0.467 A at first, C V^2 / 2 = 11.76 J in the end."""
    bench = Bench().c("sc", "1", "2", 108e-6, esr=0.05, volts=466.7)
    body = Resistor("body", bench.node("1"), bench.node("2"), 1000.0)
    decay = Decay(bench.elements, extra=(body,))
    assert decay.amps("body", 0.0) == pytest.approx(0.467, rel=0.005)
    assert decay.stored_j(0.0) == pytest.approx(11.76, rel=0.002)
    assert decay.energy_into("body", 0.0, math.inf) == pytest.approx(11.76, rel=0.002)


def test_insulation_alone_takes_hours() -> None:
    bench = Bench().c("rc", "1", "2", 40e-6, volts=622.3)
    tau = 40e-6 * 2.0 / LEAKAGE_S
    assert Decay(bench.elements).at(3600.0)["rc"] == pytest.approx(
        622.3 * math.exp(-3600.0 / tau), rel=1e-9
    )


def test_a_winding_discharges_through_its_copper() -> None:
    """A run capacitor across start and run sees both windings in series: 3.95 ohm."""
    bench = Bench().machine("m", "C", "S", "R").c("rc", "R", "S", 40e-6, esr=0.0, volts=300.0)
    assert Decay(bench.elements).amps("m.main", 0.0) == pytest.approx(300.0 / 3.9502, rel=1e-6)


def test_shared_charge_and_the_slow_bleed_after_it() -> None:
    """Two capacitors through 1 ohm, then both through 15 kohm: two modes 4e5 apart."""
    bench = Bench().c("a", "p", "n", 100e-6, 1e-3, 400.0).c("b", "q", "n", 50e-6, 1e-3, 100.0)
    bench.r("link", "p", "q", 1.0).r("bleed", "p", "n", 15e3)
    decay = Decay(bench.elements)
    shared = (400.0 * 100 + 100.0 * 50) / 150
    assert decay.at(1e-3)["b"] == pytest.approx(shared, rel=1e-3)
    assert decay.at(2.25)["a"] == pytest.approx(shared * math.exp(-1.0), rel=1e-3)


def test_volts_between_any_two_nodes() -> None:
    bench = bled().r("upper", "1", "mid", 1e6).r("lower", "mid", "2", 1e6)
    decay = Decay(bench.elements)
    found = decay.volts_between(bench.node("mid"), bench.node("2"), 0.0)
    assert found == pytest.approx(466.7 / 2.0, rel=1e-3)


def test_time_until_waits_for_the_last_crossing() -> None:
    """A small capacitor filled by a large one: it starts at zero, rises, and then decays."""
    bench = Bench().c("large", "p", "n", 100e-6, volts=400.0).c("small", "q", "n", 1e-6)
    bench.r("link", "p", "q", 1e3).r("bleed", "p", "n", 15e3)
    decay = Decay(bench.elements)
    assert decay.time_until("small", 50.0) == pytest.approx(
        15e3 * 101e-6 * math.log(400.0 * 100 / 101 / 50.0), rel=1e-3
    )
    assert decay.time_until("small", 500.0) == 0.0
    assert decay.at(decay.time_until("small", 50.0))["small"] == pytest.approx(50.0, rel=1e-9)


def test_three_capacitors_against_a_matrix_exponential() -> None:
    """Nodal equations C dv/dt = -G v written out by hand (every capacitor to chassis)."""
    bench = Bench()
    volts, farads, esr = [300.0, -50.0, 20.0], [10e-6, 20e-6, 5e-6], 1e-3
    for k, (v, c) in enumerate(zip(volts, farads, strict=True)):
        bench.c(f"c{k}", f"n{k}", "chassis", c, esr, v)
    bench.r("01", "n0", "n1", 100.0).r("12", "n1", "n2", 400.0).r("20", "n2", "chassis", 900.0)
    g = np.diag([LEAKAGE_S] * 3)
    for a, b, ohms in ((0, 1, 100.0), (1, 2, 400.0)):
        g[[a, b], [a, b]] += 1.0 / ohms
        g[[a, b], [b, a]] -= 1.0 / ohms
    g[2, 2] += 1.0 / 900.0
    y = np.linalg.inv(np.linalg.inv(g) + esr * np.eye(3))
    expected = expm(-np.diag(1.0 / np.array(farads)) @ y * 2e-3) @ volts
    found = Decay(bench.elements).at(2e-3)
    assert [found[f"c{k}"] for k in range(3)] == pytest.approx(expected, rel=1e-9)


def test_no_capacitors_no_charge() -> None:
    decay = Decay(Bench().r("w", "a", "b", 1.0).elements)
    assert decay.at(1.0) == {}
    assert decay.stored_j(0.0) == 0.0


def test_a_charge_not_named_is_the_elements_own() -> None:
    bench = bled().c("other", "3", "4", 1e-6, volts=7.0)
    assert Decay(bench.elements, volts0={"sc": 1.0}).at(0.0) == {"sc": 1.0, "other": 7.0}


def heat_of_all(decay: Decay, t0: float, t1: float) -> float:
    return math.fsum(decay.energy_into(b.name, t0, t1) for b in decay.modes.table)


@settings(deadline=None, max_examples=examples(150))
@given(draws.items(sources=False), st.floats(1e-6, 1e4), st.data())
def test_energy_lost_is_energy_found(
    drawn: list[draws.Item], span_s: float, data: st.DataObject
) -> None:
    elements = draws.lay_out(draws.names_of(drawn)).elements
    volts = {c.name: data.draw(st.floats(-600.0, 600.0)) for c in elements.capacitives}
    decay = Decay(elements, volts0=volts)
    before = decay.stored_j(0.0)
    capacitors = zip(elements.capacitives, volts.values(), strict=True)
    assert before == pytest.approx(sum(0.5 * c.farads * v * v for c, v in capacitors), rel=1e-9)
    left = decay.stored_j(span_s) + heat_of_all(decay, 0.0, span_s)
    assert left == pytest.approx(before, rel=1e-9)
    assert all(math.isfinite(v) for v in decay.at(span_s).values())


@settings(deadline=None, max_examples=examples(100))
@given(draws.items(sources=False), st.randoms(use_true_random=False), st.floats(1e-5, 1e3))
def test_order_and_names_change_nothing(
    drawn: list[draws.Item], chance: random.Random, t_s: float
) -> None:
    named = draws.names_of(drawn)
    shuffled = chance.sample(named, len(named))
    first = draws.lay_out(named).elements
    second = draws.lay_out(shuffled, {n: f"x{n}" for n in draws.NODES[1:]}).elements
    volts = {c.name: 100.0 + k for k, c in enumerate(first.capacitives)}
    one, two = Decay(first, volts0=volts).at(t_s), Decay(second, volts0=volts).at(t_s)
    assert [two[n] for n in one] == pytest.approx(list(one.values()), rel=1e-9, abs=1e-7)
