"""Fits a motor to a plate once and keeps it; fitting takes a noticeable part of a second."""

from __future__ import annotations

from functools import cache

from trainer.motor.fit import Fit, fit
from trainer.motor.nameplate import Nameplate


@cache
def fitted(plate: Nameplate) -> Fit:
    """The most probable motor of this plate. Raises Faults for a plate that fits none."""
    return fit(plate)
