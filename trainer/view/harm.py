"""Harm told soberly, and acts that are stopped in guided mode before they happen.

Numbers come from the event itself and from the shipped thresholds. Knows kinds of events; must
know no shape.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from trainer.session.events import Event
from trainer.view.language import again, spelt, term, tr
from trainer.view.state import Job

Data = Mapping[str, Any]
#: Kinds of event in which somebody or something was hurt.
HARM = ("shock", "arc", "harmed", "killed", "pierced")


def told(event: Event, job: Job) -> dict[str, Any]:
    """Title and lines of what happened."""
    return _told(event.kind, event.data, over=job.bench.over)


def _told(kind: str, data: Data, over: bool = False, would: bool = False) -> dict[str, Any]:
    if kind == "shock":
        return _shock(data, over, would)
    if kind == "arc":
        where = tr("{a} to {b}", a=point(data["a"]), b=point(data["b"]))
        lines = [tr("Where: {where}.", where=where)]
        if data.get("joules"):
            lines.append(tr("Energy: {j:.3g} J.", j=data["joules"]))
        if data.get("peak_a"):
            lines.append(tr("Current: {a:.0f} A.", a=data["peak_a"]))
        lines.append(
            tr(
                "A conductor that carries current draws an arc when it comes off. Make the unit dead and prove it first."
            )
        )
        return {
            "title": tr("A flash") if not would else tr("There would be a flash"),
            "lines": lines,
        }
    if kind == "harmed":
        words = tr(
            "The {what} is destroyed or partly burnt. A meter on ohms, or beyond its rating, does not survive a live point.",
            what=term("instrument", data["instrument"]),
        )
        return {"title": tr("The instrument is hurt"), "lines": [words]}
    if kind == "killed":
        words = tr("The electronics of {part} are no more.", part=spelt(data["part"]))
        return {
            "title": tr("A part is burnt"),
            "lines": [words, tr("An insulation test goes round electronics, never through them.")],
        }
    words = tr(
        "The screw went into the {zone}. The unit has lost its refrigerant.",
        zone=spelt(data.get("zone", "")),
    )
    return {
        "title": tr("A pipe is pierced"),
        "lines": [words, tr("Look behind before a screw goes in.")],
    }


def point(name: str) -> str:
    """A place as it is called on the board; the bare metal of an end by its flag."""
    if not name.startswith("wire:"):
        return spelt(name)
    wire, _, end = name.removeprefix("wire:").rpartition(".")
    return tr("end {end} of wire {wire}", end=end, wire=wire)


def _shock(d: Data, over: bool, would: bool) -> dict[str, Any]:
    from trainer.unit.body import LET_GO_A, REACTION_A, fibrillation_amps, tables

    amps = max(float(d["amps"]), float(d["peak_a"]))
    ac, dc = float(d["volts_ac"]), float(d["volts_dc"])
    volts = f"{ac:.0f} V ac" if ac > abs(dc) else f"{dc:.0f} V dc"
    limit = fibrillation_amps(float(d["for_s"]))
    lines = [
        tr("Touched: {place}, by {doer}; the other contact of the body: {other}.",
           place=point(d["place"]), doer=spelt(d["doer"]), other=point(d["other"])),
        tr("{volts} across a body of {ohms} Ω: {ma:.0f} mA for {s:g} s.", volts=spelt(volts),
           ohms=d["body_ohms"], ma=1e3 * amps, s=d["for_s"]),
        tr("It is felt from about {a:.1f} mA, some cannot let go from about {b:.0f} mA, and held so long the heart is unlikely to fibrillate below about {c:.0f} mA.",
           a=1e3 * REACTION_A, b=1e3 * LET_GO_A, c=1e3 * limit),
        tr("Source of the thresholds: {source}. They teach scale; no touch is safe by them.",
           source=again(tables().fibrillation.source)),
        tr("What prevents it: open, lock, test on a known source, test these points dead, test the tester again."),
    ]  # fmt: skip
    title = tr("There would be a shock") if would else tr("A shock")
    if over:
        title = tr("A shock that can stop a heart")
    return {"title": title, "lines": lines}


def foreseen(rows: Sequence[Data], led: bool) -> dict[str, Any] | None:
    """Why an act is stopped in guided mode, or None when nothing speaks against it; ``led``: it is
    the step that was suggested, which may show a start that goes wrong.
    """
    for row in rows:
        if row["kind"] in HARM:
            return _told(row["kind"], row["data"], would=True)
        if row["kind"] == "refused":
            return {"title": tr("That does not go"), "lines": [again(str(row["data"]["why"]))]}
    start = next((r["data"] for r in rows if r["kind"] == "start"), None)
    if start is not None and not led:
        from trainer.report.starts import start_of

        would = start_of(0, 0, start)
        if not would.good:
            words = tr(
                "As it is wired and set now, the start would come out so: {said}.",
                said=again(would.said),
            )
            return {
                "title": tr("This start would go wrong"),
                "lines": [
                    words,
                    tr("Look at the Diagram and at what is landed, or let it happen and see."),
                ],
            }
    return None


def done_right(events: Sequence[Event], asked: Data) -> bool:
    """Whether an act of this kind was done earlier in the attempt, was not refused and hurt nobody;
    a test counts with the instrument it is made with.
    """
    taken = ""
    kind = ""
    spoilt = False
    done: set[tuple[str, str]] = set()
    for event in events:
        if event.kind == "asked":
            kind, spoilt = str(event.data.get("act")), False
            if kind == "select":
                taken = str(event.data.get("instrument"))
        elif event.kind in (*HARM, "refused"):
            spoilt = True
        elif event.kind == "done" and not spoilt:
            done.add(_kind_of(kind, taken))
    return _kind_of(str(asked.get("act")), taken) in done


def _kind_of(act: str, instrument: str) -> tuple[str, str]:
    return act, instrument if act == "measure" else ""


def may_be_left(job: Job) -> bool:
    """Whether a stop can be closed without going back: what hurt only once the act was done right
    before, or when the attempt is over.
    """
    pause = job.pause or {}
    return pause.get("kind") != "harm" or bool(pause.get("shown", True)) or job.bench.over
