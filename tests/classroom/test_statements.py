"""xAPI: in form, without a person in it, the same ids again, nothing before it is released."""

import json
import uuid
from copy import deepcopy

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import insert, update

from tests.classroom.invented import MINUTE, PEOPLE, T0, filled, id_of
from tests.classroom.test_gradebook import release
from tests.classroom.xapi_form import STATEMENTS
from trainer.base.errors import UsageError
from trainer.classroom.assigning import assignment_of
from trainer.classroom.statements import HOME, SPACE, checked, statements, uuid5
from trainer.store import tables as t

WAYS = (("right",), ("no-own-lock",), ("dead-at-once", "right"), ("",), ())


@pytest.fixture
def made(desk):
    return filled(desk, WAYS)


def told(desk, **more):
    with desk.store.reading() as c:
        return statements(c, assignment_of(c, "dead-1"), desk.now_ms, **more)


def verbs(found):
    return [s["verb"]["display"]["en-US"] for s in found]


def overridden(desk, made, learner, total, made_ms):
    with desk.store.writing() as c:
        c.execute(insert(t.override).values(
            id=id_of("over", learner, total), attempt_id=made.attempts[learner, 1],
            based_on=made.grades[learner, 1], field="total", old="", new=total,
            reason_code="evidence", reason="invented reason", made_ms=made_ms, made_by="x",
        ))  # fmt: skip


def test_before_release_no_result_is_told(desk, made):
    found = told(desk)
    assert verbs(found) == ["initialized", "completed"] * 4
    assert "score" not in json.dumps(found) and "CF" not in json.dumps(found)


def test_results_are_told_as_they_were_released(desk, made):
    release(desk, made, "L-0001")
    release(desk, made, "L-0002")
    found = told(desk)
    jsonschema.validate(found, STATEMENTS)
    by_verb = {s["verb"]["display"]["en-US"]: s for s in found if "score" in s.get("result", {})}
    passed, failed = by_verb["passed"]["result"], by_verb["failed"]["result"]
    assert passed["score"] == {"scaled": 1.0, "raw": 100.0, "min": 0, "max": 100}
    assert passed["success"] is True and failed["success"] is False
    # 830/9 points of 100, cut to six and four digits
    assert failed["score"]["scaled"] == 0.922222 and failed["score"]["raw"] == 92.2222
    assert failed["extensions"][f"{HOME}/ext/critical"] == ["CF3"]
    assert passed["duration"] == "PT20M27S"  # 687 s at the bench and nine minutes beside it


def test_nobody_can_be_told_from_it(desk, made):
    release(desk, made, "L-0001")
    text = json.dumps(told(desk), ensure_ascii=False)
    for learner, given_name, family_name in PEOPLE[:5]:
        for word in (learner, given_name, family_name, made.people[learner]):
            assert word not in text
    assert "@" not in text
    actors = {s["actor"]["account"]["name"] for s in told(desk)}
    assert len(actors) == 3  # three people handed in


def test_a_second_export_gives_the_same_and_ids_are_one(desk, made):
    release(desk, made, "L-0001")
    found = told(desk)
    assert told(desk) == found
    ids = [s["id"] for s in found]
    assert len(ids) == len(set(ids))
    other = told(desk, home="https://school.example/")
    assert [s["id"] for s in other] == ids and "condenser-bench.example" not in json.dumps(other)


def test_a_result_that_was_replaced_is_voided_and_the_new_one_told(desk, made):
    release(desk, made, "L-0002")
    first = told(desk)
    overridden(desk, made, "L-0002", "95/1", T0 + 4 * 60 * MINUTE)
    assert told(desk) == first  # nothing before it is released again
    release(desk, made, "L-0002", total="95/1", verdict="fail", made_ms=T0 + 5 * 60 * MINUTE)
    found = told(desk)
    jsonschema.validate(found, STATEMENTS)
    old = next(s for s in first if verbs([s]) == ["failed"])
    assert [s for s in found if s in first] == first
    new = [s for s in found if s not in first]
    assert verbs(new) == ["voided", "failed"]
    assert new[0]["object"] == {"objectType": "StatementRef", "id": old["id"]}
    assert new[1]["id"] != old["id"] and new[1]["result"]["score"]["raw"] == 95.0


