"""A roster into a class: names as they are spelt, refusals by line, all of it or nothing.

All people are invented.
"""

import random
import unicodedata
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest
from sqlalchemy import func, select

from trainer.base.errors import Faults, TrainerError
from trainer.classroom.courses import courses, new_course, people_of
from trainer.classroom.roster import apply, judge, plan, read_rosters
from trainer.store import tables as t
from trainer.store.database import connect

HEADER = "learner_id,given_name,family_name,email,section,status,accommodation"


@pytest.fixture
def course(desk):
    return new_course(desk, "hvac-1", "First year").name


def judged(tmp_path, text, encoding="utf-8", name="roster.csv"):
    path = tmp_path / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return judge(read_rosters([path], encoding, "learner_id"))


def applied(desk, course, rows, skip_refused=False):
    return apply(desk, course, rows, skip_refused)


def counts(made):
    return tuple(len(made.of(kind)) for kind in ("add", "change", "deactivate", "same"))


def members(desk, course, **more):
    with desk.store.reading() as connection:
        return people_of(connection, course, **more)


def test_a_roster_of_hard_names_comes_in_as_it_is_spelt(desk, course, tmp_path):
    """Byte order mark, CRLF, accents, an apostrophe, a formula; the second A1 is refused."""
    text = "\r\n".join(
        [
            HEADER,
            "A1,Zoë,Larsen,zoe@example.org,am,,",
            "A2,李,明,,am,active,1.25",
            "A3,Pat,O'Brien,,pm,,",
            "A4,=SUM(1),Ode,,pm,,",
            "A1,Second,Row,,pm,,",
            "",
        ]
    )
    rows = judged(tmp_path, text.encode("utf-8-sig"))
    made = applied(desk, course, rows, skip_refused=True)
    assert counts(made) == (4, 0, 0, 0)
    (refused,) = made.refusals
    assert refused.where.endswith("roster.csv:6")
    assert "'A1' stands at" in refused.what
    assert "roster.csv:2 too" in refused.what
    assert [(m.learner_id, m.person.name, m.section) for m in members(desk, course)] == [
        ("A1", "Zoë Larsen", "am"), ("A2", "李 明", "am"),
        ("A3", "Pat O'Brien", "pm"), ("A4", "=SUM(1) Ode", "pm"),
    ]  # fmt: skip
    assert members(desk, course)[1].person.accommodation_milli == 1250


def test_with_a_refused_row_nothing_is_applied_unless_asked(desk, course, tmp_path):
    rows = judged(tmp_path, f"{HEADER}\nA1,Ann,Ode,,,,\nA 2,Bo,Ode,,,,\n")
    made = applied(desk, course, rows)
    assert not made.applied
    assert members(desk, course) == ()
    with desk.store.reading() as connection:
        assert connection.scalar(select(func.count()).select_from(t.person)) == 0
    assert applied(desk, course, rows, skip_refused=True).applied
    assert len(members(desk, course)) == 1


def test_a_second_import_changes_nothing_and_absence_deletes_nobody(desk, course, tmp_path):
    rows = judged(tmp_path, f"{HEADER}\nA1,Ann,Ode,,am,,1.5\nA2,Bo,Ode,,am,,\n")
    applied(desk, course, rows)
    before = members(desk, course)
    trail = select(func.count()).select_from(t.audit)
    with desk.store.reading() as connection:
        noted = connection.scalar(trail)
    assert counts(applied(desk, course, rows)) == (0, 0, 0, 2)
    with desk.store.reading() as connection:
        assert connection.scalar(trail) == noted
    one = judged(tmp_path, f"{HEADER}\nA2,Bo,Ode,,am,,\n")
    assert counts(applied(desk, course, one)) == (0, 0, 0, 1)
    assert members(desk, course) == before


def test_changes_moves_and_leaving_are_told_by_column(desk, course, tmp_path):
    applied(desk, course, judged(tmp_path, f"{HEADER}\nA1,Ann,Ode,,am,,\nA2,Bo,Ode,,am,,\n"))
    rows = judged(tmp_path, f"{HEADER}\nA1,Anna,Ode,,pm,,2\nA2,Bo,Ode,,am,dropped,\n")
    made = applied(desk, course, rows)
    (changed,) = made.of("change")
    assert {(c.column, c.old, c.new) for c in changed.changes} == {
        ("given_name", "Ann", "Anna"), ("section", "am", "pm"), ("accommodation", "1.0", "2.0"),
    }  # fmt: skip
    assert [step.learner_id for step in made.of("deactivate")] == ["A2"]
    assert [(m.learner_id, m.section) for m in members(desk, course)] == [("A1", "pm")]
    left = members(desk, course, inactive=True)
    assert [(m.learner_id, m.section, m.active) for m in left] == [
        ("A2", "am", False), ("A1", "pm", True),
    ]  # fmt: skip
    assert not left[0].person.active
    back = applied(desk, course, judged(tmp_path, f"{HEADER}\nA2,Bo,Ode,,am,,\n"))
    assert [c.column for c in back.of("change")[0].changes] == ["status"]
    assert len(members(desk, course)) == 2


