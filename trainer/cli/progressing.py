"""Progress of long work on stderr: a bar on a terminal, a line every tenth elsewhere, or nothing.

Silent for what is over in half a second. Knows counts; must know no work.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

QUIET_S = 0.5
Progress = Callable[[int, int], None]


@contextmanager
def counted(what: str) -> Iterator[Progress]:
    """Hands out ``progress(done, of)``."""
    began, told, on_terminal = time.monotonic(), [0], sys.stderr.isatty()

    def progress(done: int, of: int) -> None:
        if time.monotonic() - began < QUIET_S or not of:
            return
        tenth = 10 * done // of
        if on_terminal:
            bar = "#" * (2 * tenth) + "." * (20 - 2 * tenth)
            print(f"\r{what} {bar} {done}/{of}{_left(began, done, of)}", end="", file=sys.stderr)
        elif tenth > told[0]:
            print(f"{what} {done}/{of}{_left(began, done, of)}", file=sys.stderr)
        told[0] = max(tenth, told[0])
        sys.stderr.flush()

    yield progress
    if on_terminal and told[0]:
        print(file=sys.stderr)


def _left(began: float, done: int, of: int) -> str:
    if not done or done == of:
        return ""
    return f", about {(time.monotonic() - began) / done * (of - done):.0f} s left"
