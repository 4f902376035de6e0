"""Rows of the gathered evidence as pieces of text with their source. Knows columns, no meaning."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from trainer.base.tongue import term
from trainer.classroom import zones
from trainer.classroom.evidence import Evidence, Line
from trainer.classroom.gradebook import CHANGED, NO, YES
from trainer.classroom.moderating import REASONS
from trainer.classroom.stamps import iso
from trainer.report.cited import Cell, Said, listed
from trainer.store import tables as t

#: Columns that hold a code of ours rather than a sentence, and every code of them.
CODED = {
    "verdict", "late_rule", "counting", "seeds", "feedback", "releases", "level", "field", "role",
    "reason_code",
}  # fmt: skip
CODES = (
    "pass", "fail", *t.LATE_RULES, *t.COUNTING, *t.SEEDS, *t.LEVELS, *t.RELEASES, *t.FIELDS,
    "learner", "instructor", *REASONS, YES, CHANGED, NO,
)  # fmt: skip


def coded(word: object) -> str:
    """A code in the language spoken."""
    return term("code", str(word))


class Rows:
    """Pieces of the rows of one attempt."""

    def __init__(self, e: Evidence) -> None:
        self.e = e
        self.zone = str(e.assignment["zone"])

    def source(self, table: str, row: Line, column: str, pointer: str = "") -> str:
        key = row["id"] if "id" in row else row["n"]
        return f"row/{table}/{key}/{column}" + (f"/{pointer}" if pointer else "")

    def said(self, table: str, row: Line, column: str, style: str = "text") -> Said:
        text = coded(row[column]) if column in CODED else str(row[column])
        return Said(text, self.source(table, row, column), style)

    def cell(self, table: str, column: str, inside: str = "") -> Cell:
        """A column of the attempt's own row in a table; ``inside`` a column that holds JSON."""
        row: Line = getattr(self.e, table)
        if inside:
            value = row[inside][column]
            return (Said(str(value), self.source(table, row, inside, column)),)
        return (self.said(table, row, column),)

    def at(self, ms: int) -> str:
        return zones.shown(ms, self.zone)

    def moment(self, table: str, column: str) -> Cell:
        return self.moment_of(table, getattr(self.e, table), column)

    def moment_of(self, table: str, row: Line, column: str) -> Cell:
        ms = row[column]
        return (Said(self.at(ms), self.source(table, row, column), "moment", "", iso(ms)),)

    def body(self, pointer: str) -> Cell:
        """A place in the grade's body."""
        found: Any = self.e.grade["body"]
        for part in pointer.split("/"):
            found = found[int(part)] if isinstance(found, list) else found[part]
        return (Said(str(found), self.source("grade", self.e.grade, "body", pointer)),)

    def rubric(self, pointer: str, value: object) -> Cell:
        return (Said(str(value), f"rubric/{pointer}"),)

    def events(self, numbers: Iterable[int]) -> Cell:
        return listed([(Said(str(n), f"event/{n}/seq"),) for n in dict.fromkeys(numbers)])

    def name(self) -> Cell:
        p = self.e.person
        said = [self.said("person", p, c) for c in ("given_name", "family_name") if p[c]]
        named = listed([(s,) for s in said], " ")
        return (*named, Said(" (" if said else ""), self.said("person", p, "learner_id"),
                Said(")" if said else ""))  # fmt: skip
