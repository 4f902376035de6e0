"""What acts and replays cost: ``python -m tests.benchmarks.acts``. Nothing here is asserted.

Beside each figure stands a peer of the same run: JSON text of the same events written and read.
The acts are done once without a file and once with one; each event is forced to disk before its
result is shown, and what that costs is the disk's and stands apart. Seconds are of this process,
so that neighbours on the machine do not count.
"""

from __future__ import annotations

import json
import os
import resource
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path

from trainer.session.acts import Act, act_from, load_moves
from trainer.session.attempt import Running, start
from trainer.session.events import from_line, to_line
from trainer.session.evolve import fold
from trainer.session.opening import opening

MOVES = Path(__file__).parents[1] / "session" / "moves" / "make-it-dead.yaml"


def spent(work: Callable[[], object]) -> float:
    began = time.process_time()
    work()
    return time.process_time() - began


def waited(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def bench(path: Path | None = None) -> Running:
    unit, header, found = opening("larkspur-row", 0)
    return start(unit, path, header, found=found)


def forced(running: Running, acts: list[Act]) -> tuple[float, int]:
    """Seconds that these acts wait for the disk alone, and how often."""
    took: list[float] = []
    real = os.fsync

    def timed(file: int) -> None:
        took.append(waited(lambda: real(file)))

    os.fsync = timed
    try:
        for act in acts:
            running.do(act)
    finally:
        os.fsync = real
    return sum(took), len(took)


def grown(work: Callable[[], object]) -> float:
    """Memory that is still held after some work and was not before [MiB]."""
    tracemalloc.start()
    before = tracemalloc.get_traced_memory()[0]
    work()
    after = tracemalloc.get_traced_memory()[0]
    tracemalloc.stop()
    return (after - before) / 2**20


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
    with tempfile.TemporaryDirectory() as folder:
        kept = bench(Path(folder) / "attempt")
        for act in job:
            kept.do(act)
        on_disk, often = forced(kept, work)
    rows = [
        ("make dead, a compile and a plan in it", f"{1e3 * make_dead / len(job):.2f} ms an act"),
        ("1,000 acts on a dead unit (aim: under 1 s)", f"{thousand:.2f} s"),
        (f"the disk beside it, {often} times", f"{on_disk:.2f} s waited"),
        ("refused of these", str(refused)),
        ("replay of 300 events (aim: under 50 ms)", f"{1e3 * replay:.1f} ms"),
        ("the same lines as bare JSON", f"{1e3 * plain:.1f} ms"),
        *memory(running),
    ]
    for name, figure in rows:
        sys.stdout.write(f"{name:46s}{figure:>18s}\n")


def memory(running: Running) -> list[tuple[str, str]]:
    """An hour of bench time three times over: what an hour keeps is its own events."""
    hour = [act_from({"act": "wait", "seconds": 60}) for _ in range(60)]
    took = spent(lambda: [running.do(act) for act in hour])
    resident = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    first = len(running.events)
    held = [grown(lambda: [running.do(act) for act in hour]) for _ in range(2)]
    own = sum(len(to_line(e)) for e in running.events[first:]) / 2 / 2**20
    after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return [
        ("an hour of bench time in minutes", f"{took:.2f} s"),
        ("held after a second hour, a third", " and ".join(f"{h:.3f} MiB" for h in held)),
        ("events of such an hour, as written", f"{own:.3f} MiB"),
        ("resident memory grown in those two", f"{(after - resident) / 1024:.1f} MiB"),
    ]


if __name__ == "__main__":
    main()
