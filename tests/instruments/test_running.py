"""Readings on a running unit are of its mean speed: a shaft swings twice a cycle about it."""

from __future__ import annotations

import pytest

from trainer.instruments.meeting import meet
from trainer.unit.faults import plant
from trainer.unit.layout import load_layout
from trainer.unit.world import advance, at_rest, remembering

#: A start capacitor left in runs a motor far out of balance: its shaft swings most.
LEFT_IN = "F29"


@pytest.mark.parametrize("fault", ["", LEFT_IN])
def test_no_direct_volts_on_a_capacitor_across_running_windings(fault: str) -> None:
    """A capacitor with windings across it loses any direct volts within tens of milliseconds."""
    unit = at_rest(load_layout("old-quarry"))
    unit = remembering(plant(unit, fault)) if fault else unit
    unit = advance(unit, 9000, (("indoor", "call"),)).unit
    held = meet(unit).left.charge_v or {}
    assert abs(held["can~H"]) < 0.5
    assert abs(held["can~F"]) < 0.5
