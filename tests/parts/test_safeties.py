"""Delay timer, pressure switch, transfer switch."""

import math

import pytest

from tests.parts.bench import bench, line, node, run, times
from trainer.circuit.dead import Dead, ohms
from trainer.parts.safeties import DelayTimer, PressureSwitch, TransferSwitch


def timer(**spec):
    e = bench({"t": DelayTimer(**spec)})
    line(e, "t.IN", "t.COM", 24.0)
    e.resistor("coil", node(e, "t.OUT"), node(e, "t.COM"), 72.0)
    return e


def test_timer_makes_after_its_delay():
    _, trace = run(timer(delay="0.5 s"), 1.0)
    assert times(trace, "closed", "t~contact")[0] == pytest.approx(0.5, abs=0.03)


def test_timer_waits_out_its_lockout():
    # dead for 1 s of the 2 s it asks: another second
    _, trace = run(timer(delay="0 s", lockout="2 s", dead_before="1 s"), 1.5)
    assert times(trace, "closed", "t~contact")[0] == pytest.approx(1.0, abs=0.05)


def test_timer_ignores_low_volts():
    e = bench({"t": DelayTimer(delay="0 s")})
    line(e, "t.IN", "t.COM", 12.0)
    assert not times(run(e, 0.3)[1], "closed", "t~contact")


def test_pressure_switch_limits_follow_its_kind():
    high, low = PressureSwitch(on="high"), PressureSwitch(on="low")
    assert high.limits[0] > high.limits[1]
    assert low.limits[0] < low.limits[1]
    assert PressureSwitch(on="high", opens_at="400 psi", closes_at="300 psi").limits[0] == (
        pytest.approx(2.758e6, rel=1e-3)
    )


@pytest.mark.parametrize(
    "spec",
    [
        {"on": "high", "opens_at": "200 psi", "closes_at": "300 psi"},
        {"on": "low", "opens_at": "90 psi", "closes_at": "40 psi"},
    ],
)
def test_pressure_switch_needs_a_gap(spec):
    with pytest.raises(ValueError, match=f"a {spec['on']}-pressure switch opens"):
        PressureSwitch(**spec)


def test_pressure_switch_found_open():
    e = bench({"p": PressureSwitch(closed=False)})
    assert math.isinf(ohms(Dead(e), node(e, "p.1"), node(e, "p.2")).value)
    assert PressureSwitch().slow == ("pressure",)


def through(part: TransferSwitch) -> set[str]:
    e = bench({"t": part})
    pairs = [f"{side}{pole}" for side in "UG" for pole in "12N"]
    return {p for p in pairs if ohms(Dead(e), node(e, f"t.{p}"), node(e, f"t.O{p[1]}")).value < 1}


def test_transfer_switch_never_joins_both():
    assert through(TransferSwitch()) == {"U1", "U2", "UN"}
    assert through(TransferSwitch(position="alternate")) == {"G1", "G2", "GN"}
    assert through(TransferSwitch(position="off")) == set()


def test_solid_neutral_stays():
    assert through(TransferSwitch(switched_neutral=False)) == {"U1", "U2", "UN", "GN"}


def test_transfer_breaks_before_it_makes():
    moves = TransferSwitch().hand("t")["alternate"]
    assert [made for _, made in moves] == [False] * 3 + [True] * 3
    assert {contact for contact, made in moves if made} == {"t~G1", "t~G2", "t~GN"}
