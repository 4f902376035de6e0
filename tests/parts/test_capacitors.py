"""Capacitors on a line, on a meter, and charged."""

import math

import pytest

from tests.parts.bench import bench, line, node, run
from trainer.circuit.dead import Dead, farads, ohms
from trainer.circuit.phasor import solve
from trainer.parts.capacitors import DualCapacitor, RunCapacitor, StartCapacitor

W60 = 120.0 * math.pi


def test_run_capacitor_amps():
    # K72: C in uF = 2652.6 I/V at 60 Hz
    e = bench({"c": RunCapacitor(capacitance="35 uF")})
    line(e, "c.1", "c.2", 370.0)
    assert abs(solve(e).amps("c")) == pytest.approx(35.0 * 370.0 / 2652.6, rel=1e-3)


def test_series_resistance_is_the_dissipation_factor():
    # power factor at most 10 % at 108 uF is at most 2.5 ohm: EIA-463, from memory
    e = bench({"c": StartCapacitor(capacitance="108 uF", dissipation="10 %")})
    assert e.capacitives[0].esr_ohms == pytest.approx(0.10 / (W60 * 108e-6))
    assert e.capacitives[0].esr_ohms == pytest.approx(2.46, abs=0.01)


def test_dual_can_is_two_capacitors_on_one_plate():
    e = bench({"c": DualCapacitor(herm="35 uF", fan="5 uF")})
    read = {
        pair: farads(Dead(e), node(e, f"c.{pair[0]}"), node(e, f"c.{pair[1]}")).value
        for pair in ("CH", "CF", "HF")
    }
    assert read["CH"] == pytest.approx(35e-6, rel=0.02)
    assert read["CF"] == pytest.approx(5e-6, rel=0.02)
    assert read["HF"] == pytest.approx(4.375e-6, rel=0.02)  # in series


def test_bleed_falls_to_50_volts():
    # K65: 15 kohm, 108 uF, 466.7 V to 50 V in 3.62 s
    e = bench({"c": StartCapacitor(capacitance="108 uF", charge="466.7 V")})
    transient, _ = run(e, 3.62)
    assert transient.snapshot().capacitor_v["c"] == pytest.approx(50.0, rel=0.01)


def test_without_a_bleed_it_keeps_its_charge():
    e = bench({"c": StartCapacitor(capacitance="108 uF", charge="400 V", bleed=None)})
    transient, _ = run(e, 2.0)
    assert transient.snapshot().capacitor_v["c"] == pytest.approx(400.0, rel=0.01)


def test_shorted_and_open_cans():
    short = bench({"c": RunCapacitor(capacitance="35 uF", condition="shorted")})
    assert ohms(Dead(short), node(short, "c.1"), node(short, "c.2")).value < 0.4
    dead = bench({"c": RunCapacitor(capacitance="35 uF", condition="open")})
    line(dead, "c.1", "c.2", 240.0)
    assert abs(solve(dead).amps("c")) < 1e-4


def test_only_the_herm_side_may_be_open():
    e = bench({"c": DualCapacitor(herm="35 uF", fan="5 uF", herm_condition="open")})
    reading = farads(Dead(e), node(e, "c.C"), node(e, "c.F")).value
    assert reading == pytest.approx(5e-6, rel=0.02)
