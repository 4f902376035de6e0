"""Writes a filled store of the present revision as SQL text, and reads one again.

    python -m tests.store.dump

To be run once, in the commit that adds the revision; a dump is never written anew later. What is in
it is invented.
"""

import sqlite3
import tempfile
from pathlib import Path

from tests.store.rows import fill
from trainer.store.database import connect
from trainer.store.schema import HEAD
from trainer.store.upgrading import upgrade

DUMPS = Path(__file__).with_name("dumps")


def write() -> Path:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "class.db"
        store = connect(f"sqlite:///{path}")
        upgrade(store)
        with store.writing() as connection:
            fill(connection, "a")
            fill(connection, "b")
        store.close()
        with sqlite3.connect(path) as connection:
            text = "\n".join(connection.iterdump()) + "\n"
    target = DUMPS / f"{HEAD}.sql"
    target.write_text(text, encoding="utf-8")
    return target


def load(revision, path) -> Path:
    """A SQLite file of that revision."""
    with sqlite3.connect(path) as connection:
        connection.executescript((DUMPS / f"{revision}.sql").read_text(encoding="utf-8"))
    return path


if __name__ == "__main__":
    DUMPS.mkdir(exist_ok=True)
    print(write())
