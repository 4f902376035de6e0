"""Parameters from a nameplate: plates made from known motors must give those motors back.

The two published motors must come back within fixed bounds. Motors drawn at random (seeded),
wider than the priors, show how often that holds in general and that the ranges are honest.
"""

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from tests.motor.build import line_of, machine
from tests.outside import examples
from trainer.base.errors import Faults
from trainer.motor import psc
from trainer.motor.fit import behaviour, fit
from trainer.motor.machines import entry
from trainer.motor.machines import machine as named
from trainer.motor.nameplate import Nameplate

#: Bounds on what must be recovered: shares, and for slip the plain difference.
BOUNDS = {"lra_a": 0.02, "rated_aux_v": 0.10, "locked_nm": 0.30, "breakdown_nm": 0.20}
SLIP_WITHIN = 0.01
PUBLISHED = ["textbook-3500w", "feeder-compressor"]
COMPRESSORS = [*PUBLISHED, "anchor", "compressor-50hz"]


def plate_of(params, line, poles, load_nm, with_ohms):
    """The plate a maker would print: RLA drawn at ``load_nm``, LRA with the run capacitor in."""
    slip = psc.running_slip(params, line, load_nm)
    rla = float(abs(psc.at_slip(params, line, slip).i_line))
    lra = float(abs(psc.locked(params, line).i_line))
    plate = Nameplate(line.volts, line.hz, poles, rla, lra, line.run_f)
    if not with_ohms:
        return plate
    return replace(plate, common_run_ohms=params.r_main, common_start_ohms=params.r_aux)


@cache
def plate_of_named(name, with_ohms):
    found = entry(name)
    return plate_of(named(name), line_of(name), found.poles, found.load.run, with_ohms)


@cache
def truth_of(name):
    """What a known motor does on the line of its plate; ohms on the plate change nothing of it."""
    return behaviour(named(name), plate_of_named(name, False))


@cache
def fitted_named(name, with_ohms):
    """What the plate of a known motor gives, for all tests that ask for it."""
    return fit(plate_of_named(name, with_ohms))


@pytest.mark.parametrize("with_ohms", [True, False], ids=["ohms", "plate only"])
@pytest.mark.parametrize("name", PUBLISHED)
def test_published_motors_come_back(name, with_ohms):
    truth, found = truth_of(name), fitted_named(name, with_ohms).values
    for key, share in BOUNDS.items():
        assert found[key] == approx(truth[key], rel=share), key
    assert found["rated_slip"] == approx(truth["rated_slip"], abs=SLIP_WITHIN)


@pytest.mark.parametrize("with_ohms", [True, False], ids=["ohms", "plate only"])
@pytest.mark.parametrize("name", COMPRESSORS)
def test_ranges_hold_the_true_motor(name, with_ohms):
    truth, ranges = truth_of(name), fitted_named(name, with_ohms).ranges
    outside = {k: (truth[k], r) for k, r in ranges.items() if not r[0] <= truth[k] <= r[1]}
    assert outside == {}


@pytest.mark.parametrize("name", ["anchor", "compressor-50hz"])
def test_invented_motors_come_back_but_for_locked_torque_without_ohms(name):
    # Their resistances are lower than the published motors'; the plate alone cannot know.
    for with_ohms in (True, False):
        truth, found = truth_of(name), fitted_named(name, with_ohms).values
        for key in ("lra_a", "rated_aux_v", "breakdown_nm"):
            assert found[key] == approx(truth[key], rel=BOUNDS[key]), key
        assert found["rated_slip"] == approx(truth["rated_slip"], abs=SLIP_WITHIN)
        assert found["locked_nm"] == approx(truth["locked_nm"], rel=0.3 if with_ohms else 0.65)


def drawn(rng):
    """A compressor-like motor and its line, wider than the priors; load from its own RLA."""
    rla, volts, w = rng.uniform(8, 25), 230.0, 2.0 * math.pi * 60.0
    base, a = volts / rla, rng.uniform(1.15, 1.6)
    balanced = a / rng.uniform(0.65, 0.87)
    r1, r2 = rng.uniform(0.03, 0.055) * base, rng.uniform(0.036, 0.065) * base
    leak, share = rng.uniform(0.11, 0.22) * base, rng.uniform(0.3, 0.6)
    ra = rng.uniform(1.3, 2.6) * a * a * r1
    xa = rng.uniform(0.85, 1.2) * a * a * leak * share
    params = machine(
        r1, leak * share, r2, leak * (1 - share), rng.uniform(1.6, 2.8) * base,
        ra=ra, xa=xa, ratio=a, poles=2,
    )  # fmt: skip
    return params, psc.Line(volts, 60.0, rla / (w * volts * (balanced**2 + 1.0))), rla


@cache
def drawn_motors(count, with_ohms):
    """(params, plate, what was fitted) of drawn motors, for all tests that ask for them."""
    return [(params, plate, fit(plate)) for params, plate in random_plates(count, with_ohms)]


