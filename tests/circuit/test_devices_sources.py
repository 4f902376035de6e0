"""Supplies that give way and a pair that fires late, on circuits small enough to work by hand.

Expected values are worked from the device's own law beside each test. Ratings are invented.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.circuit.build import Bench
from trainer.circuit.channels import Channel, Trace
from trainer.circuit.elements import Generator, Inductive, Inverter, PhaseControl, Sense, Source
from trainer.circuit.transient import Transient

ROOT2 = math.sqrt(2.0)
CYCLE_S = 1.0 / 60.0
STEP_S = CYCLE_S / 336.0
W = 120.0 * math.pi


def run(
    bench: Bench, until_s: float, acts: Sequence[tuple[float, str, bool]] = (), **shown: str
) -> Trace:
    """``shown``: device whose own value is recorded, by the name of the channel."""
    listed = [
        Channel("i", Sense(amps=(("leg", 1.0),))),
        Channel("v", Sense(volts=(bench.node("A"), 0))),
    ]
    listed += [Channel(name, device=device) for name, device in shown.items()]
    tr = Transient(bench.elements, listed)
    for at, contact, closed in acts:
        tr.act(at, contact, closed)
    return tr.run(until_s)


def rms_of(trace: Trace, name: str, from_s: float, to_s: float) -> float:
    inside = (trace.t_s > from_s) & (trace.t_s <= to_s)
    return float(np.sqrt(np.mean(trace[name][inside] ** 2)))


def supply(ohms: float, henries: float, volts: float = 240.0) -> Bench:
    """One source behind its impedance, from the chassis up to A; a contact to B."""
    bench = Bench()
    k = bench.elements.source(Source("emf", volts * ROOT2, 60.0))
    taps = ((bench.node("chassis"), 1.0), (bench.node("A"), -1.0))
    bench.elements.add(Inductive("leg", taps, ohms, henries, source=k))
    return bench.s("k", "A", "B", closed=False)


# --- generator --------------------------------------------------------------------------------

RATED_W = 10e3
SUB_H = 0.7 / W  # X''d 0.12 of 5.76 ohm, about
#: Idle speed with 4 % of droop; a contact that makes at the volts' peak starts no direct current.
IDLE_HZ = 61.2
AT_PEAK_S = 3.25 / IDLE_HZ


def generator(bench: Bench, **changes: float) -> Bench:
    given = {
        "rated_w": RATED_W, "extra_ohms": 0.5, "subtransient_s": 0.03, "regulator_s": 1e9,
        "ceiling": 1.4, "inertia_s": 0.4, "governor_s": 0.1, "droop": 0.04, "stall_hz": 40.0,
    }  # fmt: skip
    sense, volts = Sense(amps=(("leg", 1.0),)), Sense(volts=(bench.node("A"), 0))
    bench.elements.add(Generator("gen", (0,), sense, volts, **{**given, **changes}))
    return bench


def cycles_a_second(trace: Trace, from_s: float, to_s: float) -> float:
    """Frequency of the volts from their rising zeros."""
    inside = (trace.t_s > from_s) & (trace.t_s <= to_s)
    v, t = trace["v"][inside], trace.t_s[inside]
    k = np.nonzero((v[:-1] < 0.0) & (v[1:] >= 0.0))[0]
    zeros = t[k] - v[k] * (t[k + 1] - t[k]) / (v[k + 1] - v[k])
    return float((len(zeros) - 1) / (zeros[-1] - zeros[0]))


@pytest.mark.parametrize(("share", "hz"), [(0.0, 61.2), (0.5, 60.0), (0.9, 59.04)])
def test_speed_of_a_generator_droops_with_its_load(share: float, hz: float) -> None:
    """60 Hz at half load and 4 % from none to full: 61.2 Hz falling by 2.4 Hz."""
    bench = generator(supply(0.01, 0.0), extra_ohms=0.0)
    bench.r("load", "B", "chassis", 240.0**2 / max(share * RATED_W, 1e-3))
    trace = run(bench, 5.0, [(0.05, "k", share > 0.0)])
    assert cycles_a_second(trace, 4.0, 5.0) == pytest.approx(hz, abs=0.02)


def test_first_cycle_of_a_generator_sees_its_subtransient_reactance_alone() -> None:
    """Pure reactance X behind X'': V = E X/(X + X'') before the emf has begun to fall."""
    bench = generator(supply(0.01, SUB_H), extra_ohms=0.5, subtransient_s=1e6)
    bench.l("load", "B", "chassis", 0.01, 4.0 / W)
    trace = run(bench, 0.3, [(AT_PEAK_S, "k", True)])
    hz = cycles_a_second(trace, 0.1, 0.3)
    assert hz == pytest.approx(61.2, abs=0.1)
    # both reactances grow with speed alike
    assert rms_of(trace, "v", 0.3 - 10.0 / hz, 0.3) == pytest.approx(240.0 * 4.0 / 4.7, rel=3e-3)


def test_emf_of_a_generator_falls_to_its_transient_reactance() -> None:
    """E - 0.5 I over X'' 0.7: as if behind X' of 1.2 ohm. Reactances at 61.2 Hz, 0.5 not."""
    bench = generator(supply(0.01, SUB_H))
    bench.l("load", "B", "chassis", 0.01, 4.0 / W)
    trace = run(bench, 0.8, [(AT_PEAK_S, "k", True)])
    faster = 61.2 / 60.0
    amps = 240.0 / (4.7 * faster + 0.5)
    end = 0.8 - 20.0 / 61.2
    assert rms_of(trace, "i", end, 0.8) == pytest.approx(amps, rel=5e-3)
    assert rms_of(trace, "v", end, 0.8) == pytest.approx(amps * 4.0 * faster, rel=5e-3)


