"""The rest of an attempt's record as parts of a page: changes, terms, times, digests.

Knows rows and their columns; judges nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from trainer.assess.showing import floored
from trainer.base.tongue import later
from trainer.classroom.evidence import Line
from trainer.classroom.stamps import iso
from trainer.report.cited import (
    Cell,
    Facts,
    Lines,
    Part,
    Said,
    Table,
    down,
    joined,
    listed,
    phrase,
    plain,
)
from trainer.report.class_rows import Rows, coded

NONE = "None."


def changes(r: Rows) -> Iterable[Part]:
    """Revisions, overrides, ratings, releases and the trail, each as it was written then."""
    e = r.e
    yield _table(
        r, "Grades, every revision kept", "grade", e.grades,
        (("Revision", "revision"), ("Total", "total"), ("Cut to pass", "cut"),
         ("Verdict", "verdict"), ("Scorer", "scorer"), ("Why", "why"), ("By", "made_by"),
         ("At", "made_ms")),
    )  # fmt: skip
    yield _table(
        r, "Overrides, none of them ever changed", "override", e.overrides,
        (("Field", "field"), ("From", "old"), ("To", "new"), ("Taken back", "undone"),
         ("Reason", "reason"), ("Code", "reason_code"), ("By", "made_by"), ("Second", "second"),
         ("At", "made_ms")),
    )  # fmt: skip
    if e.mark.notes:
        yield Lines(tuple(_note(r, n, note) for n, note in enumerate(e.mark.notes)))
    yield _table(
        r, "Ratings by markers, two being borderline", "rating", e.ratings,
        (("Rating", "rating"), ("Verdict", "verdict"), ("By", "made_by"), ("At", "made_ms")),
    )  # fmt: skip
    yield _table(
        r, "What the learner was shown", "release", e.releases,
        (("Level", "level"), ("Total", "total"), ("Verdict", "verdict"), ("By", "made_by"),
         ("At", "made_ms")),
    )  # fmt: skip
    yield Facts((("The learner is shown now", _shown(r)),))
    yield _table(
        r, "The trail of this attempt", "audit", e.trail,
        (("No.", "n"), ("What", "what"), ("By", "who"), ("At", "at_ms")),
    )  # fmt: skip


def _shown(r: Rows) -> Cell:
    """What the gate lets through as the page is made."""
    told = r.e.shown
    if not told.released or told.total is None or told.cut is None:
        return plain("nothing of this mark.")
    since = Said(r.at(told.at_ms), "shown/at_ms", "moment", "", iso(told.at_ms))
    total = Said(floored(told.total, told.cut), "shown/total", "shown:shown/cut")
    text = later(
        "{total!s}, {verdict!s}, at the level {level!s}, by the assignment's own rule, since {at!s}"
    )
    if r.e.releases:
        text = later("{total!s}, {verdict!s}, at the level {level!s}, since {at!s}")
    return phrase(text, total=(total,), verdict=coded(told.verdict),
                  level=coded(told.level), at=(since,))  # fmt: skip


def _note(r: Rows, n: int, note: str) -> Cell:
    return (Said(note, f"note/{n}"),)


def _table(
    r: Rows, caption: str, table: str, rows: Iterable[Line], columns: Iterable[tuple[str, str]]
) -> Part:
    """A table of rows; a line that says there is none."""
    rows, columns = list(rows), list(columns)
    if not rows:
        return Facts(((caption, plain(NONE)),))
    filled = [c for c in columns if any(row[c[1]] not in ("", None, 0) for row in rows)]
    cells = tuple(tuple(_cell(r, table, row, column) for _, column in filled) for row in rows)
    return Table(plain(caption), tuple(head for head, _ in filled), cells, (), "record")


def _cell(r: Rows, table: str, row: Line, column: str) -> Cell:
    if column == "undone":
        return plain(coded("yes" if row[column] else "no"))
    fraction = column in ("total", "cut") or (column in ("old", "new") and row["field"] == "total")
    if fraction and "/" in str(row[column]):
        return _fraction(r, table, row, column)
    if column.endswith("_ms"):
        return r.moment_of(table, row, column)
    return (r.said(table, row, column),)


def _fraction(r: Rows, table: str, row: Line, column: str) -> Cell:
    value = Fraction(row[column])
    return (Said(down(value), r.source(table, row, column), "down", "", str(value)),)


def terms(r: Rows) -> Iterable[Part]:
    """What was agreed before the first act, and how the cut came to be."""
    e, a = r.e, r.e.assignment
    rubric: Mapping[str, Any] = e.rubric["body"]
    yield Facts((
        ("Exercise", joined(r.cell("scenario", "title"), " (", r.cell("scenario", "name"), ")")),
        ("Opened", r.moment("assignment", "opens_ms")),
        ("Due", r.moment("assignment", "due_ms")),
        ("Closed", r.moment("assignment", "closes_ms")),
        ("Grace", joined(r.cell("assignment", "grace_min"), " min")),
        ("Lateness by", r.cell("assignment", "late_rule")),
        ("Attempts", phrase(later("{n!s}, counting the {which!s}"),
                            n=r.cell("assignment", "attempts"),
                            which=r.cell("assignment", "counting"))),
        *([("Time", joined(r.cell("assignment", "time_s"), " s"))] if a["time_s"] else []),
        ("Seeds", r.cell("assignment", "seeds")),
        ("Feedback", phrase(later("{level!s}, released {when!s}"),
                            level=r.cell("assignment", "feedback"),
                            when=r.cell("assignment", "releases"))),
        ("Rubric", joined(r.cell("rubric", "title"), ", ",
                          _short(r, "rubric", e.rubric, "digest"))),
        ("Cut to pass", phrase(later("{cut!s} of {full!s}; {how!s}"),
                               cut=r.rubric("cut", rubric["cut"]),
                               full=(Said("100", "full-marks"),), how=_cut_set(r, rubric))),
        *([("Cut of the exercise", _fraction(r, "grade", e.grade, "cut"))]
          if Fraction(str(rubric["cut"])) != e.mark.cut else []),
        ("Critical", _codes(r, rubric)),
    ))  # fmt: skip
    yield _table(
        r, "Exceptions for this learner", "assignment_exception", e.exceptions,
        (("Due", "due_ms"), ("Closes", "closes_ms"), ("Extra attempts", "extra_attempts"),
         ("Excused", "excused"), ("Reason", "reason"), ("By", "made_by"), ("At", "made_ms")),
    )  # fmt: skip


#: What stands beside a cut that was set by a method.
_SET_BY = {
    "judges": later("{n!s} judges"), "n": later("{n!s} items or learners"),
    "se": later("{n!s} points SE"),
}  # fmt: skip


def _cut_set(r: Rows, rubric: Mapping[str, Any]) -> Cell:
    """How the cut was set, or that it is provisional."""
    told = rubric.get("cut_set")
    if not told:
        return plain("provisional: nobody has set it by a method yet")
    method, date = (r.rubric(f"cut_set/{key}", told[key]) for key in ("method", "date"))
    cells = [phrase(later("set by {method!s} on {date!s}"), method=method, date=date)]
    for key, text in _SET_BY.items():
        if told.get(key) is not None:
            cells.append(phrase(text, n=r.rubric(f"cut_set/{key}", told[key])))
    return listed(cells)


def _codes(r: Rows, rubric: Mapping[str, Any]) -> Cell:
    return listed([r.rubric(f"critical/{n}", code) for n, code in enumerate(rubric["critical"])])


def when(r: Rows, code: str) -> Iterable[Part]:
    """Claimed times beside received ones, openings seen, and what was flagged."""
    e = r.e
    who = [] if code else [("Learner", r.name())]
    yield Facts((
        *who,
        ("Started, by the learner's clock", r.moment("attempt", "started_ms")),
        ("Ended, by the learner's clock", r.moment("attempt", "ended_ms")),
        ("Received", r.moment("attempt", "received_ms")),
        ("Late", joined(_minutes(r), " min")),
        ("Events", r.cell("attempt", "events")),
        ("Checked again",
         r.cell("attempt", "checked") if e.attempt["checked"] else plain(coded("no"))),
        *([("Seed", (Said(str(e.header["seed"]), "header/seed"),))] if e.header else []),
    ))  # fmt: skip
    flags = tuple(
        (Said(str(flag), r.source("attempt", e.attempt, "flags", str(n))),)
        for n, flag in enumerate(e.attempt["flags"])
    )
    if flags:
        yield Lines((plain("What was noticed; none of it fails anybody by itself:"), *flags))
    else:
        yield Facts((("What was noticed", plain("Nothing out of order.")),))
    yield _table(
        r, "Beginnings seen of this learner's attempts", "opening", e.openings,
        (("Attempt", "no"), ("Opening", "opening_id"), ("At", "opened_ms")),
    )  # fmt: skip


def _minutes(r: Rows) -> Cell:
    late = -(-r.e.attempt["late_ms"] // 60_000)
    return (Said(str(late), r.source("attempt", r.e.attempt, "late_ms"), "minutes"),)


def papers(r: Rows) -> Iterable[Part]:
    """By what the bytes are known again, and whose key signed them."""
    e = r.e
    aloud = Said(e.aloud, r.source("attempt", e.attempt, "public_key"), "aloud")
    yield Facts((
        ("Hand-in", r.cell("attempt", "file_digest")),
        ("Attempt inside it", r.cell("attempt", "attempt_digest")),
        ("Head of its chain", r.cell("attempt", "head")),
        ("Opening", r.cell("attempt", "opening_id")),
        ("Seal", plain("holds: checked again as this page was made" if e.claim
                       else "the bytes were erased at the person's wish")),
        ("Signed by the key", r.cell("attempt", "public_key")),
        ("Read aloud", (aloud,)),
        ("Scenario", joined(r.cell("scenario", "name"), ", ", r.cell("scenario", "digest"))),
        ("Rubric", r.cell("rubric", "digest")),
        ("Scorer", r.cell("grade", "scorer")),
        *([("Receipt's seal", (r.said("receipt", e.receipts[-1], "signature"),))]
          if e.receipts else [("Receipt", plain("None."))]),
    ))  # fmt: skip
    yield _table(
        r, "The key in this class", "key", e.keys,
        (("Role", "role"), ("Trusted since", "trusted_ms"), ("Note", "note")),
    )  # fmt: skip
    yield Lines((plain(
        "A signature shows which key signed and that nothing changed since. It does not show who "
        "sat at the bench."),))  # fmt: skip


def _short(r: Rows, table: str, row: Line, column: str) -> Cell:
    return (Said(str(row[column])[:12], r.source(table, row, column), "short"),)