def test_a_column_that_is_missing_leaves_what_is_known(desk, course, tmp_path):
    first = judged(tmp_path, f"{HEADER}\nA1,Ann,Ode,ann@example.org,am,,1.5\n")
    applied(desk, course, first)
    short = judged(tmp_path, "Family_Name, LEARNER_ID,colour\nOde-Berg,A1,blue\n")
    made = applied(desk, course, short)
    assert [c.column for c in made.of("change")[0].changes] == ["family_name"]
    assert any("passed over: 'colour'" in notice for notice in made.notices)
    (member,) = members(desk, course)
    assert member.person.name == "Ann Ode-Berg"
    assert (member.person.email, member.section) == ("ann@example.org", "am")
    assert member.person.accommodation_milli == 1500


def test_names_are_composed_and_otherwise_untouched(desk, course, tmp_path):
    loose = unicodedata.normalize("NFD", "Zoë Ångström")
    applied(desk, course, judged(tmp_path, f"learner_id,given_name\nA1,{loose}\n"))
    assert members(desk, course)[0].person.given_name == "Zoë Ångström"


def test_windows_1252_is_read_when_asked_for_and_told(desk, course, tmp_path):
    content = "learner_id,given_name\nA1,Zoë\nA2,Bo\n".encode("cp1252")
    with pytest.raises(TrainerError, match="not UTF-8") as refused:
        judged(tmp_path, content)
    assert "--encoding cp1252" in refused.value.hint
    assert refused.value.where.endswith("roster.csv:2")
    rows = judged(tmp_path, content, "cp1252")
    assert "read as Windows-1252" in rows.notices[0]
    (previewed,) = rows.preview
    assert previewed.endswith("roster.csv:2  A1 Zoë")
    with pytest.raises(TrainerError, match="would be spoilt"):
        judged(tmp_path, "learner_id,given_name\nA1,Zoë\n", "cp1252")


@pytest.mark.parametrize(
    ("row", "where", "what"),
    [
        ("A 17,Ann,Ode,,,,", "column 1 ('learner_id')", "'A 17' is no id"),
        (",Ann,Ode,,,,", "column 1", "there is no learner_id"),
        ("4.2E+13,Ann,Ode,,,,", "column 1", "rounded"),
        ("../x,Ann,Ode,,,,", "column 1", "is no id"),
        ("A1,,,,,,", ":3", "there is no name"),
        ("A1,Ann,Ode,ann,,,", "column 4 ('email')", "'ann' is no e-mail"),
        ("A1,Ann,Ode,,,gone,", "column 6", "'gone' is no status"),
        ("A1,Ann,Ode,,,,0.9", "column 7", "no factor"),
        ("A1,Ann,Ode,,,,4.001", "column 7", "no factor"),
        ('A1,Ann,Ode,,,,"1,5"', "column 7", "no factor"),
        ("A1,Ann,Ode,,,,nan", "column 7", "no factor"),
        ('A1,"An\nn",Ode,,,,', "column 2", "'\\n'"),
        ("A1,A\u202enn,Ode,,,,", "column 2", "reading direction"),
        (f"A1,{'n' * 201},Ode,,,,", "column 2", "more than 200"),
        ("A1,Ann,Ode", ":3", "the row has 3 cells"),
    ],
)
def test_a_row_is_refused_with_its_place(desk, course, tmp_path, row, where, what):
    rows = judged(tmp_path, f"{HEADER}\nA0,Good,Row,,,,\n{row}\n")
    (refused,) = rows.refusals
    assert where in refused.where
    assert "roster.csv:3" in refused.where
    assert what in refused.what
    assert refused.hint
    assert not applied(desk, course, rows).applied


@pytest.mark.parametrize(
    ("content", "what"),
    [
        (b"", "empty"),
        (b"learner_id;given_name\nA1;Ann\n", "semicolons"),
        (b"given_name\nAnn\n", "no column learner_id"),
        (b"learner_id,learner_id\nA1,A2\n", "over column 1 too"),
        (b"learner_id,given_name\n", "no row below"),
        (b'learner_id,given_name\nA1,"Ann\n', "never closed"),
        (b"learner_id,given_name\nA1,A\x00nn\n", "is not text"),
        (b"\xff\xfel\x00e\x00", "UTF-16"),
        (b"learner_id,given_name\nA1," + b"n" * 1_000_000, "larger than 1000 kB"),
        (b"learner_id,given_name\n" + b"A1,n\n" * 1_000_000, "larger than 1000 kB"),
        (b"learner_id,given_name\nA1," + b"n" * 200_000, "far too long"),
    ],
)
def test_a_file_that_is_no_roster_is_refused_whole(tmp_path, content, what):
    with pytest.raises(TrainerError) as refused:
        judged(tmp_path, content)
    found = refused.value
    told = " ".join(f.what for f in found.faults) if isinstance(found, Faults) else found.what
    assert what in told


