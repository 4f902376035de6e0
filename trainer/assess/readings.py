"""Readings and touches as an assessor needs them, from the events of one act.

Knows the data of a reading and which acts are a hand on metal; must know no rule.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from trainer.assess.scene import Turn
from trainer.assess.site import Pair, pair
from trainer.session.events import Event
from trainer.unit.conductor import terminal_of

#: Settings by which volts are shown, alternating and direct; a tester shows both.
AC, DC = ("V ac", "on"), ("V dc", "on")
#: Below this a test reads dead, above that a known source is known. [V]
#: Dead: the limit for a discharged capacitor, common practice, no source; known: invented.
DEAD_V, SOURCE_V = 5.0, 90.0
#: Acts that are a hand on metal which is joined to the unit.
TOUCHES = frozenset((
    "lift", "loosen", "land", "torque", "touch", "wipe", "scrape", "fit", "take down", "strip",
    "crimp", "cap", "short",
))  # fmt: skip


@dataclass(frozen=True)
class Reading:
    """What an instrument showed: ``at`` are its places without tabs, or tags in the jaws."""

    instrument: str
    setting: str
    at: tuple[str, ...]
    value: float | None
    unit: str
    text: str
    why: str
    seq: int
    at_ms: int

    @property
    def pair(self) -> Pair:
        return pair(self.at[0], self.at[-1])

    @property
    def volts(self) -> float | None:
        return self.value if self.unit == "V" else None

    @property
    def contact(self) -> bool:
        return self.instrument in ("meter", "tester", "insulation")


def readings_of(turn: Turn) -> Iterator[Reading]:
    return (reading_from(event) for event in turn.of("read"))


def reading_from(event: Event) -> Reading:
    data: Any = event.data
    leads, shown = data["leads"], data["shown"]
    jaws = leads.get("jaws")
    at = (
        tuple(t.strip().removeprefix("-") for t in jaws.split(","))
        if jaws is not None
        else tuple(terminal_of(p) for p in leads.values())
    )
    return Reading(
        data["instrument"], data["setting"], at, shown["value"], shown["unit"], shown["text"],
        data.get("why", ""), event.seq, event.at_ms,
    )  # fmt: skip


def touches(turn: Turn) -> bool:
    """Whether the act laid a hand on metal of the unit, whatever came of it."""
    if turn.refused or turn.act not in TOUCHES:
        return False
    if turn.act in ("strip", "crimp", "cap"):
        return _joined(turn)
    return True


def _joined(turn: Turn) -> bool:
    """An end of a conductor whose other end is on the unit; one fresh off the reel is not."""
    conductor = turn.before.conductors.get(str(turn.asked.get("wire")))
    return conductor is not None and bool(conductor["a"]["on"] or conductor["b"]["on"])
