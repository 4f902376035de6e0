"""Two attempts at one job side by side, as plain data and as text.

Knows marks and starts; judges nothing anew. Refuses attempts at different jobs.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from trainer.assess.marks import DOMAINS, Domain, Finding, Mark
from trainer.assess.showing import floored
from trainer.base.errors import TrainerError, quoted
from trainer.base.retold import again, spelt
from trainer.base.tongue import capital, term, tr
from trainer.report.page import digest, title_of, verdict_of
from trainer.report.starts import Start, starts_of
from trainer.report.text import wrapped
from trainer.session.events import Event
from trainer.session.log import Attempt
from trainer.session.text import clock

NONE = "none"
#: Readings told of each attempt.
READINGS_MOST = 40


@dataclass(frozen=True)
class Pair:
    """A row: what it is, and how it was in the first and in the second attempt."""

    name: str
    a: str
    b: str

    @property
    def same(self) -> bool:
        return self.a == self.b

    def as_data(self) -> dict[str, Any]:
        return {"name": self.name, "a": self.a, "b": self.b, "same": self.same}


@dataclass(frozen=True)
class Compared:
    """``parts`` are titled groups of rows in the order in which they are read."""

    title: str
    names: tuple[str, str]
    parts: tuple[tuple[str, tuple[Pair, ...]], ...]
    footer: str


def compared(a: tuple[Mark, Attempt], b: tuple[Mark, Attempt], names: tuple[str, str]) -> Compared:
    """Raises TrainerError when the two are not attempts at one scenario."""
    one, other = a[0].subject, b[0].subject
    if one.scenario != other.scenario:
        what = f"{names[0]} is of {quoted(one.scenario)}, {names[1]} of {quoted(other.scenario)}"
        raise TrainerError(what, hint="compare two attempts at one scenario")
    parts = (
        ("Verdict", _verdict(a[0], b[0])),
        ("Critical errors", _critical(a[0], b[0])),
        ("Domains", _domains(a[0], b[0])),
        ("Findings that differ", _findings(a[0], b[0])),
        ("Starts", _starts(starts_of(a[1].events), starts_of(b[1].events))),
        ("Readings", _readings(a[1].events, b[1].events)),
        ("Times", _times(a[1].events, b[1].events)),
    )
    footer = f"{one.scenario} · {names[0]} {digest(one)} · {names[1]} {digest(other)}"
    return Compared(one.title or one.scenario, names, parts, footer)


def _verdict(a: Mark, b: Mark) -> tuple[Pair, ...]:
    both = (a, b)
    return (
        _pair("Verdict", *(verdict_of(m) for m in both)),
        _pair("Total", *(f"{floored(m.total, m.cut)} of 100" for m in both)),
        _pair("Cut to pass", *(floored(m.cut, m.cut) for m in both)),
        _pair("Ended", *(m.ended for m in both)),
        _pair("Learner", *(m.subject.learner or "no name" for m in both)),
        _pair("Seed", *(str(m.subject.seed) for m in both)),
        _pair("Mode", *(m.subject.mode or "not said" for m in both)),
        _pair("Hints", *(str(sum(n.kind == "hint" for n in m.notes)) for m in both)),
    )


def _pair(name: str, a: str, b: str) -> Pair:
    return Pair(name, a, b)


def _critical(a: Mark, b: Mark) -> tuple[Pair, ...]:
    titles = {c.code: c.title for m in (a, b) for c in m.critical}
    counts = [{c.code: len(c.evidence.events) for c in m.critical} for m in (a, b)]
    return tuple(
        Pair(f"{code} {again(titles[code])}", *(_times_told(count.get(code)) for count in counts))
        for code in sorted(titles, key=lambda c: (len(c), c))
    )


def _times_told(count: int | None) -> str:
    if count is None:
        return NONE
    return "once" if count <= 1 else f"{count} times"


def _domains(a: Mark, b: Mark) -> tuple[Pair, ...]:
    rows = []
    for name, title in DOMAINS.items():
        told = [_score(m, name) for m in (a, b)]
        if told != ["not used", "not used"]:
            rows.append(Pair(title, *told))
    return tuple(rows)


def _score(m: Mark, name: Domain) -> str:
    found = next((d for d in m.domains if d.name == name), None)
    return f"{floored(found.percent, found.floor)} %" if found else "not used"


def _findings(a: Mark, b: Mark) -> tuple[Pair, ...]:
    """Items whose outcome or share is not the same in both."""
    first, second = ({f.rule: f for d in m.domains for f in d.findings} for m in (a, b))
    rows = []
    for rule in dict.fromkeys([*first, *second]):
        one, other = first.get(rule), second.get(rule)
        if one is None or other is None or (one.outcome, one.share) != (other.outcome, other.share):
            rows.append(Pair(title_of(one or other), _outcome(one), _outcome(other)))  # type: ignore[arg-type]
    return tuple(rows)


def _outcome(f: Finding | None) -> str:
    if f is None:
        return "not judged"
    if f.sentence.lower().startswith(f.outcome):
        return capital(again(f.sentence))
    return capital(f"{again(f.outcome)}: {again(f.sentence)}")


def _starts(a: Sequence[Start], b: Sequence[Start]) -> tuple[Pair, ...]:
    most = max(len(a), len(b))
    return tuple(
        Pair(f"Start {n + 1}", *(_start(found[n] if n < len(found) else None) for found in (a, b)))
        for n in range(most)
    )


def _start(s: Start | None) -> str:
    if s is None:
        return NONE
    speed = f"90 % speed in {s.to_speed_s:.2f} s" if s.to_speed_s else "90 % speed not reached"
    return f"{s.said}; {s.peak_a:.0f} A at its peak; {speed}"


def _readings(a: Sequence[Event], b: Sequence[Event]) -> tuple[Pair, ...]:
    """Readings of both by the points they were taken at, in the order of the first."""
    first, second = _taken(a), _taken(b)
    keys = list(dict.fromkeys([*first, *second]))[:READINGS_MOST]
    told = [(k, *("; ".join(found.get(k, [NONE])) for found in (first, second))) for k in keys]
    return tuple(Pair(*row) for row in told)


def _taken(events: Iterable[Event]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for e in events:
        if e.kind == "read":
            places = " and ".join(map(str, e.data["leads"].values()))
            name = f"{term('setting', e.data['setting'])}, {spelt(places)}"
            found.setdefault(name, []).append(str(e.data["shown"]["text"] or "nothing"))
    return found


def _times(a: Sequence[Event], b: Sequence[Event]) -> tuple[Pair, ...]:
    both = (a, b)
    rows = [_pair("Bench time", *(clock(e[-1].at_ms) if e else NONE for e in both))]
    for name, kind in (("First start", "start"), ("Declared dead", "declared")):
        at = [next((clock(e.at_ms) for e in events if e.kind == kind), NONE) for events in both]
        rows.append(Pair(name, *at))
    return tuple(rows)


def as_data(c: Compared) -> dict[str, Any]:
    return {
        "title": c.title, "attempts": list(c.names),
        "parts": {
            title.lower().replace(" ", "_"): [r.as_data() for r in rows] for title, rows in c.parts
        },
    }  # fmt: skip


def lines_of(c: Compared) -> list[str]:
    """As text: what is the same on one line, what differs on two."""
    title = tr("{title}: two attempts", title=again(c.title))
    lines = [title, f"  A  {c.names[0]}", f"  B  {c.names[1]}"]
    for part, rows in c.parts:
        lines += ["", again(part).upper()] + ([] if rows else [tr("  none in either")])
        for row in rows:
            name, a, b = (again(text) for text in (row.name, row.a, row.b))
            if row.same:
                lines += wrapped(tr("{name}: {a} (both)", name=name, a=a), "      ", "  = ")
            else:
                lines += wrapped(name, "      ", "  ~ ")
                lines += wrapped(a, " " * 9, "      A  ")
                lines += wrapped(b, " " * 9, "      B  ")
    return lines
