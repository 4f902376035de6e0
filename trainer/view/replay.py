"""The replay of a start: its scrubber, slow motion, what is laid behind it.

Knows the state; must know no shape.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from trainer.view.state import App, Effect

Next = tuple[App, list[Effect]]
#: How much slower than the clock a replay may run.
SLOWED = (1, 2, 5, 10, 20, 50, 100, 200)


def _at(app: App, share: float | None) -> Next:
    """The scrubber by a share of the drawn time; None comes from a click without a place."""
    if share is None or app.job is None:
        return app, []
    hushed: list[Effect] = [("sound", 0)] if app.job.playing else []
    return app.with_job(at_s=min(max(share, 0.0), 1.0), playing=False), hushed


def _play(app: App) -> Next:
    assert app.job is not None
    begin = 0.0 if app.job.at_s >= 0.999 else app.job.at_s
    if app.job.playing:
        return app.with_job(playing=False), [("sound", 0)]
    after = app.with_job(playing=True, at_s=begin)
    return after, [("sound", app.job.start_seq, float(app.job.slowed), begin)]


def _slowed(app: App, value: Any) -> Next:
    """Another slow motion; a sound that plays goes on at the new pace."""
    assert app.job is not None
    after = app.with_job(slowed=int(value))
    if not app.job.playing:
        return after, []
    return after, [("sound", app.job.start_seq, float(value), app.job.at_s)]


def _ghost(app: App) -> Next:
    assert app.job is not None
    return app.with_job(ghost=not app.job.ghost), []


def _phasors(app: App) -> Next:
    assert app.job is not None
    return app.with_job(phasors=not app.job.phasors), []


def _start(app: App, seq: int) -> Next:
    return app.with_job(start_seq=seq, at_s=0.0, playing=False), []


def _tick(app: App, seconds: float, whole_s: float) -> Next:
    """Time passed on the wall while a replay plays."""
    job = app.job
    if job is None or not job.playing or whole_s <= 0.0:
        return app, []
    at = job.at_s + seconds / job.slowed / whole_s
    return app.with_job(at_s=min(at, 1.0), playing=at < 1.0), []


HANDLERS: dict[str, Callable[..., Next]] = {
    "scrub": _at, "play": _play, "slowed": _slowed, "ghost": _ghost, "phasors": _phasors,
    "start": _start, "tick": _tick,
}  # fmt: skip
