"""What acts and replays cost: ``python -m tests.benchmarks.acts``. Nothing here is asserted.

Beside each figure stands a peer of the same run: JSON text of the same events written and read.
"""

from __future__ import annotations

import json
import resource
import sys
import time
from collections.abc import Callable
from pathlib import Path

from trainer.session.acts import Act, act_from, load_moves
from trainer.session.attempt import Running, start
from trainer.session.events import from_line, to_line
from trainer.session.evolve import fold
from trainer.session.opening import opening

MOVES = Path(__file__).parents[1] / "session" / "moves" / "make-it-dead.yaml"


def spent(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def bench() -> Running:
    unit, header, found = opening("larkspur-row", 0)
    return start(unit, None, header, found=found)


def routine() -> list[Act]:
    """Work on a dead unit, over and over: read, look, lift, land, tug, label, photograph."""
    once = [
        {"act": "measure", "red": "contactor.T1", "black": "contactor.T2"},
        {"act": "measure", "red": "contactor.T1", "black": "chassis"},
        {"act": "look", "at": "can"},
        {"act": "photograph", "what": "can"},
        {"act": "label", "wire": "7", "end": "a", "text": "HERM"},
        {"act": "lift", "wire": "7", "end": "a"},
        {"act": "inspect", "wire": "7", "end": "a"},
        {"act": "land", "wire": "7", "end": "a", "place": "can.H"},
        {"act": "tug", "wire": "7", "end": "a"},
        {"act": "stand", "where": "aside"},
    ]
    return [act_from(row) for row in once]


def main() -> None:
    """Print every figure."""
    acts = load_moves(MOVES).acts
    job = acts[: [a.act for a in acts].index("photograph")]  # everything without a start
    running = bench()
    make_dead = spent(lambda: [running.do(act) for act in job])
    work = routine() * 100
    thousand = spent(lambda: [running.do(act) for act in work])
    refused = sum(e.kind == "refused" for e in running.events)
    events = running.events[:300]
    lines = [to_line(e) for e in events]
    replay = min(spent(lambda: fold(from_line(line) for line in lines)) for _ in range(5))
    plain = min(spent(lambda: [json.loads(line) for line in lines]) for _ in range(5))
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    waits = [act_from({"act": "wait", "seconds": 60}) for _ in range(60)]
    hour = spent(lambda: [running.do(act) for act in waits])
    after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    rows = [
        ("make dead, a compile and a plan in it", f"{1e3 * make_dead / len(job):.2f} ms an act"),
        ("1,000 acts on a dead unit (aim: under 1 s)", f"{thousand:.2f} s"),
        ("refused of these", str(refused)),
        ("replay of 300 events (aim: under 50 ms)", f"{1e3 * replay:.1f} ms"),
        ("the same lines as bare JSON", f"{1e3 * plain:.1f} ms"),
        ("an hour of bench time in minutes", f"{hour:.2f} s"),
        ("memory grown in that hour", f"{(after - before) / 1024:.1f} MiB"),
    ]
    for name, figure in rows:
        sys.stdout.write(f"{name:46s}{figure:>18s}\n")


if __name__ == "__main__":
    main()
