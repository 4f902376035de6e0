"""Sag, voltage change and flicker of made supplies, in closed form."""

import math

import numpy as np
from pytest import approx

from trainer.circuit.channels import Trace
from trainer.circuit.elements import Elements
from trainer.circuit.state import CircuitState
from trainer.starts.recording import Recording
from trainer.starts.supplying import disturbances
from trainer.study.build import Roles

STEP_S = 1.0 / 18000.0  # 300 samples a cycle


def supply(dip, settled=1.0, seconds=2.0, begins_s=0.1, ends_s=0.3):
    """240 V leg to leg, that dips while it lasts and then stays at ``settled``."""
    t = np.arange(1, round(seconds / STEP_S) + 1) * STEP_S
    size = np.where(t < begins_s, 1.0, np.where(t < ends_s, dip, settled))
    wave = math.sqrt(2.0) * size * np.sin(2 * math.pi * 60 * t)
    values = {"leg_to_leg": 240.0 * wave, "leg_1": 120.0 * wave, "leg_2": -120.0 * wave}
    roles = Roles({}, {}, {}, 60.0, 240.0, (1, 2), 3)
    return Recording(Elements(), roles, Trace(t, values, []), {}, STEP_S, CircuitState())


def test_a_dip_of_five_per_cent():
    found = disturbances(supply(0.95), 0.1, 2.0, 8.0)
    for pair, volts in (("leg_1", 120.0), ("leg_2", 120.0), ("leg_to_leg", 240.0)):
        d = found[pair]
        assert (d.before_v, d.least_v) == (approx(volts, rel=1e-3), approx(0.95 * volts, rel=1e-3))
        assert (d.sag_pct, d.dmax_pct) == (approx(5.0, abs=0.05), approx(5.0, abs=0.05))
        assert d.dc_pct == approx(0.0, abs=0.01)
        assert d.over_limit_s == approx(0.2, abs=0.01)


def test_what_stays_is_the_settled_change():
    assert disturbances(supply(0.95, settled=0.99), 0.1, 2.0, 8.0)["leg_1"].dc_pct == approx(
        1.0, abs=0.02
    )


def test_flicker_of_eight_starts_an_hour():
    # two in the worst ten minutes: (2 x 2.3 (0.8564 x 5)^3.2 / 600)^(1/3.2) = 0.935
    assert disturbances(supply(0.95), 0.1, 2.0, 8.0)["leg_1"].pst == approx(0.935, rel=0.02)


def test_nothing_after_the_judged_instant_counts():
    assert disturbances(supply(0.95, begins_s=1.0, ends_s=1.5), 0.1, 0.9, 8.0)[
        "leg_1"
    ].sag_pct == approx(0.0, abs=0.01)


def test_a_supply_that_never_feeds_anything():
    assert disturbances(supply(1.0), None, 2.0, 8.0)["leg_1"].sag_pct == approx(0.0, abs=0.01)