def test_a_gigabyte_is_refused_before_it_is_read(tmp_path):
    path = tmp_path / "roster.csv"
    with path.open("wb") as file:
        file.truncate(10**9)
    with pytest.raises(TrainerError, match="larger than 1000 kB"):
        read_rosters([path], "utf-8", "learner_id")


def test_more_rows_than_a_roster_has_are_refused(desk, course, tmp_path):
    rows = "".join(f"{n:x},n\n" for n in range(20_001))
    made = judged(tmp_path, f"learner_id,given_name\n{rows}")
    assert [r.what for r in made.refusals] == ["there are more than 20000 rows"]


def test_the_same_person_under_two_ids_is_pointed_out(desk, course, tmp_path):
    applied(desk, course, judged(tmp_path, "learner_id,given_name,email\nA1,Ann Ode,a@example.org"))
    text = "learner_id,given_name,email\na1,Ann,\nB1,ann  ode,A@example.org\n"
    rows = judged(tmp_path, text)
    with desk.store.reading() as connection:
        made = plan(connection, course, rows)
    assert [r.what for r in made.refusals] == ["learner_id 'a1' is known as A1"]
    assert ["name" in made.notices[0], "e-mail" in made.notices[1]] == [True, True]
    assert "learner alias B1 A1" in made.notices[0]


def test_a_row_twice_in_two_files_is_refused_and_both_are_named(desk, course, tmp_path):
    for name, text in (("a.csv", "A1,Ann\nA2,Bo"), ("b.csv", "A3,Cy\nA1,Ann")):
        (tmp_path / name).write_text(f"learner_id,given_name\n{text}\n")
    paths = [tmp_path / "a.csv", tmp_path / "b.csv"]
    made = applied(desk, course, judge(read_rosters(paths, "utf-8", "learner_id")), True)
    assert [step.learner_id for step in made.of("add")] == ["A1", "A2", "A3"]
    (refused,) = made.refusals
    assert refused.where.endswith("b.csv:3")
    assert "a.csv:2 too" in refused.what


def test_half_a_file_is_refused_where_it_ends(desk, course, tmp_path):
    """A download cut short in a row, in a quoted cell, in a letter."""
    whole = f'{HEADER}\nA1,Ann,Ode,,,,\nA2,"Zoë, the second",Ode,,,,\n'.encode()
    in_a_row = judged(tmp_path, whole[: whole.index(b"Ode,,,,") + 4])
    assert not applied(desk, course, in_a_row).applied
    for end in (whole.index(b"the second"), whole.index("ë".encode()) + 1):
        with pytest.raises(TrainerError):
            judged(tmp_path, whole[:end])
    assert members(desk, course) == ()


def test_one_person_may_be_in_two_classes(desk, course, tmp_path):
    rows = judged(tmp_path, "learner_id,given_name\nA1,Ann\n")
    applied(desk, course, rows)
    new_course(desk, "hvac-2")
    assert counts(applied(desk, "hvac-2", rows)) == (1, 0, 0, 0)
    gone = judged(tmp_path, "learner_id,given_name,status\nA1,Ann,inactive\n")
    assert counts(applied(desk, course, gone)) == (0, 0, 1, 0)
    assert members(desk, "hvac-2")[0].person.active
    with desk.store.reading() as connection:
        assert [(row.course.name, row.learners) for row in courses(connection)] == [
            ("hvac-1", 0), ("hvac-2", 1),
        ]  # fmt: skip


def test_two_instructors_applying_one_roster_at_once_add_everybody_once(
    desk, course, store_url, tmp_path
):
    """Each has a connection of his own; whoever is second finds nothing left to do."""
    names = "".join(f"A{n},Given {n}\n" for n in range(40))
    rows = judged(tmp_path, f"learner_id,given_name\n{names}")

    def work(n):
        store = connect(store_url)
        try:
            mine = replace(desk, store=store, chance=random.Random(n).randbytes)
            return len(apply(mine, course, rows).of("add"))
        finally:
            store.close()

    with ThreadPoolExecutor(4) as pool:
        assert sorted(pool.map(work, range(4))) == [0, 0, 0, 40]
    assert len(members(desk, course)) == 40


def test_a_failure_in_the_middle_leaves_the_class_as_it_was(desk, course, tmp_path, monkeypatch):
    applied(desk, course, judged(tmp_path, f"{HEADER}\nA1,Ann,Ode,,am,,\n"))
    before = members(desk, course)

    def torn(*words):
        raise RuntimeError("the power went")

    monkeypatch.setattr("trainer.classroom.roster.enrol_new", torn)
    with pytest.raises(RuntimeError):
        applied(desk, course, judged(tmp_path, f"{HEADER}\nA1,Anna,Ode,,pm,,\nA2,Bo,Ode,,,,\n"))
    assert members(desk, course) == before
    with desk.store.reading() as connection:
        assert connection.scalar(select(func.count()).select_from(t.section)) == 1
