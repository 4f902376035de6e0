"""One contested mark, by the services that made it: handed in, rated, overridden, marked anew by
another rubric, released; then its page, with every number walked. Everybody in it is invented."""

from dataclasses import replace
from fractions import Fraction

import pytest

from tests.classroom.handed import DAY, HOUR, INSTRUCTOR, NOW, unsafe
from tests.classroom.resolving import Resolver
from tests.classroom.test_moderating import handed
from trainer.assess.rubric import Rubric
from trainer.classroom import regrading
from trainer.classroom.assigning import assignment_of
from trainer.classroom.evidence import evidence
from trainer.classroom.figures import figures
from trainer.classroom.gradebook import entries, shown_entries
from trainer.classroom.jobs import stored_rubric
from trainer.classroom.moderating import override_mark, rate
from trainer.classroom.releasing import release
from trainer.report.class_arithmetic import sums
from trainer.report.class_evidence import paper
from trainer.report.class_html import evidence_page

CUT_SET = {"method": "modified Angoff", "date": "2026-03-31", "judges": 5, "n": 26, "se": 1.5}


@pytest.fixture
def contested(desk, tmp_path):
    """The desk three months on, the class, and the attempt that is appealed against."""
    desk = replace(desk, now_ms=NOW)
    made, (attempt,) = handed(desk, tmp_path, unsafe())
    rate(replace(desk, now_ms=NOW + HOUR), attempt, 2)
    release(replace(desk, now_ms=NOW + 2 * HOUR), made.assignment_id, INSTRUCTOR)
    override_mark(replace(desk, now_ms=NOW + DAY), attempt, "total", "40.5", "misread",
                  "a page of his notes was seen, invented")  # fmt: skip
    with desk.store.reading() as c:
        row = assignment_of(c, "dead-1")
        by = stored_rubric(c, row.rubric_id)
    body = {**by.model_dump(mode="json"), "title": "Set by judges", "cut": "75.5"}
    other = Rubric.model_validate({**body, "cut_set": CUT_SET})
    later = replace(desk, now_ms=NOW + 2 * DAY)
    regrading.apply(later, made.assignment_id, other, why="the cut was set by judges")
    return replace(desk, now_ms=NOW + 90 * DAY), made, attempt


def test_its_page_holds_what_happened_and_every_number_resolves(contested):
    desk, _, attempt = contested
    with desk.store.reading() as c:
        found = evidence(c, attempt, desk.now_ms)
        page = evidence_page(paper(found, desk.who, desk.now_ms))
        walk = Resolver(c, attempt, desk.now_ms, desk.who, page)
        assert walk.walk() == []
    assert len(walk.walked) > 150 and sums(found).agrees
    for words in ("modified Angoff", "5</span> judges", "a page of his notes was seen, invented",
                  "base marked anew, still", "the cut was set by judges", "75.5",
                  "40.5"):  # fmt: skip
        assert words in page
    assert len(found.grades) == 2 and found.mark.total == Fraction("40.5")
    # three months on the learner still sees what was released, not what came after
    assert found.shown.total == Fraction(found.grades[0]["total"])
    assert "by the assignment" not in page


def test_gradebook_and_class_report_say_the_same(contested):
    desk, *_ = contested
    with desk.store.reading() as c:
        row = assignment_of(c, "dead-1")
        (own,) = entries(c, row, desk.now_ms)
        (seen,) = shown_entries(c, row, desk.now_ms)
        f = figures(c, row, desk.now_ms)
    assert (own.mark.shown, own.released, own.overridden) == ("40.5", "changed since", "total")
    assert seen.mark.total != own.mark.total and seen.overridden == ""
    assert [e.who.learner_id for e in f.unsafe] == ["L-1"] and f.critical
