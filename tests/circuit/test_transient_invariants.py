"""What must hold in every transient whatever the circuit: energy, Kirchhoff, order, step.

Expected values are closed forms or the same circuit solved another way; none comes from a
record of the kernel.
"""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.circuit import draws
from tests.circuit.build import Bench
from tests.circuit.starts import Start, channels, constant, first_time, run, wired
from tests.outside import examples
from trainer.circuit.channels import Channel, Trace
from trainer.circuit.elements import Elements, Inductive, Sense, Switch
from trainer.circuit.transient import Transient
from trainer.motor.machines import machine, machine_load
from trainer.motor.params import LoadParams

#: Invented supplies and loads around the motors of the shipped file.
SUPPLY = {"source_ohms": 0.1, "source_henries": 200e-6}
STARTS = {
    "anchor": Start(
        machine("anchor"), 230.0, machine_load("anchor"), 35e-6, start_f=98e-6, **SUPPLY
    ),
    "saturated": Start(
        machine("feeder-compressor"), 240.0, machine_load("feeder-compressor"), 58e-6,
        start_f=172e-6, opens_at=0.5, **SUPPLY,
    ),
    "reciprocating": Start(
        machine("textbook-3500w"), 230.0, machine_load("textbook-3500w"), 35e-6, start_f=135e-6,
        **SUPPLY,
    ),
    "stalled": Start(machine("anchor"), 230.0, constant(9.0), 35e-6, **SUPPLY),
    "capacitor start": Start(
        machine("capacitor-start-quarter-hp"), 110.0, constant(0.4), None, start_f=183e-6,
        start_ohms=3.0, opens_at=0.75,
    ),
}  # fmt: skip


@cache
def started(name: str, steps: int = 336) -> Trace:
    return run(STARTS[name], 0.5, steps_per_cycle=steps)[0]


@pytest.mark.parametrize("name", list(STARTS))
def test_energy_given_is_energy_spent(name: str) -> None:
    e = started(name).energy_j
    assert e["source"] > 100.0
    assert abs(e["residual"]) < 2e-3 * e["source"]
    assert 0.0 <= e["damping"] < 2e-3 * e["source"]


@pytest.mark.parametrize("name", ["anchor", "saturated", "stalled", "capacitor start"])
def test_half_a_step_moves_no_peak(name: str) -> None:
    whole, half = started(name), started(name, 672)
    for channel in whole.values:
        peak = np.abs(half[channel]).max()
        assert np.abs(whole[channel]).max() == pytest.approx(peak, rel=5e-3), channel


def test_half_a_step_moves_no_time() -> None:
    sync = STARTS["anchor"].sync_rad_s
    times = [first_time(started("anchor", n), "speed", 0.9 * sync) for n in (336, 672)]
    assert times[0] == pytest.approx(times[1], abs=0.5e-3)


def test_a_run_in_pieces_is_the_same_run() -> None:
    bench = wired(STARTS["anchor"])
    one = Transient(bench.elements, channels(bench))
    many = Transient(bench.elements, channels(bench))
    for tr in (one, many):
        tr.act(0.1234, "contact", False)
    whole = one.run(0.2)["line_a"]
    # ends fall on the steps around the opening too, where a restart is left half done
    pieces = [many.run(t)["line_a"] for t in np.arange(0.05, 0.2001, 1.0 / 20160.0)]
    assert np.concatenate(pieces)[: len(whole)] == pytest.approx(whole, abs=1e-9)


@pytest.mark.parametrize("name", ["anchor", "saturated"])
def test_a_remembered_state_goes_on_as_if_nothing_had_been(name: str) -> None:
    bench = wired(STARTS[name])
    one, first = (Transient(bench.elements, channels(bench)) for _ in range(2))
    whole = one.run(0.4)
    first.run(0.2)
    rest = Transient(bench.elements, channels(bench), state=first.snapshot()).run(0.4)
    later = whole.t_s > 0.2 + 1e-9
    assert rest.t_s == pytest.approx(whole.t_s[later])
    for channel in ("line_a", "v_aux", "speed"):
        size = np.abs(whole[channel]).max()
        assert np.abs(rest[channel] - whole[channel][later]).max() < 2e-3 * size, channel