def test_regulator_brings_the_volts_back() -> None:
    bench = generator(supply(0.01, SUB_H), regulator_s=0.3)
    bench.l("load", "B", "chassis", 2.0, 8.0 / W)
    trace = run(bench, 4.0, [(0.05, "k", True)])
    assert rms_of(trace, "v", 0.1, 0.15) < 230.0
    assert rms_of(trace, "v", 4.0 - 30.0 * CYCLE_S, 4.0) == pytest.approx(240.0, rel=5e-3)


def test_regulator_has_a_ceiling() -> None:
    """4 ohm behind 4.7 needs 282 V of emf; a ceiling of 110 % gives 264 and 225 of them."""
    bench = generator(
        supply(0.01, SUB_H), extra_ohms=0.0, regulator_s=0.3, ceiling=1.1, droop=0.001
    )
    bench.l("load", "B", "chassis", 0.01, 4.0 / W)
    trace = run(bench, 4.0, [(0.05, "k", True)])
    assert rms_of(trace, "v", 4.0 - 30.0 * CYCLE_S, 4.0) == pytest.approx(224.7, rel=5e-3)


def test_an_engine_overloaded_stalls() -> None:
    """Twice the rating against 1.1 of it: df/dt = -60 x 0.9/(2 x 0.4) = -67 Hz/s and falling."""
    bench = generator(supply(0.01, 0.0), extra_ohms=0.0)
    bench.r("load", "B", "chassis", 240.0**2 / (2.0 * RATED_W))
    trace = run(bench, 1.5, [(0.05, "k", True)])
    gave = [e for e in trace.events if e.kind == "gave_up"]
    assert len(gave) == 1 and gave[0].value < 40.0
    # 21.2 Hz at between 67 and 60 x 2/0.8 = 150 Hz/s, after the engine has been found wanting
    assert 0.05 + 21.2 / 150.0 < gave[0].t_s < 0.05 + 21.2 / 67.5 + 0.1
    assert rms_of(trace, "v", gave[0].t_s + 0.05, 1.5) < 0.01


# --- inverter ---------------------------------------------------------------------------------

LIMIT_A = 60.0
FILTER_H = 1e-3
FOLD_OHMS = 0.5 * FILTER_H / 50e-6


def inverter(load_ohms: float, surge_s: float = 3.0, rated_a: float = 20.0) -> Bench:
    bench = supply(0.02, FILTER_H)
    sense = Sense(amps=(("leg", 1.0),))
    device = Inverter("inv", (0,), sense, LIMIT_A, FOLD_OHMS, surge_s, rated_a, breaks=("k",))
    bench.elements.add(device)
    # the contact is the inverter's own output: found closed
    bench.elements.switches[:] = []
    return bench.s("k", "A", "B").r("load", "B", "chassis", load_ohms)


def test_an_inverter_below_its_limit_is_an_ordinary_source() -> None:
    """240 V over 12 ohm and 0.377 ohm of filter: 19.98 A."""
    trace = run(inverter(12.0), 0.5)
    expected = 240.0 / math.hypot(12.02, W * FILTER_H)
    assert rms_of(trace, "i", 0.3, 0.5) == pytest.approx(expected, rel=2e-3)
    assert [e for e in trace.events if e.kind == "gave_up"] == []


