"""Breaker, fuse, disconnect and core-balance device: curves, trips, handles."""

import math

import pytest

from tests.parts.bench import bench, line, node, run, times
from trainer.circuit.dead import Dead, ohms
from trainer.circuit.elements import Thermal
from trainer.circuit.phasor import solve
from trainer.parts.protection import Breaker, Disconnect, Fuse, Gfci
from trainer.parts.resistive import ResistiveLoad
from trainer.parts.supply import SplitPhaseService


def loaded(device, amps: float, volts: float = 240.0):
    """The device's first pole between a stiff line and a resistor that takes ``amps``."""
    i, o = device.terminals()[:2]
    load = ResistiveLoad(power=f"{volts * amps} W", volts=f"{volts} V")
    e = bench({"d": device, "r": load}, (f"d.{o}", "r.1"))
    line(e, f"d.{i}", "r.2", volts)
    return e


@pytest.mark.parametrize(
    ("share", "least_s", "most_s"),
    [
        # UL 489, from memory: carries 100 %, 135 % within 1 h, 200 % within 2 min up to 30 A
        (1.0, math.inf, math.inf),
        (1.35, 60.0, 3600.0),
        (2.0, 8.0, 120.0),
        (6.0, 0.5, 20.0),
    ],
)
def test_thermal_curve_of_a_30_amp_breaker(share, least_s, most_s):
    assert least_s <= Breaker(rating="30 A").curve.seconds(30.0 * share) <= most_s


def test_breaker_holds_a_locked_start_for_seconds():
    # 79 A locked rotor on 30 A: a breaker holds a start and trips when the rotor stays locked
    assert 5.0 < Breaker(rating="30 A").curve.seconds(79.0) < 60.0


def test_breaker_trips_by_heat_in_the_circuit():
    curve = Breaker(rating="20 A").curve
    _, trace = run(loaded(Breaker(rating="20 A"), 160.0), 3.6)
    # the pole's own 5 mohm take 0.3 % off the amps
    assert times(trace, "tripped", "d~heat1")[0] == pytest.approx(curve.seconds(159.5), rel=0.02)
    assert times(trace, "opened", "d~2")


def test_magnetic_trip_on_a_short_is_within_a_cycle():
    service = SplitPhaseService(equipment_ground=None)
    e = bench(
        {"s": service, "b": Breaker(rating="30 A")},
        ("s.L1", "b.1i"), ("s.L2", "b.2i"), ("b.1o", "b.2o"),
    )  # fmt: skip
    assert abs(solve(e).amps("b~1")) > 1000.0
    _, trace = run(e, 0.1)
    assert times(trace, "tripped", "b~magnet1")[0] < 1.0 / 60.0
    assert {event.name for event in trace.events if event.kind == "opened"} == {"b~1", "b~2"}


def test_magnetic_trip_lets_an_inrush_pass():
    # 145 A peak, the offset peak of an 80 A locked rotor
    _, trace = run(loaded(Breaker(rating="30 A"), 100.0), 0.5)
    assert not trace.events


def test_one_pole_has_two_terminals_and_one_handle():
    one = Breaker(rating="15 A", poles=1)
    assert one.terminals() == ("1i", "1o")
    assert one.hand("b") == {"open": (("b~1", False),), "close": (("b~1", True),)}


def test_a_breaker_left_off():
    e = bench({"b": Breaker(rating="15 A", closed=False)})
    assert math.isinf(ohms(Dead(e), node(e, "b.1i"), node(e, "b.1o")).value)


@pytest.mark.parametrize(
    ("speed", "share", "least_s", "most_s"),
    [
        # a time-delay fuse holds five times its rating for 10 s: UL 248, from memory
        ("time_delay", 5.0, 10.0, 15.0),
        ("time_delay", 1.1, math.inf, math.inf),
        ("time_delay", 1.35, 60.0, 3600.0),
        ("fast", 2.0, 0.9, 1.1),
    ],
)
def test_fuse_curves(speed, share, least_s, most_s):
    assert least_s <= Fuse(rating="30 A", speed=speed).curve.seconds(30.0 * share) <= most_s


def test_fuse_blows_and_stays_open():
    transient, trace = run(loaded(Fuse(rating="5 A", speed="fast"), 50.0), 1.0)
    assert times(trace, "opened", "d~link")
    assert transient.snapshot().closed["d~link"] is False


def test_blown_fuse_is_found_open():
    e = bench({"f": Fuse(rating="5 A", intact=False)})
    assert math.isinf(ohms(Dead(e), node(e, "f.1"), node(e, "f.2")).value)


def test_disconnect_is_found_open_and_has_a_ground_lug():
    e = bench({"d": Disconnect()})
    assert math.isinf(ohms(Dead(e), node(e, "d.L1"), node(e, "d.T1")).value)
    assert "PE" in Disconnect().terminals()
    _, trace = run(e, 0.05, [(0.01, name, made) for name, made in Disconnect().hand("d")["close"]])
    assert len(trace.events) == 2


def ground_fault(leak_ohms: float):
    """120 V behind a core-balance device, some of the current going to the chassis."""
    e = bench(
        {"s": SplitPhaseService(), "g": Gfci(), "r": ResistiveLoad(power="100 W")},
        ("s.L1", "g.1i"), ("s.N", "g.Ni"), ("g.1o", "r.1"), ("r.2", "g.No"),
    )  # fmt: skip
    e.resistor("leak", node(e, "r.1"), 0, leak_ohms)
    return e


@pytest.mark.parametrize(
    ("milliamps", "seconds"),
    # t = (20/I)^1.43 s with I in mA, trips from 4 to 6 mA: UL 943 class A, from memory
    [(12.0, 2.08), (60.0, 0.208), (3.0, None)],
)
def test_core_balance(milliamps, seconds):
    _, trace = run(ground_fault(120.0 / (milliamps / 1e3)), 3.0)
    trips = times(trace, "tripped", "g")
    if seconds is None:
        assert not trips
    else:
        assert trips[0] == pytest.approx(seconds, abs=0.02 + 0.02 * seconds)


def test_rise_of_an_element_matches_its_curve():
    e = bench({"b": Breaker(rating="30 A")})
    t = next(d for d in e.devices if isinstance(d, Thermal))
    # held for ever at 115 %: ends exactly at its trip temperature
    assert t.ohms * (1.15 * 30.0) ** 2 * t.r_k_per_w == pytest.approx(t.trips_c - t.ambient_c)
