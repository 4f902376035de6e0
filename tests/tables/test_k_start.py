"""Check values of starting: transients of published motors and their starting capacitors.

Each transient is asserted twice: solved by the independent equations of
``tests/motor/reference_dq.py`` and by the program's own circuit.
"Computed" values were worked out from the named book's data rather than printed there.
"""

import cmath
import math
from dataclasses import replace

import pytest
from pytest import approx

from tests.circuit import starts
from tests.motor.reference_dq import Branch, Motor, Run, simulate
from trainer.motor import fields
from trainer.motor.machines import machine as named
from trainer.motor.params import LoadParams

W60 = 2.0 * math.pi * 60.0


# --- K11-K12: Fitzgerald, Kingsley, Umans Example 9.5, computed --------------------------------
#: For long runs; tests/motor holds this method against Radau.
FAST = {"method": "DOP853", "rtol": 1e-9}
#: Example 9.5 for the independent transient; inertia from the feeder simulator.
BOOK_DQ = Motor(
    0.58, 2.6530549432, 3.37, 7.6135361639, 0.5885004255, 0.0, 27.7324292023, 1.5459183674, 1,
    0.00197,
)  # fmt: skip


#: The same for the circuit, against a constant 5 N m.
BOOK_START = starts.Start(named("textbook-3500w"), 230.0, starts.constant(5.0), 35e-6)


def book_start(**more):
    return simulate(BOOK_DQ, Run(230.0, run=Branch(35e-6), opens_at=0.8, **more))


def test_k11_start_capacitor_decides_whether_it_starts():
    # constant 5 N m: run capacitor alone stays locked, with 135 uF more t90 = 0.148 s
    alone = book_start(load_nm=5.0, until_s=0.25, **FAST)
    helped = book_start(start=Branch(135e-6), load_nm=5.0, until_s=0.2, **FAST)
    assert alone.time_to(0.5 * W60) is None
    assert alone.speed[-1] == 0.0
    assert helped.time_to(0.9 * W60) == approx(0.148, rel=0.1)


def test_k11_in_the_circuit():
    alone, _ = starts.run(BOOK_START, 0.25)
    helped, _ = starts.run(replace(BOOK_START, start_f=135e-6), 0.2)
    assert max(alone["speed"]) < 0.01 * W60
    assert starts.first_time(helped, "speed", 0.9 * W60) == approx(0.148, rel=0.1)


@pytest.mark.parametrize(("phase", "peak"), [(0.0, 144.5), (math.pi / 2.0, 118.0)])
def test_k12_peak_main_current_by_closing_angle(phase, peak):
    trace = book_start(phase_rad=phase, locked=True, until_s=0.05)
    assert max(abs(trace.i_main)) == approx(peak, rel=1e-2)
    held = replace(BOOK_START, load=LoadParams(locked=True), phase_rad=phase)
    circuit, _ = starts.run(held, 0.05)
    assert max(abs(circuit["main_a"])) == approx(peak, rel=1e-2)


# --- K28: 1/4 hp motor of Krause, Wasynczuk, Sudhoff, computed; auxiliary winding from memory ----
@pytest.mark.parametrize(("phase", "seconds"), [(math.pi / 2.0, 0.460), (0.0, 0.464)])
def test_k28_quarter_horsepower_time_to_the_switch(phase, seconds):
    farads, ohms = 1.0 / (W60 * 14.5), 3.0
    motor = Motor(2.02, 2.79, 7.14, 3.22, 4.12, 2.12, 66.8, 1.18, 2, 0.0146)
    start = Branch(farads, ohms)
    trace = simulate(motor, Run(110.0, start=start, phase_rad=phase, until_s=0.48, **FAST))
    assert trace.time_to(0.75 * W60 / 2.0) == approx(seconds, rel=2e-2)
    wired = starts.Start(
        named("capacitor-start-quarter-hp"), 110.0, starts.constant(0.0), None,
        start_f=farads, start_ohms=ohms, opens_at=0.75, phase_rad=phase,
    )  # fmt: skip
    circuit, _ = starts.run(wired, 0.48)
    assert starts.first_time(circuit, "speed", 0.75 * W60 / 2.0) == approx(seconds, rel=2e-2)


# --- K32-K34: starting of split-phase and capacitor motors -------------------------------------
def test_k32_hubert_capacitor_and_torque_gain():
    # Hubert, Electric Machines, Examples 6.1 and 6.2; one print's 1281 uF is a slip
    z_main, z_aux = 2 + 3.5j, 9.15 + 8.40j
    farads = fields.ninety_degree_capacitor(z_main, z_aux, 60.0)
    i_main = 120.0 / z_main
    with_it = 120.0 / (z_aux - 1j / (W60 * farads))
    before = fields.split_phase_torque_factor(i_main, 120.0 / z_aux)
    after = fields.split_phase_torque_factor(i_main, with_it)
    assert farads == approx(194.6e-6, rel=1e-2)
    assert (after, before, after / before) == approx((339.0, 87.4, 3.88), rel=1e-2)


@pytest.mark.parametrize(
    ("i_start", "line", "angle"), [(cmath.rect(4, math.radians(-15)), 9.77, -30.0),
                                   (cmath.rect(4, math.radians(42)), 7.66, -8.9)]
)  # fmt: skip
def test_k33_kosow_line_current(i_start, line, angle):
    # Kosow Examples 10-1 and 10-3: run winding 6 A at -40 degrees
    total = i_start + cmath.rect(6.0, math.radians(-40.0))
    assert abs(total) == approx(line, rel=5e-3)
    assert math.degrees(cmath.phase(total)) == approx(angle, abs=0.1)


def test_k34_kulshreshtha_capacitor():
    # Kulshreshtha Example 17.3, 50 Hz
    found = fields.ninety_degree_capacitor(2 + 20j, 25 + 5j, 50.0)
    assert found == approx(424.4e-6, rel=5e-3)
