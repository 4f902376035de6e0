"""What an import costs: ``python -m tests.benchmarks.handins [COUNT]``. Nothing here is asserted.

So many hand-ins of a whole careful job, one for each of so many invented learners, are verified,
kept, asked again act by act, marked and receipted into one SQLite file, on every core. Figures are
told at each fifth of the way: they grow with the number of hand-ins and with nothing else.
"""

from __future__ import annotations

import os
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


def memory_mb() -> tuple[float, float]:
    """Most that this process, and any worker that has ended, has held [MB]."""
    who = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    own, workers = (resource.getrusage(w).ru_maxrss / 1024 for w in who)
    return own, workers


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
        began, told = time.perf_counter(), [0]

        def progress(done: int, of: int) -> None:
            if of and FIFTHS * done // of > told[0]:
                told[0] = FIFTHS * done // of
                spent = time.perf_counter() - began
                print(
                    f"{done:6d}  {spent:8.1f} s  {1000 * spent / done:7.1f} ms each  "
                    f"{memory_mb()[0]:6.0f} MB here",
                    flush=True,
                )

        report = import_files(desk, [folder], INSTRUCTOR, Wish("all", workers), progress)
        own, worker = memory_mb()
        kept = sum(p.stat().st_size for p in Path(place).glob("*.db*")) / count / 1024
        print(
            f"imported {len(report.of('imported'))}; at most {own:.0f} MB here and {worker:.0f} MB"
        )
        print(f"in a worker; the store grew by {kept:.0f} KB each")
        store.close()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else COUNT)
