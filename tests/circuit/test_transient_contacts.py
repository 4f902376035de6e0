"""Contacts of the transient: they wait for current zero, leave charge behind, weld, share charge.

Expected values are closed forms of the circuit at hand, the closed form of stored charge, or
the same surge stepped finely enough to be seen.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.circuit.build import Bench
from tests.circuit.starts import Start, run
from trainer.circuit.channels import Channel, Trace
from trainer.circuit.elements import Capacitive, Sense, Switch
from trainer.circuit.loops import fast_loops
from trainer.circuit.transient import Transient
from trainer.motor.machines import machine, machine_load

STEP_S = 1.0 / (60.0 * 336)


def amps(name: str) -> Channel:
    return Channel(name, Sense(amps=((name, 1.0),)))


def opened(trace: Trace, name: str = "k") -> list[float]:
    return [e.t_s for e in trace.events if e.kind == "opened" and e.name == name]


def lamp(told_s: float, arcs: bool = True) -> Trace:
    """A resistor on a line whose volts begin at zero, told to open."""
    bench = Bench()
    bench.line("v", "A", "chassis", 120.0, ohms=0.1, henries=0.0)
    bench.elements.add(Switch("k", bench.node("A"), bench.node("B"), True, arcs=arcs))
    bench.r("load", "B", "chassis", 12.0)
    tr = Transient(bench.elements, [amps("k")])
    tr.act(told_s, "k", False)
    return tr.run(0.05)


@pytest.mark.parametrize(
    ("told_ms", "zero_ms"), [(1.0, 8.3333), (4.1667, 8.3333), (8.0, 8.3333), (8.5, 16.6667)]
)
def test_a_contact_waits_for_current_zero(told_ms: float, zero_ms: float) -> None:
    trace = lamp(told_ms * 1e-3)
    assert opened(trace) == pytest.approx([zero_ms * 1e-3], abs=1.1 * STEP_S)
    before = trace.t_s < zero_ms * 1e-3 - STEP_S
    expected = 120.0 * math.sqrt(2.0) / 12.1 * np.sin(120.0 * math.pi * trace.t_s[before])
    assert trace["k"][before] == pytest.approx(expected, abs=0.02)
    assert np.abs(trace["k"][trace.t_s > zero_ms * 1e-3 + 2 * STEP_S]).max() < 1e-5


def test_a_contact_that_cannot_arc_cuts_at_once() -> None:
    trace = lamp(4.1667e-3, arcs=False)
    assert opened(trace) == pytest.approx([4.1667e-3], abs=2.1 * STEP_S)
    cut = next(e.value for e in trace.events if e.kind == "opened")
    assert cut == pytest.approx(120.0 * math.sqrt(2.0) / 12.1, rel=1e-3)


def test_direct_current_is_cut_when_the_gap_can_hold_it_no_longer() -> None:
    """A capacitor of a farad feeds 1 A without a zero; a small gap gives up after 25 ms."""
    bench = Bench()
    bench.c("c", "A", "chassis", 1.0, 0.01, 100.0).s("k", "A", "B").r("load", "B", "chassis", 100.0)
    tr = Transient(bench.elements, [amps("k")])
    tr.act(0.01, "k", False)
    assert opened(tr.run(0.1)) == pytest.approx([0.035], abs=2e-4)


def test_a_contact_closed_again_before_its_zero_never_opened() -> None:
    bench = Bench()
    bench.line("v", "A", "chassis", 120.0).s("k", "A", "B").r("load", "B", "chassis", 12.0)
    tr = Transient(bench.elements, [amps("k")])
    tr.act(2e-3, "k", False)
    tr.act(5e-3, "k", True)
    trace = tr.run(0.05)
    assert [e.kind for e in trace.events] == ["parted"]
    assert np.abs(trace["k"][-336:]).max() == pytest.approx(14.1, rel=0.01)


ANCHOR = Start(
    machine("anchor"), 230.0, machine_load("anchor"), 35e-6, start_f=98e-6,
    source_ohms=0.1, source_henries=200e-6,
)  # fmt: skip


def test_a_start_capacitor_is_left_charged_near_its_peak() -> None:
    """Current zero of a capacitor is its volts' peak."""
    trace, parted = run(ANCHOR, 0.4)
    assert parted is not None
    at = opened(trace, "contact")[0]
    last_half = (trace.t_s > at - 0.5 / 60.0) & (trace.t_s <= at)
    peak = np.abs(trace["v_start"][last_half]).max()
    assert peak > 200.0
    kept = trace["v_start"][trace.t_s > at + 2 * STEP_S]
    assert np.abs(kept) == pytest.approx(np.full(len(kept), peak), rel=2e-3)