def test_links_of_no_resistance_have_the_least_there_is() -> None:
    """A capacitor without losses, a perfect contact, a source of no impedance: 2.3 A of 60 Hz."""
    bench = Bench()
    bench.line("v", "A", "chassis", 120.0, ohms=0.0, henries=0.0).s("k", "A", "B", ohms=0.0)
    bench.c("c", "B", "chassis", 50e-6, 0.0).r("load", "B", "chassis", 120.0)
    trace = Transient(bench.elements, [Channel("i", Sense(amps=(("k", 1.0),)))]).run(0.2)
    expected = 120.0 * abs(1.0 / 120.0 + 1j * 120.0 * np.pi * 50e-6)
    assert np.sqrt(np.mean(trace["i"][-336:] ** 2)) == pytest.approx(expected, rel=2e-3)


def node_sums(elements: Elements, trace: Trace) -> np.ndarray:
    """Sum of recorded currents that leave each node; one row a node but the chassis."""
    total = np.zeros((len(elements.nodes), len(trace.t_s)))
    pairs = [(e.name, e.a, e.b) for e in (*elements.resistors, *elements.switches)]
    pairs += [(c.name, c.a, c.b) for c in elements.capacitives]
    for m in elements.machines:
        pairs += [(f"{m.name}.main", *m.main), (f"{m.name}.aux", *m.aux)]
    taps = [(name, ((a, 1.0), (b, -1.0))) for name, a, b in pairs]
    taps += [(x.name, x.taps) for x in elements.inductives]
    for name, ends in taps:
        for n, factor in ends:
            total[n] += factor * trace[name]
    return total[1:]


def every_current(elements: Elements) -> list[Channel]:
    held = (*elements.resistors, *elements.switches, *elements.inductives, *elements.capacitives)
    names = [e.name for e in held]
    names += [f"{m.name}.{side}" for m in elements.machines for side in ("main", "aux")]
    return [Channel(n, Sense(amps=((n, 1.0),))) for n in names]


def unit() -> Bench:
    """Transformer legs, conductors, two motors, capacitors, contacts, a 120 V load. Invented."""
    bench = Bench()
    bench.line("grid", "H", "chassis", 2400.0, ohms=2.0, henries=10e-3)
    for leg, (plus, minus) in (("leg1", ("X1", "XN")), ("leg2", ("XN", "X2"))):
        taps = ((bench.node("H"), 0.05), (bench.node(plus), -1.0), (bench.node(minus), 1.0))
        bench.elements.add(Inductive(leg, taps, 0.01, 50e-6))
    bench.r("bond", "XN", "chassis", 0.01).r("w1", "X1", "L1", 0.02).r("w2", "X2", "L2", 0.02)
    bench.r("wn", "XN", "N", 0.02).l("heater", "L1", "N", 14.0, 1e-3)
    bench.s("p1", "L1", "C").s("p2", "L2", "T2").r("w3", "T2", "R", 0.01)
    bench.machine("comp", "C", "S", "R", machine("anchor"), LoadParams(fan_nm=3.0))
    bench.c("herm", "R", "S", 35e-6, 0.5).s("k", "R", "K").c("start", "K", "S", 98e-6, 1.0)
    bench.r("bleed", "K", "S", 15e3)
    bench.machine("fan", "C", "FS", "R", machine("condenser-fan"), LoadParams(fan_nm=1.5))
    bench.c("fanc", "R", "FS", 5e-6, 1.0)
    return bench


