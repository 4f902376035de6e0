"""Assignments: terms that hold, extensions that never shorten, files that keep the secret."""

import json

import pytest
from sqlalchemy import select

from tests.classroom.class_of_three import HOUR, assigned, enrolled, wish
from trainer.base.errors import ConflictError, NotFoundError, TrainerError
from trainer.classroom.assigning import (
    assign,
    assignment_of,
    effective_of,
    extend,
    scenario_kept,
)
from trainer.classroom.handing_out import handed_out
from trainer.classroom.jobs import stored_rubric
from trainer.classroom.people import find
from trainer.classroom.seeds import seed_of
from trainer.exchange.assignment import SEED_LEAST, read_assignment
from trainer.exchange.keys import own_key
from trainer.scenario.load import load_scenario
from trainer.store import tables as t


def person(desk, learner_id):
    with desk.store.reading() as c:
        return find(c, learner_id).id


def effective(desk, learner_id):
    with desk.store.reading() as c:
        return effective_of(c, assignment_of(c, "week-1"), find(c, learner_id).id)


def test_the_terms_stand_as_they_were_wished(desk, tmp_path):
    assigned(desk, tmp_path, attempts=2, counting="last", grace_min=10)
    with desk.store.reading() as c:
        row = assignment_of(c, "week-1")
        assert (row.attempts, row.counting, row.grace_min, row.made_by) == (2, "last", 10, desk.who)
        assert stored_rubric(c, row.rubric_id).title
        kept = c.execute(select(t.scenario)).one()
        assert kept.digest == load_scenario("make-it-dead").digest


@pytest.mark.parametrize(
    ("other", "said"),
    [
        ({"due_ms": 0}, "must open before"), ({"attempts": 0}, "from 1 to 99"),
        ({"counting": "mean"}, "no counting"), ({"name": "../x"}, "no name"),
        ({"hints": ["shout"]}, "no price"), ({"releases": "at-time"}, "needs the time"),
        ({"section": "night"}, "no section"),
    ],
)  # fmt: skip
def test_terms_that_do_not_hold_are_refused_and_nothing_is_written(desk, tmp_path, other, said):
    enrolled(desk, tmp_path)
    with pytest.raises(TrainerError, match=said):
        assign(desk, wish(desk, **other))
    with desk.store.reading() as c:
        assert c.execute(select(t.assignment)).first() is None
        assert c.execute(select(t.scenario)).first() is None


def test_an_unknown_class_and_a_taken_name(desk, tmp_path):
    assigned(desk, tmp_path)
    with pytest.raises(ConflictError, match="of that name"):
        assign(desk, wish(desk))
    with pytest.raises(NotFoundError, match="no class"):
        assign(desk, wish(desk, name="other", course="hvac-2"))


def test_an_extension_never_shortens(desk, tmp_path):
    assigned(desk, tmp_path)
    ada, due = person(desk, "L-07"), desk.now_ms + 24 * HOUR
    extend(desk, "week-1", ada, "was ill", due_ms=due - HOUR)
    assert effective(desk, "L-07").due_ms == due
    extend(desk, "week-1", ada, "was ill", due_ms=due + 100 * HOUR)
    extend(desk, "week-1", ada, "was ill again", due_ms=due + HOUR, extra_attempts=2)
    mine = effective(desk, "L-07")
    assert (mine.due_ms, mine.attempts) == (due + 100 * HOUR, 3)
    assert mine.closes_ms >= mine.due_ms
    assert effective(desk, "L-08").due_ms == due
    with pytest.raises(TrainerError, match="reason"):
        extend(desk, "week-1", ada, " ", due_ms=due)


def test_seeds_are_the_assignments_own(desk, tmp_path):
    """RFC 2104 by its definition, with SHA-256 of FIPS 180-4."""
    import hashlib

    secret, who = "ab" * 32, "somebody"
    key = bytes.fromhex(secret) + bytes(32)
    inner = hashlib.sha256(bytes(b ^ 0x36 for b in key) + f"{who}|1".encode()).digest()
    outer = hashlib.sha256(bytes(b ^ 0x5C for b in key) + inner).digest()
    assert seed_of(secret, who, 1) == SEED_LEAST + int.from_bytes(outer[:8], "big") // 4
    drawn = {seed_of(secret, f"p{n}", no) for n in range(20) for no in (1, 2)}
    assert len(drawn) == 40
    assert all(SEED_LEAST <= s < 2**64 - 1000 for s in drawn)


def test_the_file_serves_the_class_and_keeps_the_secret(desk, tmp_path):
    assigned(desk, tmp_path, section="am")
    extend(desk, "week-1", person(desk, "L-08"), "a second try", extra_attempts=1)
    key = own_key(tmp_path / "keys", "instructor", desk.chance)
    told = []
    content, parts = handed_out(
        desk, "week-1", key, tmp_path / "kept", progress=lambda done, of: told.append((done, of))
    )
    assert parts == 2
    assert told[-1] == (3, 3)
    with desk.store.reading() as c:
        row = assignment_of(c, "week-1")
    file = read_assignment(content, "x")
    ada, ben = (file.part(who, row.start_code) for who in ("L-07", "L-08"))
    assert (ada.attempts, ben.attempts, ben.accommodation) == (1, 2, 1.5)
    seeds = [v["header"]["seed"] for part in (ada, ben) for v in part.variants]
    assert len(set(seeds)) == 3
    assert min(seeds) >= SEED_LEAST
    with pytest.raises(NotFoundError):
        file.part("L-09", row.start_code)
    inside = content.decode() + json.dumps([dict(v) for v in ben.variants])
    for secret in (row.secret, row.start_code, key.private_bytes_raw().hex(), str(tmp_path)):
        assert secret not in inside


def test_one_seed_for_all_is_one(desk, tmp_path):
    assigned(desk, tmp_path, seeds="one", section="am")
    key = own_key(tmp_path / "keys", "instructor", desk.chance)
    content, _ = handed_out(desk, "week-1", key, tmp_path / "kept")
    with desk.store.reading() as c:
        code = assignment_of(c, "week-1").start_code
    file = read_assignment(content, "x")
    found = [file.part(who, code).variants[0] for who in ("L-07", "L-08")]
    assert found[0]["unit"] == found[1]["unit"]


def test_a_scenario_of_ones_own_is_kept_for_later(desk, tmp_path):
    """The file is changed after it was assigned; the class goes on with what was assigned."""
    from trainer.scenario.load import find_scenario

    enrolled(desk, tmp_path)
    own = tmp_path / "jobs" / "mine.yaml"
    own.parent.mkdir()
    text = find_scenario("make-it-dead").read_text(encoding="utf-8")
    own.write_text(text, encoding="utf-8")
    digest = load_scenario(own).digest
    assign(desk, wish(desk, scenario=str(own)))
    own.write_text("spoilt", encoding="utf-8")
    with desk.store.reading() as c:
        row = assignment_of(c, "week-1")
        again = scenario_kept(c, row.scenario_id, tmp_path / "kept")
    assert load_scenario(again).digest == digest


def test_no_secret_stands_in_the_trail(desk, tmp_path):
    assigned(desk, tmp_path)
    with desk.store.reading() as c:
        row = assignment_of(c, "week-1")
        trail = json.dumps([dict(r.body) for r in c.execute(select(t.audit))])
    assert row.secret not in trail
    assert row.start_code not in trail
