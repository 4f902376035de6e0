"""OneRoster-shaped exports: read loosely, joined, and bounded. All people are invented."""

import random
import zipfile

import pytest

from trainer.base.errors import Faults, TrainerError
from trainer.classroom.courses import new_course, people_of
from trainer.classroom.oneroster import read_export
from trainer.classroom.roster import apply, judge, read_rosters

USERS = """sourcedId,status,givenName,familyName,email,role,username,identifier,phone
u1,active,Zoë,Larsen,zoe@example.org,student,zlarsen,A1,1
u2,active,李,明,,student,lming,,2
u3,tobedeleted,Pat,O'Brien,,student,,A3,3
u4,active,Terry,Teacher,,teacher,tt,T1,4
u5,active,Not,Enrolled,,student,,A5,5
"""
CLASSES = "sourcedId,title\nc1,Morning\nc2,Afternoon\n"
ENROLMENTS = """sourcedId,classSourcedId,userSourcedId,role,status
e1,c1,u1,student,active
e2,c2,u2,student,active
e3,c1,u3,student,active
e4,c1,u4,teacher,active
e5,c2,u1,student,tobedeleted
"""
FILES = {"users.csv": USERS, "classes.csv": CLASSES, "enrollments.csv": ENROLMENTS}


def zipped(tmp_path, files, how=zipfile.ZIP_DEFLATED):
    path = tmp_path / "export.zip"
    with zipfile.ZipFile(path, "w", how) as packed:
        for name, text in files.items():
            packed.writestr(name, text)
    return path


def foldered(tmp_path, files):
    folder = tmp_path / "export"
    folder.mkdir()
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


@pytest.mark.parametrize("made", [zipped, foldered])
def test_learners_come_in_by_section(desk, tmp_path, made):
    new_course(desk, "hvac-1")
    rows = judge(read_rosters([made(tmp_path, FILES)], "utf-8", "learner_id"))
    plan = apply(desk, "hvac-1", rows)
    assert plan.refusals == ()
    assert any("2 users without a learner's enrolment" in notice for notice in plan.notices)
    with desk.store.reading() as connection:
        found = people_of(connection, "hvac-1")
    assert [(m.learner_id, m.person.external_id, m.section) for m in found] == [
        ("lming", "u2", "Afternoon"), ("A1", "u1", "Morning"),
    ]  # fmt: skip
    again = apply(desk, "hvac-1", rows)
    assert len(again.of("same")) == 3


def test_one_in_a_folder_inside_and_without_enrolments(tmp_path):
    source = read_export(zipped(tmp_path, {"export/USERS.CSV": USERS}))
    assert [row.cells["learner_id"] for row in source.rows] == ["A1", "lming", "A3", "A5"]


def test_an_older_encoding_is_told_here_as_well(tmp_path):
    path = zipped(tmp_path, {"users.csv": USERS.replace("李,明", "Ann,Ode").encode("cp1252")})
    with pytest.raises(TrainerError, match="not UTF-8"):
        read_export(path)
    source = read_export(path, "cp1252")
    assert "Windows-1252" in source.notices[-1]
    assert [line.split("  ")[1].split()[:2] for line in source.preview] == [["A1", "Zoë"]]


def test_one_class_of_the_export(tmp_path):
    path = zipped(tmp_path, FILES)
    for name in ("Afternoon", "c2"):
        source = read_export(path, section=name)
        assert [(r.cells["learner_id"], r.cells["status"]) for r in source.rows] == [
            ("A1", "tobedeleted"), ("lming", "active"),
        ]  # fmt: skip
    with pytest.raises(TrainerError, match="no class 'Night'") as refused:
        read_export(path, section="Night")
    assert "'Afternoon', 'Morning'" in refused.value.hint


