"""Every device that moves a contact or a source, on a circuit small enough to work by hand.

Sources and firing angles are in test_devices_sources.py.

Expected times and values are worked from the device's own law beside each test. Ratings are
invented. Devices look 84 times a cycle, so times hold to about 0.2 ms of themselves.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.circuit.build import Bench
from trainer.circuit.channels import Channel, Trace
from trainer.circuit.elements import (
    Coil,
    Device,
    Magnetic,
    Ptc,
    Residual,
    Sense,
    Thermal,
    Timer,
)
from trainer.circuit.transient import Transient

CYCLE_S = 1.0 / 60.0
TICK_S = CYCLE_S / 84.0
LOOK_S = 2.5 * TICK_S


def amps(name: str) -> Sense:
    return Sense(amps=((name, 1.0),))


def times(trace: Trace, kind: str, name: str | None = None) -> list[float]:
    return [e.t_s for e in trace.events if e.kind == kind and name in (None, e.name)]


def lamp(volts: float = 120.0, ohms: float = 12.0, phase_rad: float = 0.0) -> Bench:
    """A line, a hand's contact, a device's contact and a resistor in series."""
    bench = Bench()
    bench.line("v", "A", "chassis", volts, phase_rad=phase_rad, ohms=1e-3, henries=0.0)
    return bench.s("hand", "A", "B").s("k", "B", "C").r("load", "C", "chassis", ohms)


def go(
    bench: Bench,
    until_s: float,
    *devices: Device,
    acts: Sequence[tuple[float, str, bool]] = (),
    channels: Sequence[Channel] = (),
) -> Trace:
    bench.elements.add(*devices)
    load = Channel("load", amps("load"))
    tr = Transient(bench.elements, [load, *channels])
    for at, contact, closed in acts:
        tr.act(at, contact, closed)
    return tr.run(until_s)


def rms_of(trace: Trace, from_s: float, to_s: float) -> float:
    inside = (trace.t_s > from_s) & (trace.t_s <= to_s)
    return float(np.sqrt(np.mean(trace["load"][inside] ** 2)))


# --- electromagnets ---------------------------------------------------------------------------


def relay(bench: Bench, **changes: object) -> Coil:
    sense = Sense(volts=(bench.node("B"), 0))
    given = {"pickup_rms": 100.0, "dropout_rms": 60.0, "operate_s": 0.01, "release_s": 0.015}
    return Coil("relay", sense, **{**given, **changes})  # type: ignore[arg-type]


def share_of_cycle(ratio: float) -> float:
    """When the rms over one cycle of a sine that began at a zero is ``ratio`` of its own.

    x - sin(4 pi x)/(4 pi) = ratio^2, in cycles.
    """
    return float(brentq(lambda x: x - math.sin(4 * math.pi * x) / (4 * math.pi) - ratio**2, 0, 1))


def test_a_coil_picks_up_when_the_rms_of_a_cycle_reaches_it() -> None:
    bench = lamp()
    trace = go(bench, 0.2, relay(bench, makes=("k",)))
    expected = share_of_cycle(100.0 / 120.0) * CYCLE_S + 0.01
    assert times(trace, "picked_up") == pytest.approx([expected], abs=LOOK_S)
    assert times(trace, "closed", "k") == pytest.approx([expected], abs=LOOK_S)
    assert rms_of(trace, 0.0, expected - LOOK_S) < 1e-6


def test_a_coil_drops_out_when_the_rms_of_a_cycle_has_fallen() -> None:
    """Volts cut at a zero: after t the ring still holds what is left, 1 - that share."""
    bench = lamp()
    trace = go(bench, 0.3, relay(bench, makes=("k",)), acts=[(0.1, "hand", False)])
    gone = share_of_cycle(math.sqrt(1.0 - 0.5**2)) * CYCLE_S
    assert times(trace, "opened", "hand") == pytest.approx([0.1], abs=LOOK_S)
    assert times(trace, "dropped_out") == pytest.approx([0.1 + gone + 0.015], abs=LOOK_S)


@pytest.mark.parametrize(("volts", "moves"), [(99.0, 0), (101.0, 1)])
def test_a_coil_below_pickup_stays(volts: float, moves: int) -> None:
    bench = lamp(volts)
    assert len(times(go(bench, 0.3, relay(bench, makes=("k",))), "picked_up")) == moves


def divided(dropout: float) -> Trace:
    """240 V on two equal resistors: the coil's 120 V halves when its own contact makes.

    The contact puts 24 ohm across the lower 24 ohm: 240 x 12/36 = 80 V.
    """
    bench = Bench()
    bench.line("v", "A", "chassis", 240.0, ohms=1e-3, henries=0.0)
    bench.r("up", "A", "B", 24.0).r("down", "B", "chassis", 24.0)
    bench.s("k", "B", "C").r("load", "C", "chassis", 24.0)
    return go(bench, 1.0, relay(bench, dropout_rms=dropout, makes=("k",)))


def test_a_coil_holds_between_dropout_and_pickup() -> None:
    trace = divided(dropout=70.0)
    assert len(times(trace, "picked_up")) == 1
    assert times(trace, "dropped_out") == []


def test_chatter_goes_on_as_fast_as_armature_and_cycle_allow_and_no_faster() -> None:
    trace = divided(dropout=95.0)
    drops = times(trace, "dropped_out")
    assert 10 < len(drops) <= 1.0 / (0.01 + 0.015) + 1
    assert np.diff(drops).min() > 0.01 + 0.015
    assert times(trace, "picked_up")[-1] > 0.9


def test_a_coil_that_cuts_its_own_supply_buzzes_and_the_run_ends() -> None:
    bench = lamp()
    buzzer = Coil(
        "buzzer", Sense(volts=(bench.node("C"), 0)), 60.0, 30.0, 2e-3, 2e-3, breaks=("k",)
    )
    trace = go(bench, 1.0, buzzer)
    assert 20 < len(times(trace, "picked_up")) <= 1.0 / 4e-3
    assert trace.t_s[-1] == pytest.approx(1.0, abs=1e-4)


def test_timer_acts_after_its_delay() -> None:
    bench = lamp()
    timer = Timer("timer", Sense(volts=(bench.node("B"), 0)), 60.0, 0.25, makes=("k",))
    expected = share_of_cycle(0.5) * CYCLE_S + 0.25
    trace = go(bench, 0.4, timer)
    assert times(trace, "closed", "k") == pytest.approx([expected], abs=LOOK_S)


@pytest.mark.parametrize(("off_s", "again_s"), [(0.1, 1.0), (0.7, 1.2)])
def test_timer_waits_out_its_lockout(off_s: float, again_s: float) -> None:
    """Volts from 0 to 0.5 s and again ``off_s`` later; 0.5 s must pass without action.

    Delay 0: it acts at once unless the last action ended less than 0.5 s ago.
    """
    bench = lamp()
    timer = Timer(
        "timer", Sense(volts=(bench.node("B"), 0)), 60.0, 0.0, makes=("k",), lockout_s=0.5
    )
    back = 0.5 + off_s
    trace = go(bench, 1.5, timer, acts=[(0.5, "hand", False), (back, "hand", True)])
    first, second = times(trace, "picked_up")
    assert first == pytest.approx(share_of_cycle(0.5) * CYCLE_S, abs=LOOK_S)
    # the ring forgets volts and learns them within a cycle
    assert second == pytest.approx(again_s, abs=CYCLE_S + LOOK_S)


# --- protection -------------------------------------------------------------------------------


def overload(bench: Bench, **changes: object) -> Thermal:
    given = {
        "ohms": 0.02, "c_j_per_k": 0.1, "r_k_per_w": 50.0, "trips_c": 125.0, "resets_c": 75.0,
        "breaks": ("k",),
    }  # fmt: skip
    return Thermal("overload", amps("load"), **{**given, **changes})  # type: ignore[arg-type]


#: 240 V on 12 ohm is 20 A: 8 W in 20 milliohm, 400 K above 25 degC in the end.
TAU_S = 0.1 * 50.0


def test_overload_trips_when_its_heat_says() -> None:
    """T = 25 + 400 (1 - e^(-t/5 s)) with 20 A: 125 degC after 5 ln(4/3) = 1.438 s."""
    bench = lamp(240.0)
    trace = go(bench, 2.0, overload(bench))
    assert times(trace, "tripped") == pytest.approx([TAU_S * math.log(4.0 / 3.0)], rel=5e-3)
    assert rms_of(trace, 1.5, 2.0) < 1e-6


def test_overload_resets_when_it_has_cooled() -> None:
    """From 125 to 75 degC around 25: 5 s ln 2."""
    bench = lamp(240.0)
    trace = go(bench, 6.0, overload(bench))
    assert times(trace, "reset") == pytest.approx(
        [times(trace, "tripped")[0] + TAU_S * math.log(2.0)], rel=5e-3
    )


def test_overload_bears_its_rating() -> None:
    """At 9.9 A it ends 98 K above ambient: below the trip; twelve of its time constants."""
    bench = lamp(118.8)
    trace = go(bench, 3.0, overload(bench, c_j_per_k=5e-3))
    assert times(trace, "tripped") == []


def test_overload_that_a_hand_must_reset() -> None:
    bench = lamp(240.0)
    trace = go(
        bench, 8.0, overload(bench, resets_c=None),
        acts=[(7.0, "k", False), (7.5, "k", True)],
    )  # fmt: skip
    assert times(trace, "reset") == []
    assert rms_of(trace, 2.0, 7.4) < 1e-6
    assert rms_of(trace, 7.6, 7.9) == pytest.approx(20.0, rel=0.01)


@pytest.mark.parametrize("ratio", [1.05, 3.0])
def test_magnetic_trip_opens_after_its_delay(ratio: float) -> None:
    """|i| of 14.1 A peak passes peak_a at arcsin(1/ratio); 4 ms later it trips, then arcs out."""
    bench = lamp()
    peak = 120.0 * math.sqrt(2.0) / 12.0 / ratio
    trace = go(bench, 0.1, Magnetic("breaker", amps("load"), peak, ("k",)))
    expected = math.asin(1.0 / ratio) / (120.0 * math.pi) + 4e-3
    assert times(trace, "tripped") == pytest.approx([expected], abs=LOOK_S)
    assert times(trace, "opened", "k") == pytest.approx([CYCLE_S / 2.0], abs=LOOK_S)


def test_magnetic_trip_lets_a_smaller_current_pass() -> None:
    bench = lamp()
    peak = 120.0 * math.sqrt(2.0) / 12.0 * 1.01
    assert go(bench, 0.2, Magnetic("breaker", amps("load"), peak, ("k",))).events == []


def test_breaker_handle_resets_a_magnetic_trip() -> None:
    bench = lamp()
    trace = go(
        bench, 0.3, Magnetic("breaker", amps("load"), 10.0, ("k",)),
        acts=[(0.1, "k", False), (0.2, "k", True)],
    )  # fmt: skip
    assert len(times(trace, "tripped")) == 2
    assert times(trace, "closed", "k") == pytest.approx([0.2], abs=1e-3)


def leaky(milliamps: float) -> Bench:
    """A lamp with both conductors through a core, and a fault to the chassis behind it."""
    bench = Bench()
    bench.line("v", "A", "N", 120.0, ohms=1e-3, henries=0.0).r("bond", "N", "chassis", 1e-3)
    bench.s("k", "A", "B").s("n", "N", "M").r("load", "B", "M", 12.0)
    return bench.r("fault", "B", "chassis", 120.0 / (milliamps * 1e-3))


def core(bench: Bench) -> Residual:
    """Trip time (20 mA / I)^1.43 s, curve of ground-fault interrupters (UL 943, from memory)."""
    both = Sense(amps=(("k", 1.0), ("n", 1.0)))
    return Residual("core", both, 6e-3, 20e-3, 1.43, ("k", "n"))


@pytest.mark.parametrize(("milliamps", "after_s"), [(20.0, 1.0), (50.0, 0.2698), (264.0, 0.02498)])
def test_residual_trip_follows_its_curve(milliamps: float, after_s: float) -> None:
    """The rms rises over one cycle, so a quick trip comes up to that much later."""
    bench = leaky(milliamps)
    trip = times(go(bench, 1.2, core(bench)), "tripped")
    assert len(trip) == 1
    assert after_s * 0.99 <= trip[0] <= after_s * 1.01 + CYCLE_S


def test_residual_trip_leaves_small_leakage_alone() -> None:
    bench = leaky(5.5)
    assert go(bench, 3.0, core(bench)).events == []


# --- a thermistor -----------------------------------------------------------------------------


def thermistor(bench: Bench, **changes: float) -> Ptc:
    given = {
        "cold_ohms": 20.0, "hot_ohms": 50e3, "switch_c": 120.0, "b_per_k": 0.15,
        "c_j_per_k": 3.0, "r_k_per_w": 20.0,
    }  # fmt: skip
    return Ptc("ptc", "load", **{**given, **changes})


def ptc_run(until_s: float, **changes: float) -> Trace:
    bench = lamp(200.0, ohms=20.0)
    shown = Channel("c", device="ptc")
    return go(bench, until_s, thermistor(bench, **changes), channels=[shown])


def test_ptc_heats_as_a_cold_resistor_until_it_switches() -> None:
    """2000 W in 3 J/K: 95 K take 0.1425 s with nothing lost; 1 % of it goes to the air."""
    trace = ptc_run(0.3, r_k_per_w=1e6)
    hot = trace.t_s[np.nonzero(trace["c"] > 120.0)[0][0]]
    assert hot == pytest.approx(0.1425, abs=CYCLE_S / 8.0)
    assert rms_of(trace, 0.1, 0.1 + CYCLE_S) == pytest.approx(10.0, rel=1e-3)


def test_ptc_ends_where_its_loss_keeps_it_hot() -> None:
    """V^2/R(T) r = T - 25 with R = 20 exp(0.15 (T - 120)): T from that equation alone."""
    trace = ptc_run(12.0, c_j_per_k=0.3)

    def balance(c: float) -> float:
        return 200.0**2 / (20.0 * math.exp(0.15 * (c - 120.0))) * 20.0 - (c - 25.0)

    c = brentq(balance, 120.0, 250.0)
    assert trace["c"][-1] == pytest.approx(c, abs=0.5)
    ohms = 20.0 * math.exp(0.15 * (c - 120.0))
    assert rms_of(trace, 11.5, 12.0) == pytest.approx(200.0 / ohms, rel=0.03)
