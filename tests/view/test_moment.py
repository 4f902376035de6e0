"""One instant of a start: phasors, lamp and shaft from made waves with known answers."""

import cmath
import math
from itertools import pairwise

import numpy as np
import pytest

from trainer.view.moment import CHANGES_S, LIGHT_POWER, Kept, moment, phasors

HZ = 60.0


def packed(values):
    values = np.asarray(values, dtype=float)
    scale = max(float(np.max(np.abs(values))), 1e-9) / 30000
    return {"scale": scale, "points": np.round(values / scale).astype(int).tolist()}


def made(volts=120.0, lags_deg=90.0, dips_at=0.3, dip=0.9):
    """Invented: a leg that dips, V(S-C) twice as large that lags, a shaft at 100 rad/s."""
    t = np.linspace(0.0, 0.6, 400)
    size = np.where(t < dips_at, 1.0, dip) * volts * math.sqrt(2.0)
    turn = 2.0 * math.pi * HZ * t
    return {
        "figures": {"disengage_s": 0.2},
        "near": {
            "t_s": packed(t), "leg_1": packed(size * np.cos(turn)),
            "v_sc": packed(2.0 * size * np.cos(turn - math.radians(lags_deg))),
            "start_capacitor_v": packed(np.zeros(t.size)),
            "speed_rad_s": packed(np.full(t.size, 100.0)),
        },
    }  # fmt: skip


@pytest.mark.parametrize("lags", [0.0, 40.0, 90.0, -135.0])
def test_phasors_are_rms_and_angle_from_leg_1(lags):
    rows = {name: p for name, _, p in phasors(made(lags_deg=lags), 0.25)}
    assert abs(rows["leg_1"]) == pytest.approx(120.0, rel=2e-3)
    assert cmath.phase(rows["leg_1"]) == pytest.approx(0.0, abs=1e-6)
    assert abs(rows["v_sc"]) == pytest.approx(240.0, rel=2e-3)
    assert math.degrees(cmath.phase(rows["v_sc"])) == pytest.approx(-lags, abs=0.2)


def test_the_lamp_follows_the_volts_of_the_leg():
    bright, dim = moment(made(), 0.2, 200.0), moment(made(), 0.5, 200.0)
    assert bright.light == pytest.approx(1.0, abs=0.01)
    assert dim.light == pytest.approx(0.9**LIGHT_POWER, abs=0.01)


def test_the_lamp_steps_no_oftener_than_may_be():
    slowed = 10.0
    seen = [moment(made(), t, slowed).light for t in np.arange(0.0, 0.6, 0.001)]
    steps = sum(a != b for a, b in pairwise(seen))
    assert steps <= 0.6 * slowed * CHANGES_S + 1


def test_shaft_and_relay():
    before, after = moment(made(), 0.1), moment(made(), 0.3)
    assert before.angle == pytest.approx(10.0, rel=1e-3)
    assert (before.relay_open, after.relay_open) == (False, True)
    assert after.turns_per_s == pytest.approx(100.0 / (2.0 * math.pi), rel=1e-3)


def test_a_start_without_lines_is_no_fault():
    assert phasors({}, 0.1) == []
    assert moment({}, 0.1).light == 0.0
    assert Kept({}).phasor("leg_1", 0.1) is None
