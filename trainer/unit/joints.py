"""What workmanship does to electricity: ohms of a joint, and strands that reach a neighbour.

Every figure is invented: the good joint is of the order of a fresh crimp, a loose one drops the
1 to 10 V that practice finds on such joints at some tens of amps, the rest lies between in the
order a mechanic would put them. Knows ends and places; must know no marks.
"""

from __future__ import annotations

import math

from trainer.parts.conductors import joint_ohms as listed_ohms
from trainer.unit.catalogue import Place, PlaceKind
from trainer.unit.conductor import End, Fitting

#: Fittings that belong on a kind of place; "none" is a bare conductor.
FITS: dict[PlaceKind, tuple[Fitting, ...]] = {
    "tab_250": ("female_250",),
    "screw": ("none", "fork", "ring", "pin"),
    "stud": ("ring", "fork"),
    "lug": ("none", "pin"),
    "pigtail": ("none",),
}
#: A fitting on the wrong kind of place touches somewhere. [ohm]
WRONG_FITTING = 0.1
CRIMPS = {"full": 0.0, "light": 5e-3, "wrong_die": 8e-3, "pliers": 20e-3, "none": 0.2}
STRANDS = {"whole": 0.0, "scraped": 0.0, "stray": 0.2e-3, "severed": 1e-3}
#: A barrel or clamp needs this much bare copper; less leaves insulation in the joint. [mm, ohm]
LEAST_STRIP_MM, ON_INSULATION = 5.0, 50e-3
#: A spade that has only started on its tab; nothing at all when fully seated. [ohm]
HALF_SEATED = 0.2
#: A crimp that slipped under a tug hangs by a few strands. [ohm]
SLIPPED = 0.3
#: Below the torque window film resistance grows as force falls; at no torque the joint is loose.
SLACK = 2e-3

#: A stray strand reaches this far beyond the bared length, and its resistance. [mm, ohm]
STRAY_MM, STRAY_OHMS = 4.0, 20e-3


def joint_ohms(end: End, place: Place | None) -> float:
    """Resistance that one landed end adds [ohm]; a place not known (the chassis) is a screw."""
    kind: PlaceKind = "screw" if place is None else place.kind
    total = listed_ohms("good") + STRANDS[end.strands]
    if end.fitting not in FITS[kind]:
        total += WRONG_FITTING
    if end.fitting != "none":
        total += CRIMPS[end.crimp]
    if end.stripped_mm < LEAST_STRIP_MM:
        total += ON_INSULATION
    if kind == "tab_250":
        total += HALF_SEATED * (1.0 - end.seated)
    if end.tug == "slipped":
        total += SLIPPED
    return total + _slack_ohms(end, place)


def _slack_ohms(end: End, place: Place | None) -> float:
    """R = SLACK (low/torque - 1) below the window, no more than a loose joint has."""
    if place is None or place.torque is None:
        return 0.0
    if not end.torque_nm:
        return listed_ohms("loose")
    short = place.torque[0] / end.torque_nm - 1.0
    return min(listed_ohms("loose"), SLACK * max(0.0, short))


def reach_mm(end: End) -> float:
    """How far a stray strand of this end can touch; 0 when there is none."""
    return end.stripped_mm + STRAY_MM if end.strands == "stray" else 0.0


def bridges(end: End, here: tuple[float, float], others: dict[str, tuple[float, float]]) -> str:
    """The nearest of ``others`` (terminal -> mm) that a stray strand reaches, or ""."""
    reach = reach_mm(end)
    near = sorted((math.dist(here, at), name) for name, at in others.items())
    return near[0][1] if near and near[0][0] <= reach else ""
