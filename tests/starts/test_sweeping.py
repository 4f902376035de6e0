"""Sweeps: every combination, in order, with physics in it."""

import pytest
from pytest import approx

from tests.starts.variants import study
from trainer.base.errors import UsageError
from trainer.starts.sweeping import KEPT, sweep
from trainer.starts.varying import Range


def test_torque_rises_and_falls_with_the_start_capacitor():
    # trade figures of the anchor motor: rises to about 400 uF, then falls (model, no source)
    found = sweep(study("potential-relay"), [Range("start_uf", (98.0, 227.0, 430.0, 700.0))])
    torque = [p.figures["standing_torque_nm"] for p in found]
    assert torque[0] < torque[1] < torque[2] > torque[3]


def test_torque_goes_with_the_square_of_volts():
    low, high = sweep(study("psc"), [Range("line_v", (216.0, 240.0))])
    # the transformer's per cent are on its volts, so its ohms fall too: within 1 %
    assert low.figures["standing_torque_nm"] == approx(
        0.81 * high.figures["standing_torque_nm"], rel=0.01
    )


def test_two_ranges_make_a_grid():
    ranges = [Range("line_v", (230.0, 240.0)), Range("closing_deg", (0.0, 90.0))]
    found = list(sweep(study("psc"), ranges))
    assert [tuple(p.settings.values()) for p in found] == [
        (230.0, 0.0), (230.0, 90.0), (240.0, 0.0), (240.0, 90.0),
    ]  # fmt: skip
    assert set(found[0].as_row()) == {"line_v", "closing_deg", *KEPT}


def test_limits():
    with pytest.raises(UsageError, match="twice"):
        list(sweep(study("psc"), [Range("line_v", (1.0,)), Range("line_v", (2.0,))]))
    with pytest.raises(UsageError, match="too many"):
        list(sweep(study("psc"), [Range("line_v", tuple(range(1, 402)))]))