def test_a_bleed_resistor_takes_that_charge_away() -> None:
    """v = v0 e^(-t/RC): 98 uF behind 15 kOhm, 1.47 s."""
    bench = Bench()
    bench.line("v", "A", "chassis", 230.0).s("k", "A", "B").c("c", "B", "chassis", 98e-6, 0.1)
    bench.r("bleed", "B", "chassis", 15e3)
    tr = Transient(bench.elements, [Channel("c", capacitor="c")])
    tr.act(0.1, "k", False)
    trace = tr.run(1.0, stride=12)
    at = opened(trace)[0]
    late = trace.t_s > at + 0.01
    expected = np.abs(trace["c"][late][0]) * np.exp(-(trace.t_s[late] - trace.t_s[late][0]) / 1.47)
    assert np.abs(trace["c"][late][0]) == pytest.approx(230.0 * math.sqrt(2.0), rel=0.02)
    assert np.abs(trace["c"][late]) == pytest.approx(expected, rel=1e-3)


#: Two charged capacitors, a contact of 20 milliohm and a wire: all the resistance is 150 milliohm.
C1, V1, C2, V2 = 98e-6, 400.0, 35e-6, -120.0
LOOP_OHMS = 0.05 + 0.02 + 0.03 + 0.05
SHARED_V = (C1 * V1 + C2 * V2) / (C1 + C2)
LOST_J = 0.5 * C1 * C2 / (C1 + C2) * (V1 - V2) ** 2


def paralleled(weld_a2s: float = math.inf) -> Bench:
    bench = Bench()
    a, b = bench.node("A"), bench.node("B")
    bench.elements.add(Capacitive("c1", a, 0, C1, 0.05, V1), Capacitive("c2", b, 0, C2, 0.05, V2))
    contact = Switch("k", a, bench.node("X"), False, closed_ohms=0.02, weld_a2s=weld_a2s)
    bench.elements.add(contact)
    return bench.r("wire", "X", "B", 0.03)


def closed_at_1_ms(bench: Bench, until_s: float = 5e-3, **options: int) -> Trace:
    listed = [Channel("c1", capacitor="c1"), Channel("c2", capacitor="c2"), amps("k")]
    tr = Transient(bench.elements, listed, **options)
    tr.act(1e-3, "k", True)
    return tr.run(until_s)


def test_charge_is_conserved_when_capacitors_are_paralleled() -> None:
    trace = closed_at_1_ms(paralleled())
    assert trace["c1"][-1] == pytest.approx(SHARED_V, rel=1e-6)
    assert trace["c2"][-1] == pytest.approx(SHARED_V, rel=1e-6)
    charge = C1 * trace["c1"] + C2 * trace["c2"]
    assert charge == pytest.approx(np.full(len(charge), C1 * V1 + C2 * V2), rel=1e-6)


def test_the_energy_lost_is_heat_in_the_resistances_of_the_loop() -> None:
    """1/2 C1 C2/(C1+C2) dV^2, shared as the ohms are."""
    heat = closed_at_1_ms(paralleled()).heat_j
    for name, ohms in {"c1": 0.05, "k": 0.02, "wire": 0.03, "c2": 0.05}.items():
        assert heat[name] == pytest.approx(LOST_J * ohms / LOOP_OHMS, rel=1e-4)


