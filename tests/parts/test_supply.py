"""Supplies: open volts, impedance seen by a load, published sags, bolted faults."""

import cmath
import math

import pytest

from tests.parts.bench import bench, node
from trainer.circuit.elements import Elements, Resistor
from trainer.circuit.phasor import solve
from trainer.parts.capacitors import RunCapacitor
from trainer.parts.conductors import ohms_of
from trainer.parts.motors import Compressor
from trainer.parts.supply import LineNeutral230, SplitPhaseService, Wye208

BARE = {"utility": "0 %", "length": "0 ft"}


def source_ohms(e: Elements, a: str, b: str) -> complex:
    """Impedance behind two terminals: open volts less loaded volts, over the load's amps."""
    ends = node(e, a), node(e, b)
    load = Resistor("load", *ends, 10.0)
    idle = solve(e)
    loaded = solve(e, extra=[load])
    drop = idle.volts(*ends) - loaded.volts(*ends)
    return drop / (loaded.volts(*ends) / 10.0)


def test_transformer_at_240_volts():
    # K50: IEEE 8500-node data, 25 kVA, reduced to series ohms at 240 V
    e = bench({"s": SplitPhaseService(**BARE)})
    z = source_ohms(e, "s.L1", "s.L2")
    assert z.real == pytest.approx(0.02765, rel=5e-3)
    assert z.imag == pytest.approx(0.03917, rel=5e-3)


def test_one_half_of_the_transformer():
    # the same data: R 1.8 %, X 2.04 % on 120 V; 120^2/25e3 = 0.576 ohm
    e = bench({"s": SplitPhaseService(**BARE)})
    for leg in ("s.L1", "s.L2"):
        z = source_ohms(e, leg, "s.N")
        assert z.real == pytest.approx(0.018 * 0.576, rel=2e-2)  # 0.2 mohm of neutral beside it
        assert z.imag == pytest.approx(0.0204 * 0.576, rel=5e-3)


def test_service_volts_and_polarity():
    solution = solve(e := bench({"s": SplitPhaseService(closing_angle="30 deg")}))
    legs = solution.volts(node(e, "s.L1"), node(e, "s.L2"))
    assert abs(legs) == pytest.approx(240.0, rel=1e-4)
    assert math.degrees(cmath.phase(legs)) == pytest.approx(30.0, abs=0.01)
    assert abs(solution.volts(node(e, "s.L1"), node(e, "s.N"))) == pytest.approx(120.0, rel=1e-4)
    assert abs(solution.volts(node(e, "s.N"))) < 0.01  # bonded
    assert abs(solution.volts(node(e, "s.L2"))) == pytest.approx(120.0, rel=1e-3)


def locked_volts(kva: str, **more) -> tuple[float, float]:
    """Line volts and amps with the textbook motor standing still on the transformer."""
    service = SplitPhaseService(transformer=kva, **{**BARE, **more})
    motor = Compressor(machine="textbook-3500w", overload=None)
    can = RunCapacitor(capacitance="35 uF", dissipation="0.001 %")
    joins = [("s.L1", "m.C"), ("m.R", "c.1"), ("c.2", "m.S")]
    e = bench({"s": service, "m": motor, "c": can}, *joins)
    branch = 2.0 * ohms_of("10 AWG", 15.24) if more else 1e-6
    e.resistors.append(Resistor("branch", node(e, "m.R"), node(e, "s.L2"), branch))
    solution = solve(e)
    volts = solution.volts(node(e, "m.C"), node(e, "m.R"))
    return abs(volts), abs(solution.amps("s~leg1"))


@pytest.mark.parametrize(
    ("kva", "more", "volts", "sag"),
    [
        # K51 to K53: Fitzgerald/Kingsley/Umans Example 9.5 standing still at 240 V behind the
        # IEEE 8500-node transformer, the last with 100 ft of 1/0 Al and 50 ft of 10 AWG Cu (NEC)
        ("25 kVA", {}, 236.3, 1.54),
        ("10 kVA", {}, None, 3.76),
        ("25 kVA", {"length": "100 ft", "conductor_reactance": False}, 230.8, 3.82),
    ],
)
def test_published_sags(kva, more, volts, sag):
    found, _ = locked_volts(kva, **more)
    assert (1.0 - found / 240.0) * 100.0 == pytest.approx(sag, rel=0.02)
    if volts:
        assert found == pytest.approx(volts, abs=0.1)


def test_locked_amps_behind_25_kva():
    assert locked_volts("25 kVA")[1] == pytest.approx(78.2, rel=2e-3)  # K51


def test_bolted_short_between_legs():
    # 240 V over 0.048 ohm (K50) and 0.2 mohm: about 5 kA
    e = bench({"s": SplitPhaseService(**BARE)}, ("s.L1", "s.L2"))
    assert abs(solve(e).amps("s~leg1")) == pytest.approx(240.0 / 0.04795, rel=1e-2)


def test_leg_to_chassis_returns_through_the_bond():
    # 120 V: half winding .01037+j.01175, neutral .2 m, bond 1 m, ground path 100 m
    e = bench({"s": SplitPhaseService(**BARE)}, ("s.L1", "chassis"))
    z = abs(complex(0.01037 + 0.0002 + 0.001 + 0.1, 0.01175))
    assert abs(solve(e).amps("s~leg1")) == pytest.approx(120.0 / z, rel=1e-2)


def test_without_a_ground_path_a_faulted_chassis_stays_live():
    e = bench({"s": SplitPhaseService(equipment_ground=None)}, ("s.L1", "chassis"))
    solution = solve(e)
    assert abs(solution.amps("s~leg1")) < 1e-3
    assert abs(solution.volts(node(e, "s.N"))) == pytest.approx(120.0, rel=1e-3)


def test_open_neutral_bond_floats():
    e = bench({"s": SplitPhaseService(bonded=False)}, ("s.L1", "chassis"))
    assert abs(solve(e).amps("s~leg1")) < 1e-3


def test_halves_must_fit_the_whole():
    with pytest.raises(ValueError, match="no transformer has these"):
        SplitPhaseService(half_resistance="0.9 %")


def test_two_legs_of_a_wye():
    solution = solve(e := bench({"s": Wye208(closing_angle="0 deg")}))
    legs = solution.volts(node(e, "s.L1"), node(e, "s.L2"))
    assert abs(legs) == pytest.approx(208.0, rel=1e-4)
    assert cmath.phase(legs) == pytest.approx(0.0, abs=1e-4)
    for leg in ("s.L1", "s.L2"):  # 208/sqrt(3)
        assert abs(solution.volts(node(e, leg), node(e, "s.N"))) == pytest.approx(120.1, abs=0.1)


def test_line_to_neutral_at_50_hertz():
    # loop .40 + j.25 ohm at 50 Hz: IEC TR 60725 reference impedance, from memory; |Z| .4717
    e = bench({"s": LineNeutral230()})
    solution = solve(e)
    assert solution.hz == 50.0
    assert abs(solution.volts(node(e, "s.L"), node(e, "s.N"))) == pytest.approx(230.0, rel=1e-4)
    z = source_ohms(e, "s.L", "s.N")
    assert z.real == pytest.approx(0.40, rel=1e-3)
    assert z.imag == pytest.approx(0.25, rel=1e-3)
    assert abs(z) == pytest.approx(0.4717, rel=1e-3)
