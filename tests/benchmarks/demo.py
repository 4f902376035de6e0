"""What a slider costs: ``python -m tests.benchmarks.demo [STUDY ...]``. Nothing is asserted.

For each slider, over every shipped study that has it: the 50th and 99th percentile of drawing
the first 0.6 s again, and of naming it as well, against the frame of a screen that shows 60 a
second. Beside them stands the hand-reduced kernel of the same run, as a machine's own speed says
little: it is timed between the studies, and each time is given as a multiple of it too. Times
are of this thread's processor, so that others on a shared machine count for little; the share of
pictures that were there within a frame is by the clock on the wall.
"""

from __future__ import annotations

import os
import sys
import time
from collections import defaultdict
from collections.abc import Callable

# before numpy is imported: see trainer/__init__.py
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from tests.benchmarks import peers
from trainer.demo.dials import Dial
from trainer.demo.prepared import NEAR_S, Prepared, opened
from trainer.study.load import study_names

FRAME_S = 0.016
#: Places of a slider that are tried, there and back as a hand moves it.
PLACES = 24


def places(dial: Dial) -> list[float]:
    span = dial.high - dial.low
    there = [dial.low + span * k / (PLACES - 1) for k in range(PLACES)]
    return there + there[::-1]


def spent(work: Callable[[], object]) -> float:
    began = time.thread_time()
    work()
    return time.thread_time() - began


def moved(study: Prepared, dial: Dial) -> list[tuple[float, float, float]]:
    """Seconds for drawing, for drawing and naming, and on the wall, at each place of a slider."""
    found = []
    for value in places(dial):
        began, wall = time.thread_time(), time.perf_counter()
        lines = study.near({dial.name: value})
        drawn, wall = time.thread_time() - began, time.perf_counter() - wall
        found.append((drawn, drawn + spent(lambda lines=lines: lines.so_far), wall))
    return found


def peer() -> float:
    """Seconds of the hand-reduced kernel for as much time as is drawn, one motor and no more."""
    step, steps = 1.0 / (60.0 * 336), round(NEAR_S * 60.0 * 336)
    out = np.zeros(steps)
    return min(spent(lambda: peers.hand_reduced(steps, step, out)) for _ in range(5))


def main() -> None:
    """Print every figure."""
    peers.hand_reduced(10, 1e-4, np.zeros(10))
    by_dial: dict[str, list[tuple[float, float, float]]] = defaultdict(list)
    by_study: dict[str, list[float]] = defaultdict(list)
    peer_s = []
    for name in sys.argv[1:] or study_names():
        study = opened(name)
        for dial in study.dials:
            peer_s.append(peer())
            times = moved(study, dial)
            by_dial[dial.name] += times
            by_study[name] += [drawn for drawn, _, _ in times]
    reduced = float(np.median(peer_s))
    head = ("", "drawn p50", "p99", "named p50", "p99", "p50/peer", "in a frame")
    sys.stdout.write("{:30s}{:>12s}{:>10s}{:>12s}{:>10s}{:>10s}{:>12s}\n".format(*head))
    for name, times in by_dial.items():
        drawn, named, wall = (1e3 * np.array(column) for column in zip(*times, strict=True))
        share = float(np.mean(wall < 1e3 * FRAME_S))
        sys.stdout.write(
            f"{name:30s}{np.median(drawn):9.2f} ms{np.percentile(drawn, 99):7.2f} ms"
            f"{np.median(named):9.2f} ms{np.percentile(named, 99):7.2f} ms"
            f"{1e-3 * np.median(drawn) / reduced:10.1f}{share:12.1%}\n"
        )
    for name, times in sorted(by_study.items(), key=lambda row: -np.median(row[1]))[:6]:
        sys.stdout.write(f"slowest: {name:21s}{1e3 * np.median(times):9.2f} ms\n")
    sys.stdout.write(f"{'hand-reduced, one motor':30s}{1e3 * reduced:9.2f} ms\n")


if __name__ == "__main__":
    main()
