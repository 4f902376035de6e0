"""What happened as xAPI statements (IEEE 9274.1.1): an array that a record store can take in.

No name, id of a learner or e-mail is in them: an actor is an opaque account. A statement's id is a
UUID of version 5 (RFC 9562) of the attempt's digest, the verb and the revision, so that a second
export gives the same ones, and a result that was replaced is voided, not changed. Knows rows;
must know no record store.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from sqlalchemy import Connection, Row, func, select

from trainer import __version__
from trainer.base.errors import UsageError, quoted
from trainer.classroom.stamps import duration, iso
from trainer.classroom.standing import Effective, effective
from trainer.store import tables as t

ADL = "http://adlnet.gov/expapi"
#: Verbs by name: cmi5's, and voided of xAPI itself.
VERBS = {v: f"{ADL}/verbs/{v}" for v in ("initialized", "completed", "passed", "failed", "voided")}
#: Where accounts and activities are named; a name of RFC 2606 until a school gives its own.
HOME = "https://condenser-bench.example"
HOME_MOST = 200

Statement = dict[str, Any]


@dataclass(frozen=True)
class Result:
    """A result that was shown; with verdict "" the moment from which nothing is shown.

    ``key`` tells it from any other result of the attempt.
    """

    key: str
    at_ms: int
    total: Fraction = Fraction(0)
    verdict: str = ""
    critical: tuple[str, ...] = ()
    rubric_digest: str = ""


def statements(
    connection: Connection, assignment: Row[Any], now_ms: int, home: str = HOME
) -> list[Statement]:
    """Every attempt's statements, attempts in order of time; results only as they were shown.

    Raises UsageError for a home that is no address.
    """
    checked(home)
    scenario = connection.execute(
        select(t.scenario).where(t.scenario.c.id == assignment.scenario_id)
    ).one()
    a = t.attempt.c
    rows = select(t.attempt).where(a.assignment_id == assignment.id).order_by(a.started_ms, a.id)
    found: list[Statement] = []
    for attempt in connection.execute(rows).all():
        told = Teller(assignment, scenario, attempt, home.rstrip("/"))
        found += told.told(results_of(connection, assignment, attempt.id, now_ms))
    return found


#: Signs that no address of an activity may hold.
_NO_SIGNS = frozenset(' <>"{}|\\^`?#')


def checked(home: str) -> None:
    """Raises UsageError unless it can begin an IRI of the web."""
    scheme, _, rest = home.partition("://")
    plain = home.isprintable() and len(home) <= HOME_MOST and not _NO_SIGNS & set(home)
    if scheme not in ("https", "http") or not rest.strip("/") or not plain:
        hint = "such as https://training.example.org"
        raise UsageError(f"{quoted(home)} is no address of the web", hint=hint)


def results_of(
    connection: Connection, assignment: Row[Any], attempt_id: str, now_ms: int
) -> list[Result]:
    """What was shown, in order, each change once."""
    r = t.release.c
    rows = select(t.release).where(r.attempt_id == attempt_id).order_by(r.made_ms, r.id)
    released = connection.execute(rows).all()
    until = released[0].made_ms if released else now_ms + 1
    found = _by_rule(connection, assignment, attempt_id, until)
    for row in released:
        mark = effective(connection, attempt_id, row.made_ms)
        if row.level == "none":
            found.append(Result("withheld", row.made_ms))
        elif mark is not None:
            total = Fraction(row.total)
            found.append(_result(mark, row.made_ms, total, row.verdict))
    return _changes(found)


def _by_rule(
    connection: Connection, assignment: Row[Any], attempt_id: str, until_ms: int
) -> list[Result]:
    """What the assignment's own rule showed before anybody released anything by hand."""
    if assignment.releases == "manual" or assignment.feedback == "none":
        return []
    g = t.grade.c
    first = connection.scalar(select(func.min(g.made_ms)).where(g.attempt_id == attempt_id))
    opens = assignment.release_ms if assignment.releases == "at-time" else 0
    if first is None or opens is None or max(opens, first) >= until_ms:
        return []
    mark = effective(connection, attempt_id, max(opens, first))
    return [_result(mark, max(opens, first), mark.total, mark.verdict)] if mark else []


def _result(mark: Effective, at_ms: int, total: Fraction, verdict: str) -> Result:
    said = f"{total.numerator}/{total.denominator} {verdict} {' '.join(mark.critical)}"
    key = f"{mark.revision}|{said}"
    return Result(key, at_ms, total, verdict, mark.critical, mark.rubric_digest)


def _changes(found: Iterable[Result]) -> list[Result]:
    """Without results that say what the one before them said; the same again later is numbered."""
    kept: list[Result] = []
    bare: list[str] = []
    for result in found:
        if bare and bare[-1] == result.key:
            continue
        times = bare.count(result.key)
        bare.append(result.key)
        kept.append(replace(result, key=f"{result.key}#{times}") if times else result)
    return kept


