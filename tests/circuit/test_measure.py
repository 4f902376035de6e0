"""The front door for instruments: live and dead readings by point names."""

from __future__ import annotations

import math

import pytest

from tests.circuit.build import Bench
from trainer.base.errors import TrainerError
from trainer.circuit.dead import DISCHARGE, LIVE
from trainer.circuit.elements import LEAKAGE_S
from trainer.circuit.measure import Left, read


def unit() -> Bench:
    """240 V unit: contactor, compressor with run capacitor."""
    bench = Bench().line("leg1", "L1", "chassis", 120.0).line("leg2", "chassis", "L2", 120.0)
    bench.s("k1", "L1", "T1").s("k2", "L2", "T2")
    return bench.machine("m", "T2", "S", "T1").c("rc", "T1", "S", 35e-6)


def test_volts_from_leg_to_leg_and_to_chassis() -> None:
    elements = unit().elements
    idle = Left({"k1": False, "k2": False})
    assert read(elements, "volts", "L1", "L2", left=idle).value == pytest.approx(240.0, rel=1e-4)
    assert read(elements, "volts", "L1", left=idle).value == pytest.approx(120.0, rel=1e-4)


def test_volts_of_a_floating_point_sag_under_the_meter() -> None:
    """A stub seen from a live leg through 10 Mohm: leakage of two nodes against the meter."""
    bench = unit().r("stub", "x", "y", 1.0)
    expected = 120.0 * 2 * LEAKAGE_S / (2 * LEAKAGE_S + 1e-7)
    found = read(bench.elements, "volts", "L1", "x", left=Left({"k1": False, "k2": False}))
    assert found.value == pytest.approx(expected, rel=1e-3)


def test_an_open_contact_of_a_stopped_motor_shows_line_volts() -> None:
    found = read(unit().elements, "volts", "L1", "T1", left=Left({"k1": False}))
    assert found.value == pytest.approx(240.0, rel=1e-3)


def test_amps_by_clamp_at_speed_and_standing() -> None:
    elements = unit().elements
    standing = read(elements, "amps", of="k1").value or 0.0
    running = read(elements, "amps", of="k1", left=Left(speeds={"m": 370.0})).value or 0.0
    assert standing > 60.0
    assert running < 20.0
    assert (read(elements, "amps", of="m.aux").unit, standing > running) == ("A", True)


def test_ohms_on_a_live_circuit_show_nothing() -> None:
    found = read(unit().elements, "ohms", "T1", "T2")
    assert (found.value, found.shown_note) == (None, LIVE)


def test_ohms_of_the_dead_side_while_the_line_side_is_live() -> None:
    found = read(unit().elements, "ohms", "T1", "T2", left=Left({"k1": False, "k2": False}))
    assert found.value == pytest.approx(0.58 + 0.2, rel=1e-3)


def test_charge_left_shows_as_direct_volts_and_stops_other_readings() -> None:
    bench = Bench().c("rc", "a", "b", 40e-6)
    left = Left(charge_v={"rc": 311.0})
    assert read(bench.elements, "volts_dc", "a", "b", left=left).value == pytest.approx(311.0)
    assert read(bench.elements, "volts", "a", "b", left=left).shown_note == "and 311 V dc"
    assert read(bench.elements, "farads", "a", "b", left=left).shown_note == DISCHARGE
    assert read(bench.elements, "farads", "a", "b").value == pytest.approx(40e-6, rel=1e-3)


def test_two_frequencies_add_as_squares() -> None:
    bench = Bench().line("mains", "a", "chassis", 120.0, hz=60.0)
    bench.line("set", "b", "chassis", 100.0, hz=50.0)
    found = read(bench.elements, "volts", "a", "b")
    assert found.value == pytest.approx(math.hypot(120.0, 100.0), rel=1e-5)


def test_insulation_and_continuity_by_name() -> None:
    bench = Bench().machine("m", "C", "S", "R").r("wet", "S", "chassis", 10e6)
    assert read(bench.elements, "insulation", "C", "chassis").value == pytest.approx(10.0, rel=0.02)
    assert read(bench.elements, "continuity", "C", "S").shown_note == "tone"


def test_a_sagged_source_is_read_as_it_is() -> None:
    elements = unit().elements
    left = Left({"k1": False, "k2": False}, emf={"leg1": 100.0})
    assert read(elements, "volts", "L1", "L2", left=left).value == pytest.approx(220.0, rel=1e-4)


def test_unknown_names_are_refused_with_near_ones() -> None:
    elements = unit().elements
    with pytest.raises(TrainerError, match="did you mean T2 or T1"):
        read(elements, "ohms", "T", "T2")
    with pytest.raises(TrainerError, match="to clamp"):
        read(elements, "amps", of="k9000")
    with pytest.raises(TrainerError, match="no function"):
        read(elements, "henries", "T1", "T2")
    with pytest.raises(TrainerError, match="no node number 99"):
        read(elements, "ohms", 99, 0)
