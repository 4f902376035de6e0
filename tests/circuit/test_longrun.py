"""Hours of a unit: leaving the transient, coming back, and what switches in between.

The motor is the two-pole 230 V machine of Fitzgerald/Kingsley/Umans, Electric Machinery 6th
ed., Example 9.5; loads and heat capacities are invented.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from trainer.circuit.channels import Channel
from trainer.circuit.elements import (
    Capacitive,
    Coil,
    Elements,
    Inductive,
    Machine,
    Sense,
    Source,
    Switch,
    Thermal,
)
from trainer.circuit.longrun import LongRun
from trainer.circuit.running import SlowView
from trainer.circuit.transient import Transient
from trainer.motor.machines import machine
from trainer.motor.params import LoadParams

LOAD = LoadParams(
    run_nm=7.0, at_rest=0.02, at_speed=0.6, pull_down_s=20.0, coulomb_nm=0.1, breakaway_nm=0.2
)
CHANNELS = [
    Channel("line", Sense(amps=(("line", 1.0),))),
    Channel("speed", machine="comp", quantity="speed_rad_s"),
    Channel("start winding", Sense(volts=(1, 2))),
]


def psc(load: LoadParams = LOAD, line_v: float = 230.0) -> Elements:
    """Line, contact, motor and 35 uF run capacitor."""
    e = Elements()
    leg, s, feed = e.node("leg"), e.node("S"), e.node("feed")
    mains = e.source(Source("mains", line_v * math.sqrt(2.0), 60.0))
    e.add(
        Inductive("line", ((0, 1.0), (feed, -1.0)), 0.02, 5e-5, mains),
        Switch("contact", feed, leg, True),
        Machine("comp", (leg, 0), (leg, s), machine("textbook-3500w"), load),
        Capacitive("run", s, 0, 35e-6, 0.05),
    )
    return e


def test_leaves_the_transient_when_cycles_agree_and_not_before() -> None:
    run = LongRun(psc(), CHANNELS)
    run.run(0.2)
    assert run.mode == "transient"
    run.run(5.0)
    assert run.mode == "running"
    assert [s.mode for s in run.history.stretches][-1] == "running"


def test_crossing_both_ways_agrees_with_an_uninterrupted_transient() -> None:
    whole = Transient(psc(), CHANNELS).run(3.2)
    run = LongRun(psc(), CHANNELS)
    run.run(3.0)
    assert run.mode == "running"
    back = Transient(psc(), CHANNELS, state=run.state()).run(3.2)
    n = len(back.t_s)
    for name, allowed in (("line", 5e-4), ("speed", 5e-4), ("start winding", 5e-4)):
        then, now = whole[name][-n:], back[name]
        assert rms(now) == pytest.approx(rms(then), rel=allowed)
        # phasors know no ripple of the shaft (1 % at this inertia); what it does to the currents
        # comes back within three cycles: 0.3 % of peak is left there, 0.1 % at the end
        assert np.abs(now - then)[n // 4 :].max() < 5e-3 * np.abs(then).max()
        assert np.abs(now - then)[-n // 8 :].max() < 1e-3 * np.abs(then).max()


def test_an_hour_ends_warm_with_the_pressures_parted() -> None:
    run = LongRun(psc())
    run.run(3600.0)
    state = run.state().machines["comp"]
    assert state.lift == pytest.approx(1.0, abs=1e-6)
    # steady copper temperature: 25 C + loss x path, both windings, from the phasor losses
    view = run.view()
    assert view is not None and view.solution is not None
    point = view.solution.machines["comp"]
    path = machine("textbook-3500w").r_winding_k_per_w
    assert state.main_c == pytest.approx(25.0 + path * point.main_copper_w, abs=0.1)


def test_opening_the_contact_stops_the_unit_and_a_call_starts_it_again() -> None:
    run = LongRun(psc(), CHANNELS)
    run.act(600.0, "contact", False)
    run.act(900.0, "contact", True)
    run.run(899.0)
    stopped = run.state().machines["comp"]
    assert stopped.speed_rad_s == 0.0
    # equalising for 299 s with the time constant of 60 s: e^-5 (closed form)
    assert stopped.lift == pytest.approx(math.exp(-299.0 / 60.0), rel=0.05)
    run.run(960.0)
    assert run.state().machines["comp"].speed_rad_s > 350.0


def test_a_thermal_trip_interrupts_running_at_its_own_time() -> None:
    e = psc()
    # heads for 25 + 10 K/W x 0.08 ohm x I^2, about 170 C: trips, cools, makes again
    e.add(Thermal("ol", Sense(amps=(("line", 1.0),)), 0.08, 60.0, 10.0, 110.0, 60.0, ("contact",)))
    run = LongRun(e)
    run.run(1200.0)
    trips = [event for event in run.history.events if event.kind == "tripped"]
    resets = [event for event in run.history.events if event.kind == "reset"]
    assert trips and resets
    # cooling from 110 to 60 in 25 C with r c = 600 s: 600 ln(85/35) = 532.4 s
    assert resets[0].t_s - trips[0].t_s == pytest.approx(600.0 * math.log(85 / 35), rel=0.01)


def test_a_coil_off_its_limits_interrupts_running() -> None:
    e = psc()
    e.add(Coil("relay", Sense(volts=(1, 2)), 200.0, 90.0, 0.01, 0.01, breaks=("contact",)))
    e.switches[0] = replace(e.switches[0], closed=True)
    run = LongRun(e, CHANNELS)
    run.run(2.0)
    assert any(event.kind == "picked_up" for event in run.history.events)


def test_a_transient_off_the_clock_s_grid_still_ends() -> None:
    run = LongRun(psc(), CHANNELS)
    run.run(10.0)
    off = replace(run.state(), t_s=10.0 + 3.1e-5)  # between two steps of 49.6 us
    again = LongRun(psc(), CHANNELS, state=off)
    again.act(10.0 + 3.1e-5, "contact", False)
    for ms in range(1, 8):
        again.run(10.0 + ms * 1e-3)
        assert again.t_s == pytest.approx(10.0 + ms * 1e-3, abs=3e-5)


class OpensLater:
    """A rule that opens the contact after a time of its own."""

    def __init__(self, after_s: float) -> None:
        self.left_s = after_s

    def advance(self, view: SlowView, dt_s: float) -> None:
        self.left_s -= dt_s

    def moves(self, view: SlowView) -> tuple[tuple[str, bool], ...]:
        return (("contact", False),) if self.left_s <= 0.0 else ()

    def patience_s(self, view: SlowView) -> float:
        return self.left_s


def test_a_rule_of_the_unit_moves_a_contact_at_its_time() -> None:
    run = LongRun(psc(), CHANNELS, rules=[OpensLater(120.0)])
    run.run(121.0)
    opened = [event for event in run.history.events if event.kind == "opened"]
    assert opened[0].t_s == pytest.approx(120.0, abs=0.3)


def test_a_charge_behind_an_open_contact_bleeds_while_the_unit_runs() -> None:
    e = psc()
    top = e.node("top")
    e.add(Capacitive("start", top, 0, 100e-6, 0.5, volts=300.0))
    e.resistor("bleed", top, 0, 15e3)
    run = LongRun(e, CHANNELS)
    run.run(4.0)
    # v0 e^(-t/RC), RC = 1.5 s (closed form)
    assert run.state().capacitor_v["start"] == pytest.approx(300.0 * math.exp(-4 / 1.5), rel=5e-3)


def rms(x: np.ndarray) -> float:
    return float(np.sqrt(np.mean(x**2)))
