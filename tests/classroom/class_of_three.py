"""An invented class of three with one assignment, for tests of the desk. Knows the services."""

from trainer.classroom.assigning import Wish, assign
from trainer.classroom.courses import new_course
from trainer.classroom.roster import apply, judge, read_rosters

HOUR = 3_600_000
ROSTER = """learner_id,given_name,family_name,section,accommodation
L-07,Ada,Invented,am,
L-08,Ben,Invented,am,1.5
L-09,Cleo,Invented,pm,
"""


def enrolled(desk, tmp_path):
    new_course(desk, "hvac-1", "Invented class", zone="America/Chicago")
    path = tmp_path / "roster.csv"
    path.write_text(ROSTER, encoding="utf-8")
    apply(desk, "hvac-1", judge(read_rosters([path], "utf-8", "learner_id")), False)


def wish(desk, **other):
    given = {
        "name": "week-1", "course": "hvac-1", "scenario": "make-it-dead",
        "opens_ms": desk.now_ms, "due_ms": desk.now_ms + 24 * HOUR,
        "closes_ms": desk.now_ms + 48 * HOUR, "zone": "America/Chicago",
    }  # fmt: skip
    return Wish(**{**given, **other})


def assigned(desk, tmp_path, **other):
    enrolled(desk, tmp_path)
    return assign(desk, wish(desk, **other))