def test_the_surge_is_that_of_the_closed_form() -> None:
    """Peak dV/R, I2t = energy over R."""
    trace = closed_at_1_ms(paralleled())
    surge = next(e.value for e in trace.events if e.kind == "surge")
    a2s = next(e.value for e in trace.events if e.kind == "closed")
    assert surge == pytest.approx((V1 - V2) / LOOP_OHMS, rel=1e-4)
    assert a2s == pytest.approx(LOST_J / LOOP_OHMS, rel=1e-4)


def test_the_surge_is_that_of_the_stored_charge_analysis() -> None:
    bench = paralleled()
    theirs = fast_loops(bench.elements, {"k": True}, None, 10.0 * STEP_S)
    trace = closed_at_1_ms(bench)
    assert trace["c1"][-1] == pytest.approx(theirs.volts_after["c1"], rel=1e-5)
    surge = next(e.value for e in trace.events if e.kind == "surge")
    a2s = next(e.value for e in trace.events if e.kind == "closed")
    assert surge == pytest.approx(theirs.peak_a["k"], rel=1e-3)
    assert a2s == pytest.approx(theirs.a2s["k"], rel=1e-4)


def test_the_surge_is_that_of_steps_fine_enough_to_see_it() -> None:
    """Stepped at 10 ns, four hundred to the loop's 3.9 us, nothing needs the closed form."""
    trace = closed_at_1_ms(paralleled(), 1.1e-3, steps_per_cycle=84 * 20000)
    assert not [e for e in trace.events if e.kind == "surge"]
    assert trace["c1"][-1] == pytest.approx(SHARED_V, rel=1e-5)
    assert trace["k"].max() == pytest.approx((V1 - V2) / LOOP_OHMS, rel=5e-3)
    assert trace.heat_j["wire"] == pytest.approx(LOST_J * 0.03 / LOOP_OHMS, rel=5e-3)


def test_a_screwdriver_across_a_capacitor() -> None:
    """All of C V^2/2 becomes heat, 0.1 of it in the blade and the rest in the capacitor."""
    bench = Bench()
    bench.c("c1", "A", "chassis", 45e-6, 0.045, 370.0).c("c2", "Z", "chassis", 1e-6, 1.0)
    bench.s("k", "A", "chassis", closed=False, ohms=0.005)
    trace = closed_at_1_ms(bench)
    assert trace["c1"][-1] == pytest.approx(0.0, abs=1e-6)
    whole = 0.5 * 45e-6 * 370.0**2
    assert trace.heat_j["k"] == pytest.approx(0.1 * whole, rel=1e-4)
    assert trace.heat_j["c1"] == pytest.approx(0.9 * whole, rel=1e-4)


@pytest.mark.parametrize(("ratio", "welds"), [(0.9, True), (1.1, False)])
def test_a_contact_welds_when_its_surge_is_more_than_it_bears(ratio: float, welds: bool) -> None:
    bench = paralleled(weld_a2s=ratio * LOST_J / LOOP_OHMS)
    tr = Transient(bench.elements, [amps("k")])
    tr.act(1e-3, "k", True)
    tr.act(20e-3, "k", False)
    kinds = [e.kind for e in tr.run(0.1).events]
    assert ("welded" in kinds) == welds
    assert ("opened" in kinds) != welds
    assert tr.snapshot().closed["k"] == welds


def test_both_poles_of_a_three_wire_load_open_together() -> None:
    """Loads of 120 V on two legs cross zero together though their currents are not the same."""
    bench = Bench()
    bench.line("a", "L1", "N", 120.0).line("b", "N", "L2", 120.0).r("bond", "N", "chassis", 0.01)
    bench.s("p1", "L1", "T1").s("p2", "L2", "T2").r("r1", "T1", "N", 8.0).r("r2", "T2", "N", 20.0)
    tr = Transient(bench.elements, [amps("p1"), amps("p2")])
    tr.act(0.0301, "p1", False)
    tr.act(0.0301, "p2", False)
    trace = tr.run(0.06)
    assert opened(trace, "p1") == pytest.approx([2.0 / 60.0], abs=2 * STEP_S)
    assert opened(trace, "p2") == pytest.approx([2.0 / 60.0], abs=2 * STEP_S)
