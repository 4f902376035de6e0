"""Guided mode: an end about to land where the job's wiring does not have it.

Held against the nets of the wanted unit, of its alternates and of leads that may be exchanged; a
wire joins one of their nets or it is wrong. Knows nets and jobs; must know no shape.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from trainer.base.errors import TrainerError
from trainer.nets.images import nearest_images
from trainer.nets.wires import Partition, Wire, groups_of, wires_of
from trainer.unit.conductor import terminal_of
from trainer.view.language import tr

if TYPE_CHECKING:
    from trainer.assess.job import Job
    from trainer.unit.state import Unit

Data = Mapping[str, Any]


def wrong_landing(header: Data, unit: Unit, act: Data) -> dict[str, Any] | None:
    """Why an end is stopped before it lands, or None where the job's wiring may have it."""
    from trainer.assess.loading import job_for
    from trainer.assess.wiring import called, renamed_in, stand_ins

    wire = unit.conductors.get(str(act.get("wire")))
    if act.get("act") != "land" or wire is None:
        return None
    try:
        job = job_for(str(header["scenario"]), int(header["seed"]))
    except TrainerError:
        return None  # a bench without a job wants no wiring
    names = stand_ins({name: part.type for name, part in unit.parts.items()}, job)
    wires = [called(w, names) for w in wires_of(unit)]
    side = "a" if act.get("end") == "a" else "b"
    there = renamed_in(terminal_of(str(act["place"])), names)
    landed = [replace(w, **{side: there}) if w.tag == wire.tag else w for w in wires]
    after = next(w for w in landed if w.tag == wire.tag)
    images = list(_images(landed, job))
    if any(_fits(after, side, image, job.target_wires) for image in images):
        return None
    found = {wanted: own for own, wanted in names.items()}
    return _told(after, side, images[0], job.target_wires, lambda p: renamed_in(p, found))


def _images(wires: Sequence[Wire], job: Job) -> Iterator[Partition]:
    """The wanted nets first, then all that are as right."""
    wanted = {"": groups_of(job.target_wires)}
    wanted |= {name: groups_of(other) for name, other in job.alternate_wires.items()}
    yield from (nets for _, nets in nearest_images(wires, wanted, job.scenario.symmetries))


def _fits(wire: Wire, side: str, image: Partition, target: Sequence[Wire]) -> bool:
    """Whether an end may be here: in the net its own wire is wanted in, or in that of its other
    end; one off the reel whose other end is free, in any.
    """
    here = next((net for net in image if wire.end(side) in net), frozenset())
    if wire.whole and {wire.a, wire.b} <= here:
        return True
    own = _wanted(wire, target)
    if own is not None:
        return bool({own.a, own.b} & here)
    return bool(here) and not wire.whole


def _wanted(wire: Wire, target: Sequence[Wire]) -> Wire | None:
    return next((w for w in target if w.tag == wire.tag and w.whole), None)


def _told(
    wire: Wire, side: str, image: Partition, target: Sequence[Wire], said: Callable[[str], str]
) -> dict[str, Any]:
    """``said`` gives a terminal the name it has on this bench."""
    here, other = said(wire.end(side)), wire.end("b" if side == "a" else "a")
    lines = []
    if other:
        lines.append(tr("It would join {here} to {other}; the diagram of this job keeps them apart.",
                        here=here, other=said(other)))  # fmt: skip
    own = _wanted(wire, target)
    net = next((net for net in image if other in net), frozenset()) - {other}
    if own is not None:
        lines.append(tr("Wire {tag} runs from {a} to {b}.", tag=wire.tag, a=said(own.a),
                        b=said(own.b)))  # fmt: skip
    elif net:
        joined = ", ".join(sorted(map(said, net)))
        lines.append(tr("Joined to {other} are: {joined}.", other=said(other), joined=joined))
    if not any(wire.end(side) in net for net in image):
        lines.append(tr("Nothing belongs on {here} in this job.", here=here))
    lines.append(tr("Look the end up on the Diagram sheet, or let it happen and see."))
    return {"title": tr("That end does not belong on {here}", here=here), "lines": lines}
