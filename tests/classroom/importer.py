"""Importers as processes of their own, forked from one that has everything imported.

    python -m tests.classroom.importer crowd FOLDER NOW_MS COUNT
    python -m tests.classroom.importer kill FOLDER NOW_MS TIMES

``crowd`` runs so many at once over one folder. ``kill`` starts one, kills it somewhere in its
work, looks whether only whole hand-ins are there, and so on; then one may finish. The store's URL
comes from CROWD_STORE.
"""

from __future__ import annotations

import os
import random
import secrets
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path

from sqlalchemy import func, select

from tests.classroom.keys import INSTRUCTOR
from trainer.classroom.desk import Desk
from trainer.classroom.importing import Wish, import_files
from trainer.store import tables as t
from trainer.store.database import connect


def take_in(
    folder: str, now_ms: int, told: Callable[[int], object], begin: int = 0, most: int = 0
) -> None:
    """One importer with a store of its own, from the file ``begin`` on; ``most`` 0 is all."""
    files = sorted(Path(folder).iterdir())
    files = (files[begin:] + files[:begin])[: most or len(files)]
    store = connect(os.environ["CROWD_STORE"])
    desk = Desk(store, f"importer {os.getpid()}", now_ms, secrets.token_bytes)
    wish = Wish("none")
    report = import_files(desk, files, INSTRUCTOR, wish, lambda done, of: told(done))
    wrong = [row for row in report.rows if row.status not in ("imported", "again")]
    assert not wrong, wrong[0]
    store.close()


def forked(work: Callable[[], None]) -> int:
    """The id of a child that does this and nothing else."""
    pid = os.fork()
    if pid:
        return pid
    code = 1
    try:
        work()
        code = 0
    except BaseException as error:
        print(f"{type(error).__name__}: {error}", file=sys.stderr, flush=True)
    os._exit(code)


def crowd(folder: str, now_ms: int, count: int) -> None:
    """Pairs begin at the same file, a pair some files after the one before; each file is met by
    four or more. Raises AssertionError when one of them failed.
    """
    files = len(list(Path(folder).iterdir()))
    most = min(files, -(-4 * files // count))
    begins = [files * 2 * (n // 2) // count for n in range(count)]
    pids = [forked(lambda b=b: take_in(folder, now_ms, _silent, b, most)) for b in begins]
    codes = [os.waitpid(pid, 0)[1] for pid in pids]
    assert codes == [0] * count, codes


def _silent(done: int) -> None:
    """Tells nobody."""


def kill(folder: str, now_ms: int, times: int) -> None:
    """Raises AssertionError when a kill left half a hand-in, or lost one that was told as kept."""
    chance, before = random.Random(11), 0
    for _ in range(times):
        lines, delay_s = chance.randrange(1, 4), chance.random() * 0.03
        said = _killed(folder, now_ms, before, lines, delay_s)
        kept, grades, receipts = _counts()
        assert kept == grades == receipts, (kept, grades, receipts)
        assert kept >= max(before, said), (kept, before, said)
        before = kept
    take_in(folder, now_ms, _silent)


def _killed(folder: str, now_ms: int, there: int, lines: int, delay_s: float) -> int:
    """How many are kept by what an importer told before it was killed.

    It begins with those that are not ``there`` yet; the folder is taken in order, then anew.
    """
    ours, its = os.pipe()

    def work() -> None:
        take_in(folder, now_ms, lambda done: os.write(its, f"{done}\n".encode()), there)

    pid = forked(work)
    os.close(its)
    with os.fdopen(ours) as told:
        said = [line for line, _ in zip(told, range(lines), strict=False)]
        time.sleep(delay_s)
        os.kill(pid, signal.SIGKILL)
        _, status = os.waitpid(pid, 0)
        assert status in (0, signal.SIGKILL), status
        said += told.readlines()
    files = len(list(Path(folder).iterdir()))
    return min(there + int(said[-1]), files) if said else there


def _counts() -> list[int]:
    store = connect(os.environ["CROWD_STORE"])
    with store.reading() as connection:
        tables = (t.attempt, t.grade, t.receipt)
        found = [
            connection.execute(select(func.count()).select_from(x)).scalar_one() for x in tables
        ]
    store.close()
    return found


if __name__ == "__main__":
    {"crowd": crowd, "kill": kill}[sys.argv[1]](sys.argv[2], int(sys.argv[3]), int(sys.argv[4]))
