"""What an import costs: ``python -m tests.benchmarks.handins [COUNT]``. Nothing here is asserted.

So many hand-ins of a whole careful job, one for each of so many invented learners, are verified,
kept, asked again act by act, marked and receipted into one SQLite file, on every core. Figures are
told at each fifth of the way: they grow with the number of hand-ins and with nothing else.
"""

from __future__ import annotations

import os
import re
import resource
import secrets
import sys
import tempfile
import time
from pathlib import Path

from tests.classroom.handed import NOW, careful, class_of
from tests.classroom.keys import INSTRUCTOR
from tests.store.places import blank_sqlite
from trainer.classroom.desk import Desk
from trainer.classroom.importing import Wish, import_files
from trainer.store.database import connect

COUNT = 1000
FIFTHS = 5


def memory_mb() -> float:
    """Most that this process has held [MB]."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def workers_mb() -> float:
    """Most that any other process of this run has held, as Linux tells it [MB]; else 0."""
    found = [0.0]
    for status in Path("/proc").glob("[0-9]*/status"):
        try:
            ours = os.getpgid(int(status.parent.name)) == os.getpgrp()
            held = re.search(
                r"VmHWM:\s+(\d+) kB", status.read_text(encoding="ascii", errors="replace")
            )
        except OSError:  # gone meanwhile, or another's
            continue
        if ours and held and int(status.parent.name) != os.getpid():
            found.append(int(held[1]) / 1024)
    return max(found)


def handed_in(desk: Desk, folder: Path, count: int) -> None:
    names = [f"L-{n:05d}" for n in range(count)]
    made, work = class_of(desk, names), careful()
    for name in names:
        (folder / f"{name}.handin").write_bytes(made.handin(name, work))


def main(count: int) -> None:
    """Print every figure."""
    workers = os.cpu_count() or 1
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "stick"
        folder.mkdir()
        store = connect(f"sqlite:///{blank_sqlite(Path(place))}")
        desk = Desk(store, "benchmark", NOW, secrets.token_bytes)
        handed_in(desk, folder, count)
        size = sum(p.stat().st_size for p in folder.iterdir()) / count
        acts = sum(e.kind == "asked" for e in careful().events)
        print(f"{count} hand-ins of {acts} acts, {size / 1024:.0f} KB each, {workers} workers")
        began, told, held = time.perf_counter(), [0], [0.0]

        def progress(done: int, of: int) -> None:
            if of and FIFTHS * done // of > told[0]:
                told[0] = FIFTHS * done // of
                held[0] = max(held[0], workers_mb())
                spent = time.perf_counter() - began
                print(
                    f"{done:6d}  {spent:8.1f} s  {1000 * spent / done:7.1f} ms each  "
                    f"{memory_mb():6.0f} MB here",
                    flush=True,
                )

        report = import_files(desk, [folder], INSTRUCTOR, Wish("all", workers), progress)
        kept = sum(p.stat().st_size for p in Path(place).glob("*.db*")) / count / 1024
        print(f"imported {len(report.of('imported'))}; at most {memory_mb():.0f} MB here")
        print(f"and {held[0]:.0f} MB in a worker; the store grew by {kept:.0f} KB each")
        store.close()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else COUNT)
