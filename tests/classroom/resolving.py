"""Walks every number of a page, resolves what it says it is from, and computes it again.

Reads the tables, the kept bytes and the rubric by itself. Knows the grammar of sources; must know
nothing of how the page is made.
"""

from __future__ import annotations

import hashlib
import json
import re
import zlib
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

import html5lib
from sqlalchemy import select

from trainer.assess.showing import floored
from trainer.classroom.releasing import shown as gate
from trainer.classroom.standing import effective
from trainer.classroom.zones import shown
from trainer.report.class_evidence import words_of
from trainer.session.events import from_line
from trainer.session.text import clock
from trainer.store import tables as t


@dataclass
class Resolver:
    """One attempt's page against its store. ``walked`` counts the numbers that were resolved."""

    connection: Any
    attempt_id: str
    printed_ms: int
    printed_by: str
    page: str
    walked: list[str] = field(default_factory=list)

    def __post_init__(self):
        c = self.connection
        row = c.execute(select(t.attempt).where(t.attempt.c.id == self.attempt_id)).one()
        mark = effective(c, self.attempt_id)
        self.notes, digest = mark.notes, mark.rubric_digest
        self.rubric = c.execute(select(t.rubric.c.body).where(t.rubric.c.digest == digest)).scalar()
        self.zone = c.execute(
            select(t.assignment.c.zone).where(t.assignment.c.id == row.assignment_id)
        ).scalar()
        packed = c.execute(select(t.blob.c.packed).where(t.blob.c.digest == row.file_digest))
        content = zlib.decompress(packed.scalar())
        assert hashlib.sha256(content).hexdigest() == row.file_digest
        lines = content.decode("ascii").splitlines()
        self.claim, self.header = json.loads(lines[0]), json.loads(lines[1])
        self.events = {e.seq: e for e in map(from_line, lines[2:-1])}
        parser = html5lib.HTMLParser(namespaceHTMLElements=False)
        self.root = parser.parse(self.page)
        self.keys = {e.attrib["id"][2:]: e for e in self.root.iter()
                     if e.attrib.get("id", "").startswith("n-")}  # fmt: skip

    def walk(self):
        """Every faulty number, told; none when all hold."""
        return list(self._faults(self.root.find("body"), None))

    def _faults(self, element, source):
        if element.tag == "style" or not isinstance(element.tag, str):
            return
        source = element if "data-from" in element.attrib else source
        texts = [element.text or "", *((child.tail or "") for child in element)]
        if any(re.search(r"\d", text) for text in texts):
            yield from self._fault(element, source)
        for child in element:
            yield from self._faults(child, source)

    def _fault(self, element, source):
        said = "".join(element.itertext()).strip()
        if source is None:
            yield f"no source: {said!r}"
            return
        origin, style = source.attrib["data-from"], source.attrib.get("data-as", "text")
        text = "".join(source.itertext())
        again = self.written(self.value(origin), style)
        self.walked.append(origin)
        if again != text:
            yield f"{origin}: the page says {text!r}, it is {again!r}"

    def written(self, value, style):
        if style.startswith("shown:"):
            return floored(exact(value), exact(self.value(style[6:])))
        return {
            "text": str, "down": two_digits, "clock": clock, "short": lambda v: v[:12],
            "trim": lambda v: two_digits(v).rstrip("0").rstrip("."),
            "moment": lambda v: shown(v, self.zone), "minutes": lambda v: str(-(-v // 60_000)),
            "aloud": aloud, "place": place,
        }[style](value)  # fmt: skip

    def value(self, source):
        if source.startswith("#"):
            return self.value(self.keys[source[1:]].attrib["data-from"])
        formula = re.fullmatch(r"(\w+)\((.*)\)", source)
        if formula:
            inputs = [self.value(part) for part in filter(None, formula[2].split("; "))]
            return FORMULAS[formula[1]](*map(exact, inputs))
        kind, _, rest = source.partition("/")
        return getattr(self, f"_{kind.replace('-', '_')}")(rest)

    def _full_marks(self, rest):
        return 100

    def _row(self, rest):
        table, key, column, *inside = rest.split("/")
        where = t.metadata.tables[table]
        own = where.c.n == int(key) if table == "audit" else where.c.id == key
        row = self.connection.execute(select(where).where(own)).mappings().one()
        return inner(row[column], inside)

    def _rubric(self, rest):
        return inner(self.rubric, rest.split("/"))

    def _place(self, rest):
        inner(self.rubric, rest.split("/"))
        return rest

    def _event(self, rest):
        number, *inside = rest.split("/")
        event = self.events[int(number)]
        if inside[0] == "data":
            return inner(event.data, inside[1:])
        return {"seq": event.seq, "at": event.at_ms, "told": words_of(event)}[inside[0]]

    def _header(self, rest):
        return self.header[rest]

    def _note(self, rest):
        return self.notes[int(rest)]

    def _shown(self, rest):
        return getattr(gate(self.connection, self.attempt_id, self.printed_ms), rest)

    def _printed(self, rest):
        return {"now": self.printed_ms, "who": self.printed_by}[rest]


def inner(value, pointer):
    for part in pointer:
        part = part.replace("~1", "/").replace("~0", "~")
        value = value[int(part)] if isinstance(value, list) else value[part]
    return value


def exact(value):
    return value if isinstance(value, Fraction) else Fraction(str(value))


def two_digits(value):
    whole = (exact(value) * 100).__floor__()
    return f"{whole // 100}.{whole % 100:02d}"


def aloud(public):
    digest = hashlib.sha256(bytes.fromhex(public)).hexdigest()
    return " ".join(digest[n : n + 4] for n in range(0, 20, 4))


def place(pointer):
    parts = pointer.removesuffix("/weight").replace("~1", "\0").split("/")
    words = [str(int(p) + 1) if p.isdigit() else p for p in parts]
    return " ".join(words).replace("\0", "/").replace("~0", "~")


def over(most, at_ms, allowed_s, factor=Fraction(1)):
    late = max(Fraction(0), at_ms / (1000 * allowed_s * factor) - 1)
    return most * min(Fraction(1), late)


FORMULAS = {
    "sum": lambda *xs: sum(xs, Fraction(0)),
    "product": lambda a, b: a * b,
    "of": lambda a, b, c: a * b / c,
    "left": lambda a, b, c: max(Fraction(0), a - b - c),
    "over": over,
}
