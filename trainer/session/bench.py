"""The bench: the unit and the person at it. Always the fold of events, never stored.

Knows plain facts; must know no physics, no mark and no right order.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from trainer.instruments.shown import Health
from trainer.unit.layout import Layout
from trainer.unit.state import Placed, Unit


@dataclass(frozen=True)
class Lock:
    """``owner`` took the key along; ``tag`` is what hangs on it."""

    owner: str
    tag: str = ""


@dataclass(frozen=True)
class Bench:
    """Everything true now. ``at_ms`` is bench time; the unit may lag behind while all is still.

    ``moving``: something turns or switches. ``charged``: a capacitor holds direct volts.
    """

    unit: Unit
    who: str = "learner"
    at_ms: int = 0
    moving: bool = False
    charged: bool = False
    #: Motors that are fed and stand.
    hums: tuple[str, ...] = ()
    ppe: frozenset[str] = frozenset()
    stance: str = "in front"
    told: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    locks: Mapping[str, Lock] = field(default_factory=dict)
    instrument: str = ""
    settings: Mapping[str, str] = field(default_factory=dict)
    health: Mapping[str, Health] = field(default_factory=dict)
    jaws: str = ""
    #: Places on which the meter's leads stay while it keeps least and most.
    leads: tuple[str, str] | None = None
    #: Least and most it has kept since.
    kept: tuple[float, float] | None = None
    #: The clamp waits for a start.
    armed: bool = False
    tools: frozenset[str] = frozenset()
    readings: tuple[Mapping[str, Any], ...] = ()
    hurts: tuple[Mapping[str, Any], ...] = ()
    #: kind of thing done -> what it was done to: looked, photographed, inspected, recorded...
    done: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    declared: bool = False
    over: bool = False
    ended: str = ""
    #: Of the job as handed out: what it says, markings under dirt, the diagram, parts to fit
    #: (None: any type may be had), and hints that may be asked for.
    briefing: str = ""
    dirty: frozenset[str] = frozenset()
    diagram: str = "clean"
    #: The layout itself when it is none that ships: an attempt needs no other file.
    own_layout: Layout | None = None
    tray: Mapping[str, Placed] | None = None
    hints: tuple[str, ...] = ()
    #: Limits such as stopping a hum within seconds are multiplied by this for the person.
    accommodation: float = 1.0
    #: Photograph -> what it shows, as it was.
    photographs: Mapping[str, str] = field(default_factory=dict)

    def health_of(self, instrument: str) -> Health:
        return self.health.get(instrument, Health())

    def setting_of(self, instrument: str) -> str:
        return self.settings.get(instrument, "")
