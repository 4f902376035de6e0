"""The peers of the benchmarks solve the same start: otherwise their ratios would say nothing."""

from __future__ import annotations

import numpy as np
import pytest

from tests.benchmarks import peers

UNTIL_S = 0.05
STEPS = round(UNTIL_S * 60 * 336)


@pytest.fixture(scope="module")
def ours() -> float:
    return float(np.abs(peers.general(UNTIL_S).run(UNTIL_S)["line_a"]).max())


def test_hand_reduced_kernel_has_the_same_peak(ours: float) -> None:
    peak = peers.hand_reduced(STEPS, 1.0 / (60.0 * 336), np.zeros(STEPS))
    assert peak == pytest.approx(ours, rel=2e-3)


def test_scipy_has_the_same_peak(ours: float) -> None:
    trace = peers.solve_ivp(UNTIL_S, "LSODA", 1e-6)
    assert np.abs(trace.i_line).max() == pytest.approx(ours, rel=2e-3)
