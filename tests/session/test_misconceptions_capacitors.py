"""What run and start capacitors do in a unit, against what is commonly believed.

Misbeliefs are common practice, no source, unless a source stands beside one.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.session.readings import CALL, called, clamp, idle, meter, speed
from trainer.circuit.channels import Channel
from trainer.circuit.elements import Sense
from trainer.unit.changes import alter, land
from trainer.unit.state import Unit
from trainer.unit.world import advance, remembering

K1, K3 = "larkspur-row", "old-quarry"


def warm() -> Unit:
    return called(K1, 60_000)


def bigger() -> Unit:
    """45 uF where 35 belong, a minute after its start."""
    unit = remembering(alter(idle(K1), "can", herm="45 uF"))
    return advance(unit, 60_000, CALL).unit


def test_c_of_the_can_on_the_leg_of_compressor_c_gives_no_drive() -> None:
    """Believed: C goes to C. On that leg the start loop is closed on itself."""
    wrong = advance(remembering(land(idle(K1), "6", "a", "contactor.T1")), 200, CALL).unit
    assert clamp(wrong, "7") < 0.1
    assert meter(wrong, "can.C", "can.H") < 2.0
    assert speed(wrong) == 0.0
    # locked rotor: 80 A printed at 230 V, near 230 V here
    assert clamp(wrong, "4") == pytest.approx(80.0, rel=0.05)


def test_a_run_capacitor_is_in_series_with_the_start_winding() -> None:
    """Believed: it sits on the run winding. (Trade articles on start capacitors.)"""
    in_can, in_start = clamp(warm(), "6", "-10"), clamp(warm(), "7")
    assert in_can == pytest.approx(in_start, rel=0.01)
    # I = w C V of 35 uF
    volts = meter(warm(), "can.C", "can.H")
    assert in_start == pytest.approx(2.0 * np.pi * 60.0 * 35e-6 * volts, rel=0.02)


def test_the_motor_not_the_capacitor_raises_the_volts() -> None:
    """Believed: the capacitor steps the volts up. (Trade articles: back-EMF, at speed only.)

    A trade table computed on a motor like this has 19 V from S to C at rest, 296 at speed.
    """
    locked = called(K1, 300, "F42")
    assert 15.0 < meter(locked, "comp.S", "comp.C") < 25.0
    assert meter(warm(), "comp.S", "comp.C") > 290.0


def test_the_figure_on_the_can_is_a_rating() -> None:
    """Believed: 440 on the can is what should be there. (Trade measurements: 300 to 390 V.)"""
    across, line = meter(warm(), "can.C", "can.H"), meter(warm(), "contactor.T1", "contactor.T2")
    assert line == pytest.approx(237.0, abs=4.0)
    assert 300.0 < across < 390.0


def test_more_microfarads_heat_the_start_winding() -> None:
    """Believed: bigger starts better, so fit bigger. Heat goes with the square of amps.

    Computed on a motor like this: 4.8 A with 35 uF, 6.4 with 45, heat times 1.8.
    """
    more, right = clamp(bigger(), "7"), clamp(warm(), "7")
    assert (more / right) ** 2 == pytest.approx(1.8, abs=0.1)
    later = [advance(unit, 1_200_000).unit.electrics.machines["comp"].aux_c
             for unit in (bigger(), warm())]  # fmt: skip
    assert later[0] > later[1] + 4.0


def test_fewer_line_amps_do_not_prove_a_repair() -> None:
    """Believed: lower amps, better motor. The oversize can draws less from the line.

    Computed on a motor like this: 13.0 A with 45 uF against 13.9 with 35.
    """
    assert clamp(bigger(), "4") == pytest.approx(clamp(warm(), "4") - 0.9, abs=0.15)


def line_of(unit: Unit) -> tuple[float, dict[float, float]]:
    """Peak line amps of a start, and the rms of some tenths of a second by their beginning."""
    seen = [Channel("line", Sense(amps=(("wire:1", 1.0),)))]
    traces = advance(unit, 600, CALL, channels=seen, stride=1).traces
    t = np.concatenate([trace.t_s for trace in traces])
    amps = np.concatenate([trace.values["line"] for trace in traces])
    parts = {at: amps[(t >= at) & (t < at + 0.1)] for at in (0.03, 0.25, 0.5)}
    return float(np.abs(amps).max()), {at: float(np.sqrt(np.mean(i * i)))
                                       for at, i in parts.items()}  # fmt: skip


def test_a_start_capacitor_shortens_the_inrush_and_hardly_lowers_it() -> None:
    """Believed: it cuts the inrush. (A trade forum agrees on the shortening.)

    Computed on a motor like this: 79 A falls to 70 with 98 uF and is 86 with 324.
    """
    peak, aided = line_of(idle(K3))
    bare_peak, bare = line_of(idle(K3, "F25"))
    assert 0.88 < peak / bare_peak < 1.0
    assert aided[0.03] > 70.0
    assert aided[0.25] < 15.0
    assert bare[0.5] > 75.0  # against standing pressure it never turns
    large, _ = line_of(remembering(alter(idle(K3), "sc", "start-270-324")))
    assert large > bare_peak
