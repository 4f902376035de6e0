"""The worker's side of assignments: opened with the start code, sat at, sealed, receipts kept.

The clock, the timer and chance come with each request. Knows the learner's book; must know no
screen and no mark.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from itertools import count
from pathlib import Path
from typing import Any

from trainer.base.errors import TrainerError
from trainer.classroom.zones import short, shown
from trainer.exchange.assignment import Terms
from trainer.exchange.ledger import Ledger, assignments_in, ledger_of
from trainer.exchange.taking import (
    Learner,
    Sat,
    Taken,
    get_up,
    hand_in,
    keep_receipt,
    keep_release,
    load,
    send,
    sit_down,
    take,
)
from trainer.session.sealing import SUFFIX as RELEASE
from trainer.view.language import later as _
from trainer.view.language import term, tr

Data = dict[str, Any]
VERDICTS = {"pass": _("pass"), "fail": _("fail")}


class Assigned:
    """At most one assignment open, at most one attempt at it sat at."""

    def __init__(self) -> None:
        self.taken: Taken | None = None
        self.sat: Sat | None = None
        self.began_ms = 0

    def take(self, request: Mapping[str, Any]) -> Data:
        """Opens it for a learner; the card that is shown before a start."""
        path, who = Path(str(request["path"])), str(request["learner"]).strip()
        self.taken = take(_learner(request), path, who, str(request["code"]))
        return {"card": card_of(self.taken)}

    def sit(self, request: Mapping[str, Any]) -> Sat:
        if self.taken is None:
            raise TrainerError("no assignment is open", hint="open its file")
        self.sat = sit_down(_learner(request), self.taken)
        self.began_ms = int(request["mono_ms"])
        return self.sat

    def told(self) -> Data:
        """What the clipboard says of the job."""
        assert self.taken is not None
        terms = self.taken.file.terms
        found = self.taken.part.variants[self.sat.no - 1]["found"] if self.sat else {}
        return {
            "title": terms.scenario_title, "level": terms.level, "setting": terms.title,
            "briefing": str(found.get("briefing", "")), "time_s": found.get("time_s", 0),
            "readings": [], "free": False, "cut": float(terms.cut), "assignment": terms.name,
        }  # fmt: skip

    def up(self, request: Mapping[str, Any]) -> None:
        """The bench is left, whatever for."""
        if self.sat is None or self.taken is None:
            return
        elapsed = int(request.get("mono_ms", self.began_ms)) - self.began_ms
        get_up(_learner(request), self.taken.ledger, self.sat.no, self.sat.sitting, elapsed)
        self.sat = None

    def seal(self, request: Mapping[str, Any]) -> Data:
        """The hand-in of the attempt sat at. Its log is closed before."""
        if self.taken is None or self.sat is None:
            raise TrainerError("no attempt at an assignment is under way", hint="open its file")
        no, ledger = self.sat.no, self.taken.ledger
        self.up(request)
        path = hand_in(_learner(request), ledger, no, self.taken.file.terms.id)
        return {"sealed": str(path), "no": no, "left": self.taken.left}

    def give(self, request: Mapping[str, Any]) -> Data:
        """A copy of a hand-in into a folder."""
        return {"given": str(send(Path(str(request["path"])), Path(str(request["folder_to"]))))}

    def released(self, request: Mapping[str, Any]) -> Data:
        return {"opened": str(keep_release(_learner(request), Path(str(request["path"]))))}

    def marks(self, request: Mapping[str, Any]) -> Data:
        """Marks that the instructor shows: kept, told, and the attempt they open, if any."""
        from trainer.exchange.marks import keep_marks

        kept = keep_marks(_learner(request), Path(str(request["path"])))
        view = kept.marks.view
        words = tr("Attempt {n}: {verdict}, {total} of 100.", n=kept.marks.no,
                   verdict=tr(VERDICTS.get(str(view.get("verdict")), "not shown")),
                   total=view.get("total", "–"))  # fmt: skip
        told = [str(c.get("sentence", "")) for c in view.get("critical", ())][:2]
        return {"said": " ".join([words, *told]), "opened": str(kept.opened or "")}

    def receive(self, request: Mapping[str, Any]) -> Data:
        kept = keep_receipt(_learner(request), Path(str(request["path"])))
        words = tr("Attempt {n} was received, under number {who}.", n=kept.no, who=kept.learner_id)
        checked = tr("Checked: {checks}.", checks=", ".join(kept.checks)) if kept.checks else ""
        return {"said": f"{words} {checked}".strip()}


def _learner(request: Mapping[str, Any]) -> Learner:
    now = int(request["now_ms"])
    return Learner(Path(str(request["folder"])), lambda: now, _drawn(str(request["chance"])))


def _drawn(seed: str) -> Callable[[int], bytes]:
    """Chance handed in as text, stretched: SHAKE256 (FIPS 202) of it and a count."""
    calls = count()
    return lambda n: hashlib.shake_256(f"{seed}|{next(calls)}".encode()).digest(n)


def listed(folder: Path) -> list[Data]:
    """Assignments opened on this machine, with whose they are and how far. No code is needed."""
    rows: list[Data] = []
    for path in assignments_in(folder / "assignments"):
        try:
            terms = load(path).terms
        except TrainerError:
            continue
        for who in _learners(path):
            ledger = ledger_of(folder / "assignments", terms.id, who)
            rows.append(
                {"path": str(path), "learner": who, "title": terms.title,
                 "due": short(terms.due_ms, terms.zone), "used": ledger.used(),
                 "attempts": terms.attempts, "under_way": ledger.under_way() is not None,
                 "released": _released(ledger)}
            )  # fmt: skip
    return rows


def _released(ledger: Ledger) -> str:
    """The latest attempt whose debrief may be read, or ""."""
    found = [ledger.attempt_path(n) for n in range(1, ledger.used() + 1)]
    found = [p for p in found if p.with_name(p.name + RELEASE).is_file()]
    return str(found[-1]) if found else ""


def _learners(path: Path) -> list[str]:
    """Who has lines in the book beside an assignment file; the file alone is nobody's yet."""
    import json

    book = path.with_name("book.jsonl")
    found: dict[str, None] = {}
    if book.is_file():
        for line in book.read_text(encoding="ascii", errors="replace").splitlines():
            try:
                found[str(json.loads(line)["learner"])] = None
            except (ValueError, KeyError, TypeError):
                continue
    return list(found)