def test_an_inverter_holds_its_peak_at_the_limit() -> None:
    """2 ohm would take 170 A peak. Folded: i (2 + fold) = E + fold x limit at the crest."""
    trace = run(inverter(2.0), 0.2)
    crest = (240.0 * ROOT2 + FOLD_OHMS * LIMIT_A) / (2.02 + FOLD_OHMS)
    late = trace["i"][trace.t_s > 0.1]
    assert np.abs(late).max() == pytest.approx(crest, rel=0.03)
    assert np.abs(np.diff(late)).max() < 0.5 * LIMIT_A, "it does not ring"


def test_a_bolted_short_takes_no_more_than_the_limit_and_the_fold() -> None:
    """Nothing but 21 milliohm: all 339 V fall on the fold above the limit."""
    trace = run(inverter(1e-3), 0.2)
    most = LIMIT_A + 240.0 * ROOT2 / FOLD_OHMS
    assert np.abs(trace["i"]).max() < 1.1 * most


@pytest.mark.parametrize(("surge_s", "gives_up"), [(0.3, True), (2.0, False)])
def test_an_inverter_gives_up_after_its_surge_time(surge_s: float, gives_up: bool) -> None:
    """30 A on a rating of 20 A for a second."""
    trace = run(inverter(8.0, surge_s), 1.0)
    gave = [e.t_s for e in trace.events if e.kind == "gave_up"]
    if not gives_up:
        assert gave == []
        return
    assert gave == [pytest.approx(surge_s, abs=CYCLE_S)]
    assert rms_of(trace, "i", gave[0] + 0.03, 1.0) < 1e-3


# --- phase control ----------------------------------------------------------------------------


def starter(bench: Bench, **changes: float) -> Bench:
    """A pair to B, a bypass beside it and a boost contact to a lamp of its own."""
    a = bench.node("A")
    bench.s("bypass", "A", "B", closed=False).s("boost", "A", "D").r("lamp", "D", "chassis", 100.0)
    given = {
        "first_delay_s": 3e-3, "ramp_s": 1e9, "limit_a_rms": 1e9, "settled_ratio": 0.0,
        "boost_most_s": 0.2, "give_up_s": 1e9,
    }  # fmt: skip
    amps = Sense(amps=(("k", 1.0), ("bypass", 1.0)))
    device = PhaseControl(
        "soft", Sense(volts=(a, 0)), "k", ("bypass",), ("boost",), current_sense=amps,
        **{**given, **changes},
    )  # fmt: skip
    bench.elements.add(device)
    return bench


def fired(delay_s: float, ohms: float = 12.0, **changes: float) -> Bench:
    bench = starter(supply(1e-3, 0.0), first_delay_s=delay_s, **changes)
    return bench.r("load", "B", "chassis", ohms)


@pytest.mark.parametrize("delay_s", [2e-3, 4e-3, 6e-3])
def test_late_firing_into_a_resistor(delay_s: float) -> None:
    """V_rms^2 = V^2 (1 - alpha/pi + sin(2 alpha)/(2 pi)); a step or two late of 2 ms and more."""
    trace = run(fired(delay_s), 0.5, soft="soft")
    assert resistive(delay_s + 2.0 * STEP_S) * 0.998 < trace["soft"][-1] < resistive(delay_s)


def test_pair_fires_in_both_half_cycles_alike() -> None:
    """Neither direct current nor a half cycle left out."""
    bench = fired(4e-3)
    i = Channel("load", Sense(amps=(("load", 1.0),)))
    trace = Transient(bench.elements, [i]).run(0.5)
    cycle = trace["load"][-336:]
    assert cycle.mean() == pytest.approx(0.0, abs=0.1)
    assert cycle.max() == pytest.approx(-cycle.min(), rel=0.01)
    assert cycle.max() == pytest.approx(20.0 * ROOT2, rel=0.01)


def resistive(delay_s: float) -> float:
    """Rms amps of 240 V on 12 ohm fired so late in each half cycle."""
    alpha = W * delay_s
    return 20.0 * math.sqrt(1.0 - alpha / math.pi + math.sin(2.0 * alpha) / (2.0 * math.pi))


