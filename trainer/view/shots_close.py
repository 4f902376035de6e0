"""Named states in which something is seen closer: gauge, loupe, diagram and board, a replay.

Knows states and scripts of acts; must know no shape.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from trainer.view.posing import Pose, more, shipped, worked
from trainer.view.shots import DEAD, RELAY, Build, dead
from trainer.view.state import App


def _near() -> App:
    return more(dead(), ("zoomed", 0.0))


def torqued(nm: float, end: str = "1.b", units: str = "US", mode: str = "practice") -> App:
    """The torque driver held to an end under a screw, set to a value."""
    app = more(_near(), ("tool", "torque"), ("set", "torque", "nm", nm), ("end", end))
    settings = replace(app.settings, units=units)  # type: ignore[arg-type]
    return replace(app, settings=settings).with_job(mode=mode)


def looked(end: str, **made: Any) -> App:
    """The loupe on an end, made as it is told."""
    app = more(_near(), ("tool", "look"), ("loupe", f"end.{end}"))
    assert app.job is not None
    tag, side = end.rsplit(".", 1)
    bench, side = app.job.bench, "a" if side == "a" else "b"
    conductor = bench.unit.conductors[tag].with_end(side, **made)  # type: ignore[arg-type]
    return app.with_job(bench=replace(bench, unit=bench.unit.with_conductor(conductor)))


def _guided_diagram() -> App:
    pose = Pose().begin(DEAD, "guided")
    pose.act({"act": "take off", "cover": "control-panel"})
    if pose.app.job and pose.app.job.pause:
        pose.send("anyway", dict(pose.app.job.pause["act"]))
    pose.act({"act": "read", "what": "diagram"})
    return more(pose.app, ("sheet", "diagram"))


def _pointing(name: str) -> App:
    return replace(_guided_diagram(), hover=name)


def _replayed(share: float, **settings: Any) -> App:
    app = more(shipped(RELAY).whole(), ("sheet", "trace"), ("scrub", share))
    return replace(app, settings=replace(app.settings, **settings))


CLOSE: Mapping[str, Build] = {
    "bench-near": _near,
    "torque-set": lambda: torqued(4.5),
    "torque-over": lambda: torqued(9.0, units="SI"),
    "torque-guided": lambda: torqued(3.0, mode="guided"),
    "guided-wire-on-sheet": lambda: _pointing("diagram.wire:1.0"),
    "guided-terminal-on-sheet": lambda: _pointing("diagram.terminal:contactor.T1.0"),
    "guided-terminal-on-board": lambda: _pointing("place.contactor.L1"),
    "replay-begin": lambda: _replayed(0.02),
    "replay-later": lambda: _replayed(0.6),
    "replay-still": lambda: _replayed(0.2, reduced_motion=True),
    "loupe-part": lambda: worked(_near(), {"act": "look", "at": "can"}),
    "loupe-wiped": lambda: worked(
        _near(), {"act": "look", "at": "can"}, {"act": "wipe", "place": "can.C"}),
    "loupe-end": lambda: worked(_near(), {"act": "inspect", "wire": "7", "end": "a"}),
    "loupe-lug": lambda: looked("1.b", stripped_mm=14.0),
    "loupe-pinched": lambda: looked("7.a", stripped_mm=3.0, crimp="light"),
    "loupe-pliers": lambda: looked("7.a", crimp="pliers", strands="scraped", seated=0.4),
    "loupe-stray": lambda: looked("7.a", on=None, strands="stray", crimp="wrong_die"),
    "loupe-cut-strands": lambda: looked(
        "7.a", on=None, fitting="none", crimp="none", stripped_mm=12.0, strands="severed"),
    "loupe-capped": lambda: looked("7.a", on=None, capped=True),
}  # fmt: skip