@dataclass(frozen=True)
class Teller:
    """Statements of one attempt."""

    assignment: Row[Any]
    scenario: Row[Any]
    attempt: Row[Any]
    home: str

    def told(self, results: Iterable[Result]) -> list[Statement]:
        """Begun, handed in, then results, each voided where another took its place.

        Times are the learner's claim, never later than what was received.
        """
        a = self.attempt
        began = min(a.started_ms, a.received_ms)
        ended = max(began, min(a.ended_ms, a.received_ms))
        return [
            self._statement("initialized", "", began, {}),
            self._statement("completed", "", ended, self._took({"completion": True})),
            *self._results(results, ended),
        ]

    def _results(self, results: Iterable[Result], ended: int) -> Iterator[Statement]:
        before: Statement | None = None
        for result in results:
            at_ms = max(result.at_ms, ended)
            if before is not None:
                yield self._voided(before, at_ms)
                before = None
            if not result.verdict:
                continue
            verb = "passed" if result.verdict == "pass" else "failed"
            before = self._statement(verb, result.key, at_ms, self._scored(result))
            yield before

    def _scored(self, result: Result) -> dict[str, Any]:
        total = float(result.total)
        extensions = {
            f"{self.home}/ext/critical": list(result.critical),
            f"{self.home}/ext/rubric": f"sha256:{result.rubric_digest}",
        }
        score = {"scaled": round(total / 100.0, 6), "raw": round(total, 4), "min": 0, "max": 100}
        passed = {"score": score, "success": result.verdict == "pass"}
        return self._took({**passed, "extensions": extensions})

    def _took(self, result: dict[str, Any]) -> dict[str, Any]:
        return {**result, "duration": duration(self.attempt.ended_ms - self.attempt.started_ms)}

    def _statement(self, verb: str, key: str, at_ms: int, result: Mapping[str, Any]) -> Statement:
        told: Statement = {
            "id": self._id(verb, key), "timestamp": iso(at_ms), "actor": self._actor(),
            "verb": _verb(verb), "object": self._activity(),
        }  # fmt: skip
        if result:
            told["result"] = dict(result)
        return {**told, "context": self._context()}

    def _voided(self, before: Statement, at_ms: int) -> Statement:
        """The earlier result is taken back; its statement stays as it is."""
        return {
            "id": self._id("voided", before["id"]), "timestamp": iso(at_ms),
            "actor": self._assessor(), "verb": _verb("voided"),
            "object": {"objectType": "StatementRef", "id": before["id"]},
        }  # fmt: skip

    def _id(self, verb: str, key: str) -> str:
        return uuid5(SPACE, f"{self.attempt.attempt_digest}|{verb}|{key}")

    def _actor(self) -> dict[str, Any]:
        """The account is the person's number in the store, which nobody draws at random twice."""
        name = uuid5(SPACE, f"person|{self.attempt.person_id}")
        account = {"homePage": f"{self.home}/learners", "name": name}
        return {"objectType": "Agent", "account": account}

    def _assessor(self) -> dict[str, Any]:
        """Who takes a result back: the programme, not the learner."""
        account = {"homePage": f"{self.home}/programme", "name": "assessor"}
        return {"objectType": "Agent", "account": account}

    def _activity(self) -> dict[str, Any]:
        return {
            "objectType": "Activity", "id": f"{self.home}/scenario/{_slug(self.scenario.name)}",
            "definition": {
                "type": f"{ADL}/activities/assessment", "name": {"en-US": self.scenario.title},
            },
        }  # fmt: skip

    def _context(self) -> dict[str, Any]:
        parent = {"objectType": "Activity", "id": f"{self.home}/assignment/{self.assignment.id}"}
        return {
            "registration": uuid5(SPACE, f"attempt|{self.attempt.id}"),
            "platform": f"condenser-bench {__version__}", "language": "en-US",
            "contextActivities": {"parent": [parent]},
            "extensions": {
                f"{self.home}/ext/attempt": self.attempt.no,
                f"{self.home}/ext/scenario": f"sha256:{self.scenario.digest}",
            },
        }  # fmt: skip


def _verb(verb: str) -> dict[str, Any]:
    return {"id": VERBS[verb], "display": {"en-US": verb}}


def _slug(name: str) -> str:
    """A scenario's name in an IRI: whatever is no plain sign becomes a dash."""
    return "".join(c if c.isascii() and (c.isalnum() or c in "-._") else "-" for c in name)


def uuid5(space: str, name: str) -> str:
    """A UUID of version 5 (RFC 9562, 5.5): SHA-1 of the namespace's bytes and the name."""
    made = hashlib.sha1(
        bytes.fromhex(space.replace("-", "")) + name.encode(), usedforsecurity=False
    )
    drawn = bytearray(made.digest()[:16])
    drawn[6], drawn[8] = drawn[6] & 0x0F | 0x50, drawn[8] & 0x3F | 0x80
    text = drawn.hex()
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))


#: The namespace of these ids, made of an address under the namespace of URLs (RFC 9562, 6.6).
SPACE = uuid5("6ba7b811-9dad-11d1-80b4-00c04fd430c8", f"{HOME}/xapi")