@cache
def unit_run() -> tuple[Elements, Trace, np.ndarray]:
    """A start with three switchings, and which samples lie next to one."""
    bench = unit()
    tr = Transient(bench.elements, every_current(bench.elements))
    tr.act(0.1, "k", False)
    tr.act(0.2, "p1", False)
    tr.act(0.2, "p2", False)
    trace = tr.run(0.3)
    moved = [0.0] + [e.t_s for e in trace.events if e.kind in ("closed", "opened")]
    step = trace.t_s[1] - trace.t_s[0]
    near = np.zeros(len(trace.t_s), dtype=bool)
    for t in moved:
        near |= (trace.t_s >= t - 0.5 * step) & (trace.t_s <= t + 1.5 * step)
    return bench.elements, trace, near


def test_kirchhoff_at_every_node() -> None:
    """What is left over is the insulation's: volts times 1e-8 S, and there are 2400 of them."""
    elements, trace, near = unit_run()
    sums = node_sums(elements, trace)[:, ~near]
    assert np.abs(sums).max() < 2400.0 * 1.5 * 1e-8 + 1e-7


def test_kirchhoff_next_to_a_switching() -> None:
    """There currents are read half a step apart at most: their slope times that is left."""
    elements, trace, near = unit_run()
    sums = np.abs(node_sums(elements, trace)[:, near]).max()
    step = trace.t_s[1] - trace.t_s[0]
    slope = max(np.abs(np.diff(trace[n])).max() for n in ("comp.main", "leg1", "w3")) / step
    assert sums < 0.5 * step * slope


def test_both_poles_open_at_their_common_zero() -> None:
    _, trace, _ = unit_run()
    opened = {e.name: e.t_s for e in trace.events if e.kind == "opened"}
    assert opened["p1"] == pytest.approx(opened["p2"], abs=1e-4)


def test_energy_of_the_whole_unit() -> None:
    _, trace, _ = unit_run()
    assert abs(trace.energy_j["residual"]) < 2e-3 * trace.energy_j["source"]


def shuffled(elements: Elements, seed: int) -> Elements:
    """The same circuit with its lists in another order and its nodes under other numbers."""
    chance = random.Random(seed)
    order = list(range(1, len(elements.nodes)))
    chance.shuffle(order)
    new = {0: 0, **{old: k + 1 for k, old in enumerate(order)}}
    out = Elements(["chassis"] + [f"net {old}" for old in order])

    def pair(ends: tuple[int, int]) -> tuple[int, int]:
        return new[ends[0]], new[ends[1]]

    for e in (*elements.resistors, *elements.switches, *elements.capacitives):
        out.add(replace(e, a=new[e.a], b=new[e.b]))
    for x in elements.inductives:
        out.add(replace(x, taps=tuple((new[n], c) for n, c in x.taps)))
    for m in elements.machines:
        out.add(replace(m, main=pair(m.main), aux=pair(m.aux)))
    out.sources = list(elements.sources)
    for listed in (out.resistors, out.switches, out.inductives, out.capacitives, out.machines):
        chance.shuffle(listed)
    return out


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_order_and_names_change_nothing(seed: int) -> None:
    elements, trace, _ = unit_run()
    other = shuffled(elements, seed)
    tr = Transient(other, every_current(other))
    for at, contact in ((0.1, "k"), (0.2, "p1"), (0.2, "p2")):
        tr.act(at, contact, False)
    again = tr.run(0.3)
    for name in trace.values:
        size = max(1.0, float(np.abs(trace[name]).max()))
        assert np.abs(again[name] - trace[name]).max() < 1e-9 * size, name
    assert {(e.kind, e.name) for e in again.events} == {(e.kind, e.name) for e in trace.events}


def alternation(values: np.ndarray) -> np.ndarray:
    """Size of the part that changes sign from sample to sample."""
    return np.abs(values[:-2] - 2.0 * values[1:-1] + values[2:]) / 4.0


