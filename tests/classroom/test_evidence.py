"""The evidence pack: each number resolves to an event, a rubric line, a row or a formula."""

import json
import re
from dataclasses import replace
from fractions import Fraction

import html5lib
import pytest
from sqlalchemy import insert, select, update

from tests.classroom.invented import MINUTE, T0, filled, id_of, way_of
from tests.classroom.resolving import Resolver
from tests.outside import CI
from trainer.assess.marking import mark_attempt
from trainer.assess.rubric import Rubric
from trainer.base.errors import NotFoundError, PolicyError
from trainer.classroom.evidence import evidence
from trainer.report.cited import as_data
from trainer.report.class_arithmetic import pointer_of, sums
from trainer.report.class_evidence import paper
from trainer.report.class_html import evidence_page
from trainer.store import tables as t

PRINTED, BY = T0 + 90 * 24 * 60 * MINUTE, "I. Structor 2"
#: Ways that differ in what they show: all right, unsafe, much missing, nothing at all.
WAYS = (("right",), ("no-own-lock",), ("thumb-before-the-pull-out",), ("nothing at all",))


@pytest.fixture
def made(desk):
    return filled(desk, WAYS)


def page_of(desk, attempt_id, code=""):
    with desk.store.reading() as c:
        found = evidence(c, attempt_id, PRINTED)
    return evidence_page(paper(found, BY, PRINTED, code))


def resolver(c, attempt_id, page):
    return Resolver(c, attempt_id, PRINTED, BY, page)


def moderated(desk, made, learner):
    """Somebody looked again: overrides, ratings, releases and a flag, all invented."""
    attempt, grade = made.attempts[learner, 1], made.grades[learner, 1]
    row = {"attempt_id": attempt, "made_ms": T0 + 9 * MINUTE, "made_by": "second 2"}
    with desk.store.writing() as c:
        c.execute(insert(t.override).values(
            id=id_of("o1"), based_on=grade, field="total", old="92.2", new="1833/20",
            reason_code="evidence", reason="seen on paper, page 3", **row))  # fmt: skip
        c.execute(insert(t.rating).values(id=id_of("r1"), rating=2, **row))
        c.execute(insert(t.release).values(
            id=id_of("s1"), grade_id=grade, level="full", total="830/9", verdict="fail", **row,
        ))  # fmt: skip
        flags = ["the clock ran 130 s apart"]
        c.execute(
            update(t.attempt).where(t.attempt.c.id == attempt).values(flags=flags, late_ms=61_000)
        )
        c.execute(insert(t.assignment_exception).values(
            id=id_of("e1"), assignment_id=made.assignment, person_id=made.people[learner],
            due_ms=T0 + 99 * MINUTE, extra_attempts=2, reason="ill for 2 days", made_ms=T0,
            made_by="instructor"))  # fmt: skip
        desk.note(c, "overridden", attempt, {"field": "total"})


@pytest.mark.parametrize("learner", ["L-0001", "L-0002", "L-0003", "L-0004"][:: 1 if CI else 3])
def test_every_number_resolves_and_is_computed_again(desk, made, learner):
    attempt = made.attempts[learner, 1]
    page = page_of(desk, attempt)
    with desk.store.reading() as c:
        found = resolver(c, attempt, page)
        assert found.walk() == []
    kinds = {re.split(r"[/(]", source)[0] for source in found.walked}
    assert {"row", "rubric", "full-marks", "sum", "product", "of", "left"} <= kinds
    if learner != "L-0004":
        assert "event" in kinds and len(found.walked) > 150


def test_so_it_is_after_overrides_ratings_and_releases(desk, made):
    moderated(desk, made, "L-0002")
    page = page_of(desk, made.attempts["L-0002", 1])
    with desk.store.reading() as c:
        assert resolver(c, made.attempts["L-0002", 1], page).walk() == []
    for words in ("seen on paper, page 3", "ill for 2 days", "the clock ran 130 s apart", "91.6"):
        assert words in page


def test_what_the_rule_alone_shows_is_told(desk, made):
    attempt = made.attempts["L-0002", 1]
    assert "nothing of this mark" in page_of(desk, attempt)
    with desk.store.writing() as c:
        c.execute(update(t.assignment).values(releases="at-handin"))
    page = page_of(desk, attempt)
    assert "by the assignment&#39;s own rule" in page and "shown/at_ms" in page
    with desk.store.reading() as c:
        assert resolver(c, attempt, page).walk() == []


def test_the_walk_sees_a_number_that_is_wrong_or_from_nowhere(desk, made):
    attempt = made.attempts["L-0002", 1]
    page = page_of(desk, attempt)
    earned = re.search(r'(data-from="product\(#points-1[^>]*>)([\d.]+)<', page)
    total = re.search(r'(id="n-total"[^>]*>)([\d.]+)<', page)
    with desk.store.reading() as c:
        for match in (earned, total):
            wrong = page.replace(match[0], f"{match[1]}99.01<", 1)
            assert len(resolver(c, attempt, wrong).walk()) == 1
        loose = page.replace("<h2", "<p>And 7 more.</p><h2", 1)
        assert resolver(c, attempt, loose).walk() == ["no source: 'And 7 more.'"]


