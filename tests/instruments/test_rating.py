"""An instrument put on more than it is rated for is lost; ratings are those printed on it."""

from __future__ import annotations

import pytest

from trainer.instruments.rating import printed, rated_v
from trainer.instruments.table import INSTRUMENTS, read
from trainer.unit.changes import alter, the
from trainer.unit.layout import load_layout
from trainer.unit.state import Unit
from trainer.unit.world import at_rest, remembering

LEADS = {"red": "contactor.L1", "black": "contactor.L2"}


def fed(volts: str) -> Unit:
    """A supply of other volts; far above any real one, to reach the ratings. Invented."""
    unit = at_rest(load_layout("larkspur-row"))
    return remembering(alter(unit, the(unit, "split_phase_service"), volts=volts))


def test_every_instrument_has_something_printed_on_it() -> None:
    assert set(printed()) >= set(INSTRUMENTS)


@pytest.mark.parametrize(("instrument", "setting"), [("meter", "V ac"), ("tester", "on")])
def test_over_its_rating_it_is_lost(instrument: str, setting: str) -> None:
    shown = read(instrument, fed(f"{1.1 * rated_v(instrument):g} V"), LEADS, setting)
    assert shown.harm == "destroyed"
    assert shown.value is None


@pytest.mark.parametrize(("instrument", "setting"), [("meter", "V ac"), ("tester", "on")])
def test_under_it_nothing_happens(instrument: str, setting: str) -> None:
    assert read(instrument, fed("240 V"), LEADS, setting).harm == ""
