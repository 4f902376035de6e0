"""A learner's own book of assignments on this machine: opened, sat at, handed in, received.

One folder for each assignment, named by its id; the book is lines added and forced to disk, never
changed. A lost book is no drama: the instructor sees two beginnings of one attempt. Knows its
folder; must read no clock.
"""

from __future__ import annotations

import json
import os
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from trainer.base.errors import TrainerError
from trainer.exchange.handin import UUID, Opened, Sitting

BOOK = "book.jsonl"
ASSIGNMENT = "assignment"


@dataclass(frozen=True)
class Ledger:
    """The book of one assignment and one learner."""

    folder: Path
    learner_id: str

    @property
    def book(self) -> Path:
        return self.folder / BOOK

    def attempt_path(self, no: int) -> Path:
        return self.folder / f"attempt-{no}.attempt"

    def handin_path(self, no: int) -> Path:
        return self.folder / f"attempt-{no}.handin"

    def receipt_path(self, no: int) -> Path:
        return self.folder / f"attempt-{no}.receipt"

    def note(self, kind: str, **what: Any) -> None:
        """A line, on disk when this returns. Raises TrainerError."""
        row = {"kind": kind, "learner": self.learner_id, **what}
        try:
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            with open(self.book, "a", encoding="ascii") as file:
                file.write(json.dumps(row, sort_keys=True) + "\n")
                file.flush()
                os.fsync(file.fileno())
        except OSError as error:
            raise TrainerError(
                f"the book of this assignment cannot be written: {error.strerror}", str(self.book)
            ) from None

    def rows(self) -> list[dict[str, Any]]:
        """This learner's lines; one cut short by a crash is passed over."""
        try:
            lines = self.book.read_text(encoding="ascii", errors="replace").splitlines()
        except OSError:
            return []
        found = []
        for line in lines:
            try:
                row = json.loads(line)
            except ValueError:
                continue
            if isinstance(row, dict) and row.get("learner") == self.learner_id:
                found.append(row)
        return found

    def openings(self) -> list[Opened]:
        return [
            Opened(int(r["no"]), str(r["opening"]), int(r["at_ms"]))
            for r in self.rows()
            if r["kind"] == "opened"
        ]

    def under_way(self) -> int | None:
        """The attempt that was begun and not handed in, or None."""
        rows = self.rows()
        handed = {r["no"] for r in rows if r["kind"] == "handed in"}
        begun = [r["no"] for r in rows if r["kind"] == "opened" and r["no"] not in handed]
        return begun[-1] if begun else None

    def used(self) -> int:
        return max((o.no for o in self.openings()), default=0)

    def latest_ms(self) -> int:
        """The latest time in the book: a clock before it was set back."""
        times = [int(v) for r in self.rows() for k, v in r.items() if k in ("at_ms", "end_ms")]
        return max(times, default=0)

    def sittings(self, no: int) -> list[Sitting]:
        """From the lines about sitting down and getting up."""
        found: dict[str, Sitting] = {}
        for row in self.rows():
            if row.get("no") != no:
                continue
            if row["kind"] == "sat down":
                found[row["sitting"]] = Sitting(row["at_ms"], row["at_ms"], None)
            elif row["kind"] == "got up" and row["sitting"] in found:
                start = found[row["sitting"]].start_ms
                found[row["sitting"]] = Sitting(start, row["end_ms"], row["elapsed_ms"])
        return list(found.values())


def ledger_of(root: Path, assignment_id: str, learner_id: str) -> Ledger:
    """The book of a checked id: it becomes a folder's name."""
    if re.fullmatch(UUID, assignment_id) is None:
        raise TrainerError("this is no id of an assignment")
    return Ledger(root / assignment_id, learner_id)


def assignments_in(root: Path) -> list[Path]:
    """Assignment files kept in the book's folders, by name of folder."""
    if not root.is_dir():
        return []
    found = (f / ASSIGNMENT for f in sorted(root.iterdir()) if re.fullmatch(UUID, f.name))
    return [path for path in found if path.is_file()]