def test_delay_ramps_to_nothing() -> None:
    """5 ms falling to 0 in 0.3 s; the cycle's rms is that of half a cycle ago, more or less."""
    trace = run(fired(5e-3, ramp_s=0.3), 0.6, soft="soft")
    for at in (0.1, 0.15, 0.2, 0.25):
        slowest, quickest = (5e-3 * (1.0 - (at - lag) / 0.3) for lag in (0.035, 0.0))
        shown = trace["soft"][np.searchsorted(trace.t_s, at)]
        assert resistive(slowest) < shown < resistive(quickest)
    assert trace["soft"][-1] == pytest.approx(20.0, rel=2e-3)


def test_current_limit_stops_the_ramp() -> None:
    """Held where the cycle's rms reaches 12 A, less what the ramp does in a cycle and a half."""
    trace = run(fired(6e-3, ramp_s=0.3, limit_a_rms=12.0), 1.5, soft="soft")
    ramped = brentq(lambda d: resistive(d) - 12.0, 1e-3, 8e-3)
    assert 12.0 <= trace["soft"][-1] < resistive(ramped - 1.5 * CYCLE_S * 6e-3 / 0.3)


def test_boost_leaves_at_the_latest_when_it_must() -> None:
    trace = run(fired(3e-3, boost_most_s=0.2), 0.5)
    left = [e.t_s for e in trace.events if e.kind == "opened" and e.name == "boost"]
    # counted from the first zero of the volts, which begin at one
    assert left == [pytest.approx(0.2 + CYCLE_S / 2.0, abs=CYCLE_S)]


def test_bypass_makes_when_the_current_has_settled() -> None:
    """The load is cut to a tenth at 0.5 s: below half of the first, ramp over, so it bypasses."""
    bench = fired(3e-3, ohms=120.0, ramp_s=0.2, settled_ratio=0.5, boost_most_s=9.0)
    bench.s("more", "B", "E").r("inrush", "E", "chassis", 13.3)
    trace = run(bench, 1.0, [(0.5, "more", False)])
    made = [e.t_s for e in trace.events if e.kind == "closed" and e.name == "bypass"]
    left = [e.t_s for e in trace.events if e.kind == "opened" and e.name == "boost"]
    assert made == [pytest.approx(0.5 + CYCLE_S, abs=CYCLE_S)]
    assert left == [pytest.approx(0.5 + CYCLE_S, abs=1.5 * CYCLE_S)]


def test_starter_gives_up_when_nothing_settles() -> None:
    trace = run(fired(3e-3, settled_ratio=0.1, ramp_s=0.2, give_up_s=0.4), 0.8)
    gave = [e.t_s for e in trace.events if e.kind == "gave_up"]
    assert gave == [pytest.approx(0.4 + CYCLE_S / 2.0, abs=CYCLE_S)]
    assert rms_of(trace, "v", 0.6, 0.8) == pytest.approx(240.0, rel=1e-3)
    assert rms_of(trace, "i", 0.6, 0.8) < 1e-3


def test_starter_begins_again_after_a_pause_without_volts() -> None:
    """Bypassed and running; dead for 0.1 s: the next start is late-fired again."""
    bench = Bench()
    k = bench.elements.source(Source("emf", 240.0 * ROOT2, 60.0))
    taps = ((bench.node("chassis"), 1.0), (bench.node("S"), -1.0))
    bench.elements.add(Inductive("leg", taps, 1e-3, 0.0, source=k))
    bench.s("hand", "S", "A").s("k", "A", "B", closed=False)
    starter(bench, first_delay_s=5e-3, ramp_s=0.1, settled_ratio=2.0, boost_most_s=0.1)
    bench.r("load", "B", "chassis", 12.0).r("board", "A", "chassis", 50e3)
    trace = run(bench, 0.8, [(0.4, "hand", False), (0.5, "hand", True)], soft="soft")
    made = [e.t_s for e in trace.events if e.kind == "closed" and e.name == "bypass"]
    assert len(made) == 2
    assert made[1] - 0.5 == pytest.approx(made[0], abs=CYCLE_S)
    # counted from its first zero, which the second start has at once, the first half a cycle on
    again = trace["soft"][(trace.t_s > 0.5) & (trace.t_s < 0.58)]
    begun = np.searchsorted(trace.t_s, CYCLE_S / 2.0)
    apart = np.abs(again - trace["soft"][begun : begun + len(again)])
    assert apart.mean() < 0.2