def random_plates(count, with_ohms):
    """(params, plate) of drawn motors with breakdown at least 1.5 times rated torque."""
    rng, found = np.random.default_rng(20), []
    while len(found) < count:
        params, line, rla = drawn(rng)
        slip = psc.slip_at_amps(params, line, rla)
        if slip is None:
            continue
        rated = float(psc.at_slip(params, line, slip).torque_nm)
        if psc.breakdown(params, line).torque_nm > 1.5 * rated:
            found.append((params, plate_of(params, line, 2, rated, with_ohms)))
    return found


@pytest.mark.parametrize(
    ("with_ohms", "least"),
    [
        (True, {"rated_aux_v": 0.75, "locked_nm": 0.6, "breakdown_nm": 0.98, "slip": 0.9}),
        (False, {"rated_aux_v": 0.6, "locked_nm": 0.5, "breakdown_nm": 0.98, "slip": 0.9}),
    ],
    ids=["ohms", "plate only"],
)
def test_drawn_motors_come_back_this_often(with_ohms, least):
    hits = dict.fromkeys(least, 0)
    cases = drawn_motors(40, with_ohms)
    for params, plate, fitted in cases:
        truth, found = behaviour(params, plate), fitted.values
        assert found["lra_a"] == approx(truth["lra_a"], rel=BOUNDS["lra_a"])
        hits["slip"] += abs(found["rated_slip"] - truth["rated_slip"]) < SLIP_WITHIN
        for key in ("rated_aux_v", "locked_nm", "breakdown_nm"):
            hits[key] += abs(found[key] / truth[key] - 1.0) < BOUNDS[key]
    assert {key: hits[key] / len(cases) >= share for key, share in least.items()} == dict.fromkeys(
        least, True
    ), hits


def test_ranges_hold_most_drawn_motors():
    names = ("ratio", "locked_nm", "breakdown_nm", "rated_slip", "rated_aux_v", "rated_nm")
    inside = []
    for params, plate, fitted in drawn_motors(40, False):
        truth, ranges = behaviour(params, plate), fitted.ranges
        inside += [ranges[k][0] <= truth[k] <= ranges[k][1] for k in names]
    assert sum(inside) / len(inside) > 0.85


def test_rated_load_is_the_torque_at_which_line_amps_equal_rla():
    plate = plate_of_named("anchor", False)
    result = fitted_named("anchor", False)
    line = psc.Line(plate.volts, plate.hz, plate.run_f)
    slip = psc.running_slip(result.params, line, result.rated_nm)
    amps = float(abs(psc.at_slip(result.params, line, slip).i_line))
    assert amps == approx(plate.rla_a, rel=1e-6)


def test_measured_ohms_are_kept_with_their_temperature():
    plate = replace(plate_of_named("anchor", True), ohms_at_c=40.0)
    params = fit(plate).params
    assert (params.r_main, params.r_aux) == approx((0.55, 2.2), rel=1e-2)
    assert params.ohms_at_c == 40.0


def test_ohms_narrow_the_ranges():
    def width(with_ohms, key):
        low, high = fitted_named("textbook-3500w", with_ohms).ranges[key]
        return high / low

    for key in ("r_main_ohm", "r_aux_ohm", "locked_nm", "rated_slip"):
        assert width(True, key) < width(False, key)


def test_notes_say_what_rests_on_guesses():
    assert any("Without C-R" in note for note in fitted_named("anchor", False).notes)
    assert any("RLA is a rating" in note for note in fitted_named("anchor", True).notes)


def test_rated_amps_no_such_motor_runs_at_are_refused():
    with pytest.raises(Faults, match="never runs steadily at RLA"):
        fit(Nameplate(230.0, 60.0, 2, rla_a=18.0, lra_a=23.0, run_f=35e-6))


@settings(max_examples=examples(40), deadline=None)
@given(
    rla=st.floats(1.0, 40.0),
    lra_ratio=st.floats(1.05, 11.9),
    share=st.floats(0.051, 0.66),
    volts=st.sampled_from([115.0, 208.0, 230.0, 240.0]),
    hz=st.sampled_from([50.0, 60.0]),
    poles=st.sampled_from([2, 4, 6, 8]),
)
def test_any_plate_is_fitted_or_refused_with_a_reason(rla, lra_ratio, share, volts, hz, poles):
    run_f = share * rla / (2.0 * math.pi * hz * volts)
    plate = Nameplate(volts, hz, poles, rla, lra_ratio * rla, run_f)
    try:
        result = fit(plate)
    except Faults as refused:
        assert refused.faults[0].what
        return
    assert result.values["lra_a"] == approx(plate.lra_a, rel=0.02)
    assert all(math.isfinite(x) for pair in result.ranges.values() for x in pair)
