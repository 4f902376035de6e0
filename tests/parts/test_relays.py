"""Potential and current relay: coil, contact, pickup, drop-out, faults found."""

import math

import pytest

from tests.parts.bench import bench, line, node, run, times
from trainer.circuit.dead import Dead, ohms
from trainer.circuit.phasor import solve
from trainer.parts.gear import gear
from trainer.parts.relays import CurrentRelay, PotentialRelay


def coil_on(volts: float, **spec):
    e = bench({"r": PotentialRelay(**spec)})
    line(e, "r.5", "r.2", volts)
    return e


def test_pinout():
    # 5-2 coil of 1 to 10 kohm, 1-2 normally closed, 4 and 6 joined to nothing: trade article
    e = bench({"r": PotentialRelay()})
    read = {
        pair: ohms(Dead(e), node(e, f"r.{pair[0]}"), node(e, f"r.{pair[1]}")).value
        for pair in ("52", "12", "46", "42")
    }
    assert 1e3 < read["52"] < 10e3
    assert read["12"] < 0.5
    assert math.isinf(read["46"]) and math.isinf(read["42"])


@pytest.mark.parametrize(
    ("letter", "pickup", "dropout_most"),
    # the invented classes: middle of the pickup range, drop-out below its most
    [("A", 145, 60), ("B", 175, 90), ("C", 205, 100), ("D", 240, 110), ("E", 280, 120)],
)
def test_classes(letter, pickup, dropout_most):
    relay = PotentialRelay(relay_class=letter)
    assert relay.pickup_v == pickup
    assert relay.dropout_v < dropout_most
    assert relay.continuous_v == gear().relay_classes[letter].continuous


def test_single_values_go_over_the_class():
    relay = PotentialRelay(relay_class="A", pickup="150 V", dropout="40 V", continuous="300 V")
    assert (relay.pickup_v, relay.dropout_v, relay.continuous_v) == (150.0, 40.0, 300.0)


@pytest.mark.parametrize(("volts", "opens"), [(170.0, False), (180.0, True)])
def test_opens_above_its_pickup(volts, opens):
    e = coil_on(volts, pickup="175 V")
    e.resistor("load", node(e, "r.1"), node(e, "r.5"), 1e3)
    _, trace = run(e, 0.2)
    assert bool(times(trace, "opened", "r~contact")) is opens


def test_operate_time_delays_the_contact():
    # one cycle to feel 300 V and 20 ms for the armature
    _, trace = run(coil_on(300.0, pickup="175 V", operate="20 ms"), 0.2)
    assert 0.02 < times(trace, "picked_up", "r")[0] < 0.04


def test_welded_contact_stays():
    e = coil_on(300.0, contact_found="welded")
    e.resistor("load", node(e, "r.1"), node(e, "r.5"), 1e3)
    _, trace = run(e, 0.2)
    assert times(trace, "picked_up", "r") and not times(trace, "opened", "r~contact")


def test_stuck_open_contact_is_open_dead():
    e = bench({"r": PotentialRelay(contact_found="stuck_open")})
    assert math.isinf(ohms(Dead(e), node(e, "r.1"), node(e, "r.2")).value)


def test_open_coil_never_picks_up():
    e = coil_on(400.0, coil_found="open")
    assert math.isinf(ohms(Dead(bench({"r": PotentialRelay(coil_found="open")})), 1, 2).value)
    _, trace = run(e, 0.2)
    assert not times(trace, "picked_up", "r")


def test_closing_again_at_its_pickup_is_no_relay():
    with pytest.raises(ValueError, match="close again at or above"):
        PotentialRelay(pickup="100 V", dropout="120 V")


def current_on(amps: float):
    e = bench({"r": CurrentRelay(pickup="12 A", dropout="8 A")})
    line(e, "r.L", "r.M", 100.0, ohms=100.0 / amps - 0.03)
    return e


def test_current_relay_makes_on_inrush_only():
    _, strong = run(current_on(20.0), 0.1)
    _, weak = run(current_on(10.0), 0.1)
    assert times(strong, "closed", "r~contact")
    assert not times(weak, "closed", "r~contact")


def test_current_relay_dead():
    e = bench({"r": CurrentRelay(pickup="12 A", dropout="8 A")})
    assert ohms(Dead(e), node(e, "r.L"), node(e, "r.M")).value < 0.4
    assert math.isinf(ohms(Dead(e), node(e, "r.L"), node(e, "r.S")).value)
    upside = bench({"r": CurrentRelay(pickup="12 A", dropout="8 A", upside_down=True)})
    assert ohms(Dead(upside), node(upside, "r.L"), node(upside, "r.S")).value < 0.4


def test_current_relay_needs_its_hysteresis():
    with pytest.raises(ValueError, match="open at or above"):
        CurrentRelay(pickup="8 A", dropout="9 A")


def test_coil_amps_of_a_potential_relay():
    # class B: 5 kohm and as much reactance: 230 V over 7.07 kohm
    assert abs(solve(coil_on(230.0)).amps("r~coil")) == pytest.approx(230.0 / 7071.0, rel=1e-3)