def test_a_learner_in_two_classes_is_refused_with_both(tmp_path):
    rows = ENROLMENTS.replace("u1,student,tobedeleted", "u1,student,active")
    source = read_export(zipped(tmp_path, FILES | {"enrollments.csv": rows}))
    (refused,) = source.refusals
    assert refused.where.endswith("users.csv:2")
    assert "'Afternoon', 'Morning'" in refused.what


def test_a_new_id_for_a_known_external_id_asks_for_an_alias(desk, tmp_path):
    new_course(desk, "hvac-1")
    apply(desk, "hvac-1", judge(read_rosters([zipped(tmp_path, FILES)], "utf-8", "learner_id")))
    users = USERS.replace("zlarsen,A1", "zlarsen,B1")
    path = zipped(tmp_path, FILES | {"users.csv": users})
    plan = apply(desk, "hvac-1", judge(read_rosters([path], "utf-8", "learner_id")))
    assert [r.hint for r in plan.refusals] == [
        "if it is one person: condenser-bench learner alias B1 A1"
    ]
    assert not plan.applied


@pytest.mark.parametrize(
    ("files", "said"),
    [
        ({"../users.csv": USERS}, "where it should not"),
        ({"/users.csv": USERS}, "where it should not"),
        ({"a/b/users.csv": USERS}, "where it should not"),
        ({"..\\users.csv": USERS}, "where it should not"),
        ({"users.csv": USERS, "x/users.csv": USERS}, "two files users.csv"),
        ({"readme.txt": "x"}, "there is no users.csv"),
        ({str(n): "" for n in range(201)}, "more than 200 files"),
        ({"users.csv": "\0" * 40_000_000}, "larger than 1000 kB"),
        ({"users.csv": "name\nx\n"}, "no column sourcedId"),
        ({"users.csv": USERS, "enrollments.csv": "x\ny\n"}, "no column classSourcedId"),
        ({"users.csv": b"sourcedId\n\xff\n"}, "not UTF-8"),
    ],
)
def test_a_hostile_zip_is_refused_with_a_sentence(tmp_path, files, said):
    """The largest is 40 MB of nothing, packed into 40 kB."""
    path = zipped(tmp_path, files)
    with pytest.raises(TrainerError) as refused:
        read_export(path)
    found = refused.value
    assert said in (found.faults[0].what if isinstance(found, Faults) else found.what)
    assert [p.name for p in tmp_path.iterdir()] == ["export.zip"]


def test_a_zip_that_lies_about_a_size_is_still_bounded(tmp_path):
    path = zipped(tmp_path, {"users.csv": "\0" * 3_000_000})
    content = path.read_bytes()
    small = (1000).to_bytes(4, "little")
    path.write_bytes(content.replace((3_000_000).to_bytes(4, "little"), small))
    with pytest.raises(TrainerError):
        read_export(path)


@pytest.mark.parametrize("how", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_a_packing_that_inflates_without_bound_is_refused(tmp_path, how):
    with pytest.raises(TrainerError, match="unusual way"):
        read_export(zipped(tmp_path, FILES, how))


def test_any_damage_ends_in_a_sentence(tmp_path):
    """Cut short, bytes changed, and noise: 100 of each kind in one seeded run."""
    path = zipped(tmp_path, FILES)
    content, rng = path.read_bytes(), random.Random(7)
    for _ in range(100):
        flipped = bytearray(content)
        for _ in range(rng.randint(1, 6)):
            flipped[rng.randrange(len(flipped))] = rng.randrange(256)
        cut = content[: rng.randrange(len(content))]
        for damaged in (bytes(flipped), cut, rng.randbytes(200)):
            path.write_bytes(damaged)
            try:
                read_export(path)
            except TrainerError as error:
                assert str(error)


def test_a_link_in_a_folder_that_leads_out_is_an_ordinary_file_or_refused(tmp_path):
    folder = tmp_path / "export"
    folder.mkdir()
    (folder / "users.csv").symlink_to("/dev/zero")
    with pytest.raises(TrainerError, match="not an ordinary file"):
        read_export(folder)
