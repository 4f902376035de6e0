"""A class in a file with the instructor's key beside it, for commands of the desk. Invented."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.classroom.handed import INSTRUCTOR, Class, class_of
from tests.store.places import blank_sqlite
from trainer.classroom.desk import Desk
from trainer.cli.main import main
from trainer.session.sealing import KEY_HEAD, written
from trainer.store.database import connect


@dataclass
class Room:
    """A store, a class in it, and commands run against them."""

    folder: Path
    desk: Desk
    made: Class

    def run(self, capsys: Any, *words: str) -> tuple[int, str, str]:
        """Exit code and what was printed."""
        capsys.readouterr()
        code = main(list(words))
        out = capsys.readouterr()
        return code, out.out, out.err

    def data(self, capsys: Any, *words: str) -> tuple[int, Any]:
        """Exit code and the JSON object."""
        code, out, _ = self.run(capsys, *words, "--json")
        return code, json.loads(out)


def room(tmp_path: Path, monkeypatch: Any, learners: Any, **terms: Any) -> Room:
    """Opened by commands through the environment, as on a desk of one's own."""
    folder = tmp_path / "store"
    folder.mkdir(mode=0o700)
    path = blank_sqlite(folder)
    monkeypatch.setenv("CONDENSER_BENCH_STORE", str(path))
    monkeypatch.setenv("CONDENSER_BENCH_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("CONDENSER_BENCH_WHO", "A. Invented")
    keys = tmp_path / "data" / "keys"
    keys.mkdir(parents=True, mode=0o700)
    secret = INSTRUCTOR.private_bytes_raw().hex()
    (keys / "instructor.key").write_text(written(KEY_HEAD, secret), encoding="ascii")
    import secrets
    import time

    store = connect(f"sqlite:///{path}")
    desk = Desk(store, "instructor", time.time_ns() // 1_000_000, secrets.token_bytes)
    day = 86_400_000
    now = {
        "opens_ms": desk.now_ms - day, "due_ms": desk.now_ms + day,
        "closes_ms": desk.now_ms + 2 * day, "made_ms": desk.now_ms - 2 * day,
    }  # fmt: skip
    return Room(tmp_path, desk, class_of(desk, learners, **{**now, **terms}))