@pytest.mark.parametrize("learner", ["L-0001", "L-0002", "L-0003", "L-0004"])
def test_the_arithmetic_gives_the_grade_to_the_last_fraction(desk, made, learner):
    with desk.store.reading() as c:
        e = evidence(c, made.attempts[learner, 1], PRINTED)
    s = sums(e)
    assert s.agrees and Fraction(s.total[0].exact) == Fraction(e.grade["total"])
    points = [Fraction(i.points[0].exact) for d in s.domains for i in d.items]
    assert points == [Fraction(row["points"]) for row in e.items]
    for d, body in zip(s.domains, e.grade["body"]["domains"]):
        assert float(Fraction(d.score[0].exact)) == pytest.approx(body["score"])
        assert d.holds == body["above_floor"]


def test_every_item_of_every_rubric_has_its_line():
    from tests.assess.golden import GOLDENS, marked, stored

    seen = 0
    for job, way in GOLDENS:
        if way != "right":
            continue
        m = marked(job, stored(job, way))
        body = m.rubric.model_dump(mode="json")
        for f in (f for d in m.mark.domains for f in d.findings):
            row = {"rule": f.rule, "code": f.code, "domain": f.domain}
            found = body
            for part in pointer_of(body, row).split("/"):
                found = found[int(part)] if isinstance(found, list) else found[part]
            assert Fraction(found) == f.weight, (job, row)
            seen += 1
    assert seen > 300


@pytest.mark.parametrize("allowed_s", [1200, 600, 300])
def test_time_that_is_charged_is_computed_from_the_events(desk, made, allowed_s):
    """687 s at the bench, by the last event, under a rubric that charges ten points for twice the
    time: of 1200 s nothing, of 600 s 0.145 of them, of 300 s all."""
    log, m = way_of("right")
    by = Rubric.model_validate({**m.rubric.model_dump(mode="json"), "time": "10"})
    data = {**log.events[0].data, "found": {**log.events[0].data["found"], "time_s": allowed_s}}
    events = (replace(log.events[0], data=data), *log.events[1:])
    scenario = m.scenario.model_copy(update={"time": float(allowed_s)})
    job = replace(m.job, scenario=scenario)
    mark = mark_attempt(replace(log, events=events), job, by).mark
    with desk.store.reading() as c:
        e = evidence(c, made.attempts["L-0001", 1], PRINTED)
    grade = {**e.grade, "total": str(mark.total), "body": mark.as_data()}
    rubric = {**e.rubric, "body": by.model_dump(mode="json")}
    s = sums(replace(e, events={x.seq: x for x in events}, grade=grade, rubric=rubric))
    late = max(Fraction(0), min(Fraction(1), Fraction(687, allowed_s) - 1))
    assert s.agrees and Fraction(s.time[0].exact) == 10 * late
    assert s.time[0].source.startswith("over(rubric/time; event/216/at; event/1/data/found/time_s")


def test_blind_pages_hold_no_name(desk, made):
    with desk.store.reading() as c:
        person = c.execute(select(t.person).where(t.person.c.learner_id == "L-0003")).one()
    page = page_of(desk, made.attempts["L-0003", 1], code="K7Q2")
    for word in (person.learner_id, person.family_name, person.email, person.external_id):
        assert word not in page
    assert "K7Q2" in page


def test_names_that_are_markup_come_out_as_text(desk):
    made = filled(desk, ((),) * 6 + (("right",),))
    page = page_of(desk, made.attempts["L-0007", 1])
    parser = html5lib.HTMLParser(namespaceHTMLElements=False)
    root = parser.parse(page)
    assert parser.errors == [] and not list(root.iter("b")) and not list(root.iter("script"))
    assert "&lt;b&gt;Tag&lt;/b&gt;" in page


def test_the_same_as_data(desk, made):
    with desk.store.reading() as c:
        data = as_data(paper(evidence(c, made.attempts["L-0002", 1], PRINTED), BY, PRINTED))
    json.dumps(data)
    bare = [p for p in _pieces(data) if re.search(r"\d", p["text"]) and "from" not in p]
    assert bare == []


def _pieces(data):
    if isinstance(data, dict):
        if "text" in data:
            yield data
        for value in data.values():
            yield from _pieces(value)
    elif isinstance(data, list):
        for value in data:
            yield from _pieces(value)


def test_what_has_no_mark_cannot_be_stood_by(desk):
    made = filled(desk, (("right?",),))
    with desk.store.reading() as c:
        with pytest.raises(PolicyError, match="no mark yet"):
            evidence(c, made.attempts["L-0001", 1], PRINTED)
        with pytest.raises(NotFoundError, match="no attempt 'x'"):
            evidence(c, "x", PRINTED)


def test_erased_bytes_leave_the_marks(desk, made):
    attempt = made.attempts["L-0002", 1]
    with desk.store.writing() as c:
        c.execute(update(t.blob).values(packed=b"", size=0))
    page = page_of(desk, attempt)
    assert "erased at the person" in page and "92.2" in page
