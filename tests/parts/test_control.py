"""Contactor, control transformer, reversing valve."""

import math

import pytest

from tests.parts.bench import bench, between, line, node, run, times
from trainer.circuit.dead import Dead, ohms
from trainer.circuit.elements import Resistor
from trainer.circuit.phasor import solve
from trainer.parts.control import Contactor, ControlTransformer, ReversingValve


def coil_on(volts: float, **spec):
    e = bench({"k": Contactor(**spec)})
    line(e, "k.A1", "k.A2", volts)
    return e


def test_sealed_coil_amps():
    # 8 VA at 24 V: a third of an ampere
    amps = abs(solve(coil_on(24.0), closed={"k~gap": False}).amps("k~coil"))
    assert amps == pytest.approx(8.0 / 24.0, rel=2e-3)


def test_inrush_amps_while_the_armature_is_out():
    # 50 VA at 24 V
    assert abs(solve(coil_on(24.0)).amps("k~coil")) == pytest.approx(50.0 / 24.0, rel=1e-2)


def test_coil_reads_its_copper_dead():
    e = bench({"k": Contactor(coil_resistance="11 ohm")})
    reading = ohms(Dead(e), node(e, "k.A1"), node(e, "k.A2"))
    assert reading.value == pytest.approx(11.0, abs=0.3)  # 0.2 ohm of leads


@pytest.mark.parametrize(("volts", "pulls_in"), [(20.4, True), (17.0, False)])
def test_pull_in_at_85_percent_of_24_volts(volts, pulls_in):
    # K80: 85 % of 24 V is 20.4 V, NEMA ICS 2 and IEC 60947-4-1, from memory
    _, trace = run(coil_on(volts), 0.2)
    assert bool(times(trace, "picked_up", "k")) is pulls_in
    assert bool(times(trace, "closed", "k~1")) is pulls_in


def test_pull_in_takes_a_cycle_and_the_armature():
    _, trace = run(coil_on(24.0), 0.2)
    assert 0.015 < times(trace, "closed", "k~1")[0] < 0.04


def test_one_pole_keeps_the_other_leg_through():
    e = bench({"k": Contactor(poles=1)})
    through = [ohms(Dead(e), node(e, f"k.L{n}"), node(e, f"k.T{n}")).value for n in (1, 2)]
    assert math.isinf(through[0])
    assert through[1] < 0.3


def test_welded_pole_is_through_without_a_coil():
    e = bench({"k": Contactor(welded="one")})
    through = [ohms(Dead(e), node(e, f"k.L{n}"), node(e, f"k.T{n}")).value for n in (1, 2)]
    assert through[0] < 0.3
    assert math.isinf(through[1])


def test_pitted_pole_has_its_own_ohms():
    e = bench({"k": Contactor(first_contact="0.5 ohm", welded="both")})
    assert ohms(Dead(e), node(e, "k.L1"), node(e, "k.T1")).value == pytest.approx(0.7, abs=0.15)


@pytest.mark.parametrize(
    ("spec", "why"),
    [
        ({"dropout": "19 V"}, "drops out above"),
        ({"sealed": "60 VA"}, "sealed VA exceed"),
        ({"coil_resistance": "20 ohm"}, "resistance alone"),
    ],
)
def test_impossible_coils(spec, why):
    with pytest.raises(ValueError, match=why):
        Contactor(**spec)


def test_nameplate_volts_at_full_load():
    # 40 VA at 24 V is 14.4 ohm
    e = bench({"t": ControlTransformer()})
    line(e, "t.H1", "t.H2", 240.0)
    ends = node(e, "t.X1"), node(e, "t.X2")
    loaded = solve(e, extra=[Resistor("load", *ends, 14.4)]).volts(*ends)
    assert abs(loaded) == pytest.approx(24.0, rel=1e-3)
    idle = abs(solve(e).volts(*ends))
    assert 1.05 < idle / abs(loaded) < 1.15


def test_transformer_windings_read_apart():
    # half of 10 % of 1440 ohm; the secondary shows 10 % of 14.4 ohm and 0.2 ohm of leads
    e = bench({"t": ControlTransformer()})
    dead = Dead(e)
    assert ohms(dead, node(e, "t.H1"), node(e, "t.H2")).value == pytest.approx(72.0, rel=0.02)
    assert ohms(dead, node(e, "t.X1"), node(e, "t.X2")).value == pytest.approx(1.64, abs=0.06)
    assert math.isinf(ohms(dead, node(e, "t.H1"), node(e, "t.X1")).value)


def test_valve_coil():
    e = bench({"v": ReversingValve()})
    line(e, "v.1", "v.2", 24.0)
    assert abs(solve(e).amps("v~coil")) == pytest.approx(9.0 / 24.0, rel=1e-3)


def test_impossible_valve_coil():
    with pytest.raises(ValueError, match="resistance alone"):
        ReversingValve(coil_resistance="70 ohm")


def test_coil_volts_can_be_sensed():
    _, trace = run(e := coil_on(24.0), 0.05, v=between(coil_on(24.0), "k.A1", "k.A2"))
    assert max(abs(trace["v"])) == pytest.approx(24.0 * math.sqrt(2.0), rel=1e-2)
    assert e.amps_of("k~coil")
