"""PTC and timed electronic starter."""

import math

import pytest

from tests.parts.bench import bench, between, line, node, run, times
from trainer.circuit.channels import Channel
from trainer.circuit.dead import Dead, ohms
from trainer.circuit.transient import Transient
from trainer.parts.startgear import PtcStarter, TimedStarter


def test_cold_and_hot_ohms():
    ptc = PtcStarter()
    assert ptc.ohms(25.0) == 25.0
    assert ptc.ohms(120.0) == 25.0
    assert ptc.ohms(180.0) == pytest.approx(20e3)
    # halfway in temperature is the geometric mean
    assert ptc.ohms(150.0) == pytest.approx(math.sqrt(25.0 * 20e3), rel=1e-6)


def heated(seconds: float, **spec):
    e = bench({"p": PtcStarter(**spec)})
    line(e, "p.a", "p.b", 245.0)
    channels = [Channel("amps", sense=between(e, "p.a", "p.b")), Channel("c", device="p")]
    transient = Transient(e, channels)
    return transient, transient.run(seconds)


def test_switches_within_tenths_of_a_second():
    # data sheets of PTC starters: switching 0.1 s to several s, hot several kohm
    transient, trace = heated(2.0)
    hot = trace.t_s[trace["c"] > 140.0]
    assert 0.1 < hot[0] < 1.5
    assert transient.snapshot().resistor_ohms["p~pill"] > 1e3


def test_heat_until_it_switches_is_its_own_loss():
    # 245^2/25 = 2401 W on 9 J/K from 25 to 120 degC: 0.356 s, cooling leaves 1 % of it
    _, trace = heated(1.0)
    assert trace.t_s[trace["c"] > 120.0][0] == pytest.approx(9.0 * 95.0 / 2401.0, rel=0.02)


def test_still_hot_it_gives_no_start():
    e = bench({"p": PtcStarter(temperature="160 degC")})
    assert ohms(Dead(e), node(e, "p.a"), node(e, "p.b")).value > 1e3


def test_cools_in_minutes():
    # 9 J/K times 25 K/W: 225 s, inside the 3 to 10 min of data sheets
    ptc = PtcStarter()
    assert 180.0 < ptc.heat_capacity * ptc.cooling < 600.0


@pytest.mark.parametrize(("found", "least", "most"), [("open", 1e6, math.inf), ("shorted", 0, 0.4)])
def test_broken_ones(found, least, most):
    e = bench({"p": PtcStarter(found=found)})
    assert least <= ohms(Dead(e), node(e, "p.a"), node(e, "p.b")).value <= most


def test_hot_must_be_above_cold():
    with pytest.raises(ValueError, match="not above cold"):
        PtcStarter(cold="100 ohm", hot="50 ohm")


def timed(**spec):
    e = bench({"t": TimedStarter(capacitance="88 uF", time="0.5 s", **spec)})
    line(e, "t.SN", "t.P", 230.0)
    e.resistor("winding", node(e, "t.Q"), node(e, "t.SN"), 30.0)
    return e


def test_timed_starter_opens_after_its_time():
    _, trace = run(timed(), 1.0)
    assert times(trace, "opened", "t~contact")[0] == pytest.approx(0.5, abs=0.03)


def test_timed_starter_opens_earlier_on_volts():
    # behind 88 uF (30.1 ohm at 60 Hz) the 30 ohm winding has 162 V
    _, trace = run(timed(opens_at="100 V"), 1.0)
    assert times(trace, "opened", "t~contact")[0] < 0.05


def test_timed_starter_waits_for_its_volts():
    _, trace = run(timed(opens_at="200 V"), 1.0)
    assert times(trace, "opened", "t~contact")[0] == pytest.approx(0.5, abs=0.03)
