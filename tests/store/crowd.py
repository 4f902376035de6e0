"""Processes that work on one store at the same time, and processes that are killed.

``start(module, words)`` runs ``python -m module words``; ``all_done`` waits for them and fails when
one did; ``killed`` lets one print some lines and kills it. As a program this module is the crowd's
simplest member: it counts up and says each number once it is kept.

    python -m tests.store.crowd WHO COUNT     (the store's URL comes from CROWD_STORE)
"""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

from sqlalchemy import func, insert, select, update

ROOT = Path(__file__).resolve().parents[2]
VARIABLE = "CROWD_STORE"
#: Longer than any of these takes on a busy machine; only a hanging process meets it.
PATIENCE_S = 7200 if os.environ.get("CONDENSER_BENCH_LONG") == "1" else 900


def start(module, *words, url="", **environment):
    """A process of its own; a URL may hold a password, so it goes by the environment."""
    return subprocess.Popen(
        [sys.executable, "-m", module, *map(str, words)],
        cwd=ROOT,
        env={**os.environ, VARIABLE: url, "PYTHONPATH": str(ROOT), **environment},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def all_done(processes):
    """What each printed; an error when one failed."""
    told = [process.communicate(timeout=PATIENCE_S) for process in processes]
    failed = [err for process, (_, err) in zip(processes, told) if process.returncode]
    assert not failed, f"{len(failed)} of {len(processes)} failed, the first with:\n{failed[0]}"
    return [out for out, _ in told]


def killed(process, lines, delay_s=0.0):
    """Lines it printed before it was killed: at least ``lines`` unless it ended by itself."""
    said = []
    while len(said) < lines and (line := process.stdout.readline()):
        said.append(line.strip())
    time.sleep(delay_s)
    process.send_signal(signal.SIGKILL)
    rest, err = process.communicate(timeout=PATIENCE_S)
    assert process.returncode in (0, -signal.SIGKILL), err
    return said + [line for line in rest.split("\n")[:-1] if line]


def count_up(store, who, count):
    """Each step reads and writes four rows that belong together, then is told."""
    from trainer.store.tables import audit, blob, course

    with store.reading() as connection:
        done = connection.execute(select(func.count()).where(audit.c.who == who)).scalar_one()
    for number in range(done + 1, count + 1):
        name = f"{who}-{number}"
        with store.writing() as connection:
            query = select(course.c.added_ms).where(course.c.id == "counter")
            before = connection.execute(query).scalar_one()
            kept = {"at_ms": before, "who": who, "what": "counted", "body": {"to": number}}
            connection.execute(insert(audit).values(**kept))
            raised = update(course).where(course.c.id == "counter").values(added_ms=before + 1)
            connection.execute(raised)
            piece = {"digest": name, "size": 0, "packed": os.urandom(20_000), "kept_ms": number}
            connection.execute(insert(blob).values(**piece))
            connection.execute(insert(course).values(id=name, name=name, added_ms=0))
        print(number, flush=True)


def main(who, count):
    from trainer.store.database import connect

    store = connect(os.environ[VARIABLE])
    count_up(store, who, int(count))
    store.close()


if __name__ == "__main__":
    main(*sys.argv[1:])
