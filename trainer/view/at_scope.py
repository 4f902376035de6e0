"""Hands on the scope's cursors: which of them moves, and where it goes.

Nothing is measured here: what was drawn is read. Knows the state; must know no shape.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from trainer.view.state import App, Effect

Next = tuple[App, list[Effect]]


def _cursor(app: App, n: int) -> Next:
    """The cursor that moves from now on; -1 takes both off the screen."""
    if app.job is None:
        return app, []
    return replace(app.with_job(cursor=n), focus="scope.screen" if n >= 0 else ""), []


def _at(app: App, share: float | None) -> Next:
    """The chosen cursor to a share of the screen; without one, the first is taken."""
    if share is None or app.job is None:
        return app, []
    n = max(app.job.cursor, 0)
    cursors = list(app.job.cursors)
    cursors[n] = min(max(share, 0.0), 1.0)
    return app.with_job(cursor=n, cursors=tuple(cursors)), []


HANDLERS: dict[str, Callable[..., Next]] = {"cursor": _cursor, "cursor at": _at}
