"""The soft starter on a resistive and inductive load: ramp, bypass, boost, giving up."""

import math

import numpy as np
import pytest

from tests.parts.bench import bench, line, node, run, times
from trainer.circuit.dead import Dead, ohms
from trainer.circuit.elements import Inductive, Sense
from trainer.parts.softstart import SoftStarter


def loaded(amps: float, **spec):
    """IN on one leg, REF on the other, an R-L load of so many amps behind OUT."""
    e = bench({"x": SoftStarter(**spec)})
    line(e, "x.IN", "x.REF", 230.0)
    z = 230.0 / amps
    taps = ((node(e, "x.OUT"), 1.0), (node(e, "x.REF"), -1.0))
    e.add(Inductive("motor", taps, 0.5 * z, 0.866 * z / (120.0 * math.pi)))
    return e


AMPS = {"amps": Sense(amps=(("motor", 1.0),))}


def rms(trace, name: str, start: float, end: float) -> float:
    inside = (trace.t_s >= start) & (trace.t_s < end)
    return float(np.sqrt(np.mean(trace[name][inside] ** 2)))


def fired(alpha: float, amps: float, phi: float = math.pi / 3.0) -> float:
    """Rms amps of a pair fired at alpha into an R-L load of angle phi, no neighbour overlapping.

    i = sqrt(2) I (sin(th - phi) - sin(alpha - phi) exp(-(th - alpha)/tan phi)) until it is zero:
    textbook form of the single-phase alternating-voltage controller, from memory.
    """
    th = np.linspace(alpha, alpha + math.pi, 20001)
    i = np.sin(th - phi) - math.sin(alpha - phi) * np.exp(-(th - alpha) / math.tan(phi))
    i[np.argmax((i < 0.0) & (th > alpha + 1e-3)) :] = 0.0
    return amps * math.sqrt(2.0 * float(np.sum(i**2)) * (th[1] - th[0]) / math.pi)


def test_first_cycles_are_cut_as_the_firing_angle_says():
    _, trace = run(loaded(40.0, limit="200 A", ramp="100 s"), 0.2, **AMPS)
    alpha = SoftStarter().first_angle
    # the ramp has gone 0.15 % of its way by then
    assert rms(trace, "amps", 0.05, 0.15) == pytest.approx(fired(alpha, 40.0), rel=0.01)


def test_amps_rise_through_the_ramp():
    # firing ends at the load's own angle of 60 degrees, reached at 40 % of the ramp
    _, trace = run(loaded(40.0, limit="200 A", ramp="1 s"), 0.6, **AMPS)
    steps = [rms(trace, "amps", t, t + 1 / 30) for t in (0.02, 0.12, 0.22, 0.5)]
    assert steps == sorted(steps) and steps[-1] > 1.5 * steps[0]
    assert steps[-1] == pytest.approx(40.0, rel=0.01)


def test_limit_holds_the_ramp():
    free = run(loaded(60.0, limit="200 A"), 0.6, **AMPS)[1]
    held = run(loaded(60.0, limit="30 A"), 0.6, **AMPS)[1]
    # it holds once a whole cycle is over the limit: by then the ramp has gone on for that cycle
    # and the one in which it went over
    starter = SoftStarter()
    ahead = 2.0 * starter.first_angle / (60.0 * starter.ramp)
    angles = np.linspace(starter.first_angle, math.pi / 3.0, 400)
    at_limit = next(a for a in angles if fired(a, 60.0) >= 30.0)
    most = fired(at_limit - ahead, 60.0)
    assert 30.0 < rms(held, "amps", 0.5, 0.55) < most < rms(free, "amps", 0.5, 0.55)


def test_gives_up_on_a_load_that_never_settles():
    _, trace = run(loaded(40.0, gives_up="1 s"), 1.5, **AMPS)
    assert times(trace, "gave_up", "x")[0] == pytest.approx(1.0, abs=0.1)
    assert rms(trace, "amps", 1.2, 1.4) < 0.5


def test_boost_leaves_at_the_latest():
    _, trace = run(loaded(40.0, boost_longest="0.3 s"), 0.6, **AMPS)
    assert times(trace, "parted", "x~boost-contact")[0] == pytest.approx(0.3, abs=0.05)


def test_boost_is_in_at_rest_and_reads_through_to_aux():
    with_boost = bench({"x": SoftStarter()})
    without = bench({"x": SoftStarter(boost=None)})
    assert ohms(Dead(with_boost), node(with_boost, "x.REF"), node(with_boost, "x.AUX")).value < 20e3
    assert math.isinf(ohms(Dead(without), node(without, "x.REF"), node(without, "x.AUX")).value)


def test_line_side_and_load_side_are_apart_at_rest():
    e = bench({"x": SoftStarter()})
    assert math.isinf(ohms(Dead(e), node(e, "x.IN"), node(e, "x.OUT")).value)


def test_limit_of_a_class():
    # P20: 120 A locked, 40 % of it (invented classes)
    assert SoftStarter(starter_class="P20").limit_a == pytest.approx(48.0)
    assert SoftStarter(limit="32 A").limit_a == 32.0
