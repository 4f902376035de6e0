"""Older ids mean the same person, and two people's work is never mixed. All people are invented."""

import pytest
from sqlalchemy import func, select

from tests.classroom.class_of_three import HOUR, assigned
from tests.classroom.rows import handed_in
from trainer.base.errors import ConflictError, NotFoundError, PolicyError, UsageError
from trainer.classroom.aliases import alias
from trainer.classroom.assigning import extend
from trainer.classroom.courses import people_of
from trainer.classroom.erasing import erase
from trainer.classroom.people import find, known
from trainer.classroom.roster import apply, judge, read_rosters
from trainer.store import tables as t


@pytest.fixture
def school(desk, tmp_path):
    assigned(desk, tmp_path)
    return desk


def person(desk, learner_id):
    with desk.store.reading() as connection:
        return known(connection, learner_id)


def people(desk):
    with desk.store.reading() as connection:
        return connection.scalar(select(func.count()).select_from(t.person))


def test_an_older_id_finds_the_person(school):
    assert alias(school, "L-07", "B99").kind == "added"
    assert person(school, "B99").person.learner_id == "L-07"
    assert person(school, "B99").aliases == ("B99",)
    assert alias(school, "L-07", "B99").kind == "same"
    assert alias(school, "B99", "B98") == ("added", "L-07", "B98")


def test_a_new_id_for_a_known_person_keeps_the_old_one(school):
    before = person(school, "L-07").person.id
    assert alias(school, "S-1", "L-07").kind == "renamed"
    found = person(school, "L-07")
    assert (found.person.id, found.person.learner_id) == (before, "S-1")
    assert found.aliases == ("L-07",)
    assert alias(school, "L-07", "S-1").kind == "renamed"
    assert person(school, "S-1").person.learner_id == "L-07"
    assert person(school, "S-1").aliases == ("S-1",)


def test_a_dry_run_changes_nothing(school):
    assert alias(school, "L-07", "L-08", dry_run=True).kind == "merged"
    assert alias(school, "S-1", "L-07", dry_run=True).kind == "renamed"
    assert people(school) == 3
    with pytest.raises(NotFoundError):
        person(school, "S-1")


@pytest.mark.parametrize("worked", ["L-07", "L-09"])
def test_two_rows_of_one_person_become_one_and_work_stays_where_it_is(school, worked):
    """L-09 in the afternoon is the newer row of L-07 in the morning."""
    row_id = person(school, worked).person.id
    attempt = handed_in(school, worked)
    assert alias(school, "L-09", "L-07").kind == "merged"
    found = person(school, "L-07")
    assert found.person.id == row_id
    assert (found.person.learner_id, found.person.given_name) == ("L-09", "Cleo")
    assert (found.attempts, found.aliases) == (1, ("L-07",))
    assert people(school) == 2
    with school.store.reading() as connection:
        owner = select(t.attempt.c.person_id).where(t.attempt.c.id == attempt)
        assert connection.scalar(owner) == row_id
        assert [(m.learner_id, m.section) for m in people_of(connection, "hvac-1")] == [
            ("L-08", "am"), ("L-09", "pm"),
        ]  # fmt: skip


def test_without_work_the_older_row_stays(school):
    """Seeds go by the row, and the older one may be in a file that was handed out."""
    older = person(school, "L-07").person.id
    alias(school, "L-08", "L-07")
    assert person(school, "L-08").person.id == older
    assert person(school, "L-08").person.accommodation_milli == 1500


def test_two_people_with_work_are_never_made_one(school):
    handed_in(school, "L-07")
    handed_in(school, "L-08")
    with pytest.raises(ConflictError, match="L-08 and L-07 both have attempts"):
        alias(school, "L-08", "L-07")
    extend(school, "week-1", person(school, "L-09").person.id, "was ill that day",
           due_ms=school.now_ms + 30 * HOUR)  # fmt: skip
    with pytest.raises(ConflictError, match="both have"):
        alias(school, "L-09", "L-07")
    assert people(school) == 3


@pytest.mark.parametrize(
    ("new", "old", "refusal"),
    [("L-07", "A 1", UsageError), ("../x", "L-07", UsageError), ("X", "Y", NotFoundError)],
)
def test_what_is_no_id_or_nobody_is_refused(school, new, old, refusal):
    with pytest.raises(refusal):
        alias(school, new, old)


def test_an_erased_person_gets_no_further_id(school):
    token = erase(school, "L-07", "L-07").token
    with pytest.raises(PolicyError):
        alias(school, token, "B1")


def test_a_near_id_is_offered_and_no_name(school):
    with school.store.reading() as connection, pytest.raises(NotFoundError) as refused:
        find(connection, "l-7")
    assert "did you mean L-0" in refused.value.hint
    assert "Ada" not in str(refused.value)


def test_a_roster_with_the_older_id_means_the_same_person(school, tmp_path):
    alias(school, "S-1", "L-07")
    path = tmp_path / "later.csv"
    path.write_text("learner_id,given_name\nL-07,Adah\n")
    apply(school, "hvac-1", judge(read_rosters([path], "utf-8", "learner_id")))
    assert person(school, "S-1").person.given_name == "Adah"
    path.write_text("learner_id,given_name\nL-07,Adah\nS-1,Adah\n")
    made = apply(school, "hvac-1", judge(read_rosters([path], "utf-8", "learner_id")))
    assert [refusal.what for refusal in made.refusals] == [
        f"'S-1' is learner S-1, who is at {path}:2 too"
    ]