def card_of(taken: Taken) -> Data:
    terms, part = taken.file.terms, taken.part
    weights = ", ".join(
        f"{term('state', k)} {v}"
        + (" " + tr("(floor {n:g} %)", n=float(terms.floors[k])) if k in terms.floors else "")
        for k, v in terms.weights.items()
    )
    return {
        "title": _titled(terms), "critical": list(terms.critical),
        "left": taken.left, "under_way": taken.ledger.under_way() is not None,
        "facts": _facts(terms, taken, weights, part.due_ms, part.closes_ms),
    }  # fmt: skip


def _titled(terms: Terms) -> str:
    """The assignment's title and the job's, once where they are the same."""
    same = terms.title == terms.scenario_title
    return terms.title if same else f"{terms.title}: {terms.scenario_title}"


def _facts(
    terms: Terms, taken: Taken, weights: str, due_ms: int, closes_ms: int
) -> list[tuple[str, str]]:
    time_s = terms.time_s or int(taken.part.variants[0]["found"].get("time_s", 0))
    minutes = time_s * taken.part.accommodation / 60.0
    counts = {"best": tr("the best one counts"), "last": tr("the last one counts"),
              "first": tr("the first one counts")}[terms.counting]  # fmt: skip
    attempts = tr("{n} of {of} left; {counts}", n=taken.left, of=taken.part.attempts, counts=counts)
    return [
        (tr("Time"), f"{minutes:.0f} min"), (tr("Due"), shown(due_ms, terms.zone)),
        (tr("Closes"), shown(closes_ms, terms.zone)), (tr("Attempts"), attempts),
        (tr("Cut score"), tr("{n} of 100", n=terms.cut)), (tr("Weights"), weights),
        (tr("Hints"), ", ".join(terms.hints) or tr("none")),
    ]  # fmt: skip