def chopped(forced: bool) -> Trace:
    """A coil on a line, cut at 7 ms: at once, or when its current is zero."""
    bench = Bench()
    bench.line("v", "A", "chassis", 230.0, ohms=0.1, henries=200e-6)
    a, b = bench.node("A"), bench.node("B")
    bench.elements.add(Switch("k", a, b, True, arcs=not forced))
    bench.l("coil", "B", "chassis", 2.0, 60e-3).r("across", "B", "chassis", 2000.0)
    listed = [Channel("v", Sense(volts=(b, 0))), Channel("i", Sense(amps=(("coil", 1.0),)))]
    tr = Transient(bench.elements, [*listed, Channel("line", Sense(volts=(a, 0)))])
    tr.act(7e-3, "k", False)
    return tr.run(0.05)


@pytest.mark.parametrize("forced", [True, False])
def test_a_cut_coil_does_not_ring(forced: bool) -> None:
    trace = chopped(forced)
    opened = next(e.t_s for e in trace.events if e.kind == "opened")
    # time constant of coil and resistor 30 us: five steps after the cut it is all over
    after = np.nonzero(trace.t_s > opened + 6 * (trace.t_s[1] - trace.t_s[0]))[0]
    for name, size in (("v", 325.0), ("line", 325.0), ("i", 10.0)):
        assert alternation(trace[name][after]).max() < 1e-3 * size, name
    assert np.abs(trace["i"][after]).max() < 0.02


def test_a_winding_left_open_does_not_ring() -> None:
    """Only the main winding is on the line; the open one shows what the rotor induces."""
    bench = Bench()
    bench.line("v", "R", "chassis", 230.0, ohms=0.1, henries=200e-6)
    bench.machine("m", "chassis", "S", "R", machine("anchor"))
    v = Channel("v", Sense(volts=(bench.node("S"), 0)))
    trace = Transient(bench.elements, [v], winding_heat=False).run(0.3)
    assert alternation(trace["v"]).max() < 0.05
    assert np.abs(trace["v"]).max() < 1.0, "a rotor at rest with one winding induces nothing"


def source_watts(elements: Elements, trace: Trace) -> float:
    """Most that all sources together can have given or taken at any one sample [W]."""
    peaks = [elements.sources[x.source].volts_peak for x in elements.inductives if x.source >= 0]
    amps = [np.abs(trace[x.name]).max() for x in elements.inductives if x.source >= 0]
    return float(sum(v * i for v, i in zip(peaks, amps, strict=True)))


@settings(max_examples=examples(120), suppress_health_check=[HealthCheck.too_slow])
@given(
    draws.items(),
    st.lists(st.tuples(st.floats(0.0, 0.04), st.integers(0, 15), st.booleans()), max_size=6),
)
def test_any_circuit_runs_and_makes_no_energy(
    drawn: list[draws.Item], acts: list[tuple[float, int, bool]]
) -> None:
    """Allowed: a step's power at either end of the sum, what damping takes, insulation's share."""
    few = [d for k, d in enumerate(drawn) if d[0] != "m" or sum(x[0] == "m" for x in drawn[:k]) < 4]
    bench = draws.lay_out(draws.names_of(few))
    elements = bench.elements
    listed = [Channel(n, Sense(volts=(k, 0))) for k, n in enumerate(elements.nodes)]
    listed += [Channel(x.name, Sense(amps=((x.name, 1.0),))) for x in elements.inductives]
    tr = Transient(elements, listed)
    contacts = [s.name for s in elements.switches]
    for at, which, closed in acts if contacts else []:
        tr.act(at, contacts[which % len(contacts)], closed)
    trace = tr.run(0.05)
    assert all(np.isfinite(v).all() for v in trace.values.values())
    e = trace.energy_j
    size = max(abs(e[n]) for n in ("source", "heat", "rotor", "shaft", "stored"))
    step = trace.t_s[1] - trace.t_s[0]
    unsure = 2.0 * e["damping"] + step * source_watts(elements, trace) + 2e-3
    assert -e["residual"] < 2e-3 * size + unsure, "energy from nowhere"
    assert e["residual"] < 2e-2 * size + unsure, "energy that went nowhere"