def test_what_is_withheld_is_voided_and_may_come_back_under_another_id(desk, made):
    release(desk, made, "L-0001")
    release(desk, made, "L-0001", level="none", made_ms=T0 + 5 * 60 * MINUTE)
    found = told(desk)
    assert verbs(found)[:4] == ["initialized", "completed", "passed", "voided"]
    release(desk, made, "L-0001", level="points", made_ms=T0 + 6 * 60 * MINUTE)
    again = told(desk)
    assert verbs(again)[:5] == ["initialized", "completed", "passed", "voided", "passed"]
    assert again[2]["id"] != again[4]["id"]


@pytest.mark.parametrize(("rule", "release_ms"), [("at-handin", None), ("at-time", T0 + MINUTE)])
def test_what_the_rule_showed_is_told_and_voided_by_a_later_release(desk, made, rule, release_ms):
    with desk.store.writing() as c:
        c.execute(update(t.assignment).values(releases=rule, release_ms=release_ms))
    first = told(desk)
    assert verbs(first).count("passed") == 2 and verbs(first).count("failed") == 2
    overridden(desk, made, "L-0002", "95/1", T0 + 4 * 60 * MINUTE)
    release(desk, made, "L-0002", total="95/1", verdict="fail", made_ms=T0 + 9 * 60 * MINUTE)
    assert verbs(s for s in told(desk) if s not in first) == ["voided", "failed"]


def test_a_time_to_come_is_not_told_from_before(desk, made):
    with desk.store.writing() as c:
        c.execute(update(t.assignment).values(releases="at-time", release_ms=desk.now_ms + 1))
    assert set(verbs(told(desk))) == {"initialized", "completed"}


def test_a_learners_clock_that_runs_ahead_gives_no_time_to_come(desk, made):
    with desk.store.writing() as c:
        c.execute(update(t.attempt).values(ended_ms=t.attempt.c.received_ms + 10**9))
        received = {r.id: r.received_ms for r in c.execute(t.attempt.select())}
    from trainer.classroom.stamps import iso

    latest = iso(max(received.values()))
    assert all(s["timestamp"] <= latest for s in told(desk))


@pytest.mark.parametrize("break_it", [
    lambda s: s.pop("actor"), lambda s: s["verb"].update(id="passed"),
    lambda s: s.update(extra=1), lambda s: s["result"]["score"].update(scaled=1.2),
    lambda s: s["result"].update(duration="18 min"), lambda s: s.update(id="1"),
    lambda s: s["actor"].update(mbox="mailto:a@example.org"),
    lambda s: s["result"]["extensions"].update(critical=[]),
])  # fmt: skip
def test_the_form_refuses_what_is_out_of_it(desk, made, break_it):
    release(desk, made, "L-0001")
    found = deepcopy(told(desk))
    break_it(next(s for s in found if verbs([s]) == ["passed"]))
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(found, STATEMENTS)


@given(st.uuids(), st.text(st.characters(exclude_categories=["Cs"])))
def test_ids_are_uuids_of_version_five(space, name):
    assert uuid5(str(space), name) == str(uuid.uuid5(space, name))


def test_the_namespace_is_made_of_the_address():
    assert str(uuid.uuid5(uuid.NAMESPACE_URL, f"{HOME}/xapi")) == SPACE


@pytest.mark.parametrize(
    "home",
    ["", "school", "ftp://a.b", "https://", "https://a b", "https://a?x", "https://" + "a" * 300,
     'https://a"b', "https://a\nb"],
)  # fmt: skip
def test_a_home_that_is_no_address_is_refused(home):
    with pytest.raises(UsageError, match="no address"):
        checked(home)
