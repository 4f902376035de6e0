"""CF13: probes, scope tips or a scope's clip on live points without protective equipment.

Live is what an instrument showed, or what it made of a range or a clip that live points hurt.
Knows readings, traces and arcs of one act; must know no weight.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from trainer.assess.consequence import of_hurt
from trainer.assess.job import Job
from trainer.assess.scene import Turn
from trainer.assess.story import Story

#: What is put on before a live reading.
PPE = frozenset(("safety glasses", "insulating gloves"))
#: From here on a point is live, rms, direct or at a peak: OSHA 1910.333(a)(1), from memory. [V]
LIVE_V = 50.0


def unprotected(story: Story, job: Job) -> Iterator[tuple[str, str, str, Turn]]:
    """(code, sentence, what it did, act) of each act on live points."""
    for turn in story.turns:
        missing = ", ".join(sorted(PPE - turn.before.ppe))
        if missing:
            for said, did in _met(turn):
                yield "CF13", f"{said} without {missing}.", did, turn


def _met(turn: Turn) -> Iterator[tuple[str, str]]:
    """What was put on which live points, and what that did."""
    for event in turn.of("read"):
        if _on_live(event.data):
            places = " and ".join(event.data["leads"].values())
            yield f"Probes on {places} at {event.data['shown']['text']}", ""
    for event in turn.of("trace"):
        for tip, peak in _peaks(event.data["lines"]).items():
            if peak >= LIVE_V:
                clip = event.data["clip"]
                yield f"A scope on {tip} against {clip} at {peak:.0f} V peak", ""
    for event in turn.of("arc") if turn.act == "scope" else ():
        clip, volts = event.data["a"], event.data["volts_ac"]
        if volts >= LIVE_V:
            did = of_hurt(event.data, event.kind)
            yield f"The scope's earthed clip on {clip} at {volts:.0f} V", did


def _on_live(data: Mapping[str, Any]) -> bool:
    """Volts shown, or an ohms range that live points have just hurt."""
    if data["instrument"] not in ("meter", "tester"):
        return False
    shown = data["shown"]
    volts = shown["unit"] == "V" and abs(shown["value"] or 0.0) >= LIVE_V
    return volts or shown["harm"] in ("ohms burnt", "destroyed")


def _peaks(lines: Mapping[str, Any]) -> dict[str, float]:
    """The highest volts of each tip in a picture."""
    tips = {tip: line for tip, line in lines.items() if tip != "t_s"}
    return {t: max(map(abs, v["points"]), default=0) * v["scale"] for t, v in tips.items()}
