"""Pages of invented classes of several sizes, and of one attempt. Knows how they are made."""

from atexit import register
from contextlib import ExitStack, contextmanager
from functools import cache
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.classroom.invented import MINUTE, T0, TWELVE, filled
from tests.store.places import blank_sqlite
from trainer.base.tongue import speaking
from trainer.classroom.assigning import assignment_of
from trainer.classroom.desk import Desk
from trainer.classroom.evidence import evidence
from trainer.classroom.figures import figures
from trainer.report.class_evidence import paper
from trainer.report.class_html import class_page, evidence_page
from trainer.report.class_report import by_code, report
from trainer.store.database import connect

SEEN = ("right", "other-order", "no-own-lock", "tester-not-reproved", "dead-at-once",
        "nothing-on-dc", "no-gloves", "second-supply-forgotten", "safe-and-nothing-handed-over",
        "thumb-before-the-pull-out")  # fmt: skip
CLASSES = {
    "class-0": (), "class-1": (("no-gloves",),), "class-12": TWELVE,
    "class-16": tuple((SEEN[n % len(SEEN)],) for n in range(16)),
}  # fmt: skip
PRINTED_MS = T0 + 90 * 24 * 60 * MINUTE


@contextmanager
def class_of(ways):
    """A desk on a store with that class, for as long as it is looked at."""
    with TemporaryDirectory() as folder:
        store = connect(f"sqlite:///{blank_sqlite(Path(folder))}")
        drawn = count(1)
        desk = Desk(store, "I. Structor", PRINTED_MS, lambda n: next(drawn).to_bytes(n, "big"))
        yield desk, filled(desk, ways)
        store.close()


_OPEN = ExitStack()
register(_OPEN.close)


@cache
def kept(ways):
    """A class that is only read, filled once for all its pages."""
    return _OPEN.enter_context(class_of(ways))


@cache
def figures_12():
    with kept(TWELVE)[0].store.reading() as c:
        return figures(c, assignment_of(c, "dead-1"), PRINTED_MS)


@cache
def page_of(name, lang="en"):
    """A class's report by its size, one without names, or the evidence for one attempt."""
    desk, made = kept(CLASSES.get(name, TWELVE))
    with speaking(lang), desk.store.reading() as c:
        if name == "evidence":
            found = evidence(c, made.attempts["L-0003", 1], PRINTED_MS)
            return evidence_page(paper(found, desk.who, desk.now_ms))
        row = assignment_of(c, "dead-1")
        names = by_code(row.secret) if name == "blind" else None
        return class_page(report(figures(c, row, PRINTED_MS), PRINTED_MS, names))


PAGES = (*CLASSES, "blind", "evidence")
