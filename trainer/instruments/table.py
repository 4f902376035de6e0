"""The table of instruments: what each is called, its settings and leads, and ``read``.

One front door for whoever holds an instrument. Knows instruments; must know no act and no mark.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from trainer.base.errors import TrainerError, quoted
from trainer.circuit.elements import CHASSIS
from trainer.instruments import clamp, insulation, multimeter, pointing
from trainer.instruments.meeting import Meeting, meet
from trainer.instruments.rating import rated_v
from trainer.instruments.shown import Health, Shown, figure
from trainer.unit.state import Unit


class Instrument(NamedTuple):
    """``leads``: names of what is put somewhere; ``contact``: whether metal touches metal."""

    name: str
    settings: tuple[str, ...]
    leads: tuple[str, ...]
    contact: bool


INSTRUMENTS: dict[str, Instrument] = {
    "meter": Instrument("multimeter", multimeter.SETTINGS, ("red", "black"), True),
    "tester": Instrument("two-pole tester", ("on",), ("red", "black"), True),
    "pen": Instrument("non-contact pen", ("on",), ("tip",), False),
    "clamp": Instrument("clamp meter", ("A ac", clamp.INRUSH), ("jaws",), False),
    "insulation": Instrument("insulation tester", insulation.SETTINGS, ("red", "black"), True),
}
GOOD = Health()
#: What any of them loads the points with at least. [ohm]
PROBE_OHMS = 10e6
#: Share of a rating that two points' volts to ground may add up to before they are compared.
WITHIN = 0.5


def read(
    instrument: str,
    unit: Unit | Meeting,
    leads: Mapping[str, str],
    setting: str,
    health: Health = GOOD,
    near: tuple[str, ...] = (),
) -> Shown:
    """What it shows with its leads where they are; for the clamp ``jaws`` lists tags by comma."""
    kind = INSTRUMENTS.get(instrument)
    if kind is None:
        raise TrainerError(f"there is no instrument {quoted(instrument)}")
    if setting not in kind.settings:
        settings = ", ".join(kind.settings)
        raise TrainerError(f"the {kind.name} has no setting {quoted(setting)}", hint=settings)
    missing = [lead for lead in kind.leads if lead not in leads]
    if missing:
        return Shown(text="----", note=f"{' and '.join(missing)} not on anything")
    meeting = unit if isinstance(unit, Meeting) else meet(unit)
    if instrument == "pen":
        return pointing.pen(meeting, leads["tip"], near, health)
    if instrument == "clamp":
        return clamp.read(meeting, leads["jaws"].split(","), health)
    points = leads["red"], leads["black"]
    if over_rating(instrument, meeting, points):
        return figure(None, "V", f"a flash inside the {kind.name}", "destroyed")
    if instrument == "tester":
        return pointing.tester(meeting, points, health)
    if instrument == "insulation":
        return insulation.read(meeting, points, setting, health)
    return multimeter.read(meeting, points, setting, health)


def over_rating(instrument: str, meeting: Meeting, points: tuple[str, str]) -> bool:
    """Whether more is between the leads, or from one to ground, than the instrument is rated for.

    Direct volts of a charge ride on the alternating ones: the rms of both counts.
    """
    a, b = (meeting.at(point) for point in points)
    rated = rated_v(instrument)
    if sum(meeting.no_more_than(point, CHASSIS) for point in (a, b)) <= rated:
        return False
    to_ground = [_volts(meeting, point, CHASSIS) for point in dict.fromkeys((a, b))]
    if max(to_ground) > rated:
        return True
    # no more is between two points than both have to ground, and nothing from a node to itself
    return sum(to_ground) > WITHIN * rated and a != b and _volts(meeting, a, b) > rated


def _volts(meeting: Meeting, one: int, other: int) -> float:
    """Alternating and direct volts together [V rms]."""
    if one == other:
        return 0.0
    return math.hypot(
        meeting.volts_ac(one, other, PROBE_OHMS), meeting.volts_dc(one, other, PROBE_OHMS)
    )
