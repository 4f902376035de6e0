"""The assignment file: shut until its code is read out, silent about answers, whole or refused."""

import base64
import json
import zlib

import pytest

from tests.exchange.invented import CODE, assignment
from trainer.base.errors import NotFoundError, NotVerifiedError, PolicyError
from trainer.exchange.assignment import SEED_LEAST, read_assignment, refuse_assigned
from trainer.exchange.startcode import SIGNS, bare, drawn


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    return assignment(tmp_path_factory.mktemp("made"))


def test_a_learner_opens_his_part_with_the_code(made):
    file = read_assignment(made[0].read_bytes(), "x")
    part = file.part("L-07", "k7qf 2mxd")
    assert part.learner_id == "L-07"
    assert [v["header"]["seed"] for v in part.variants] == [SEED_LEAST, SEED_LEAST + 1]


def test_another_code_opens_nothing(made):
    with pytest.raises(PolicyError, match="start code"):
        read_assignment(made[0].read_bytes(), "x").part("L-07", "K7QF-2MXC")


def test_a_stranger_has_no_part(made):
    with pytest.raises(NotFoundError, match="nothing for the learner"):
        read_assignment(made[0].read_bytes(), "x").part("L-99", CODE)


def test_a_part_moved_under_another_name_stays_shut(made):
    file = read_assignment(made[0].read_bytes(), "x")
    tags = list(file.parts)
    swapped = dict(zip(tags, reversed([file.parts[t] for t in tags]), strict=True))
    moved = type(file)(file.terms, swapped, file.digest)
    with pytest.raises(PolicyError):
        moved.part("L-07", CODE)


def test_the_open_lines_tell_no_learner_seed_or_unit(made):
    text = made[0].read_text(encoding="ascii")
    for word in ("L-07", "L-08", str(SEED_LEAST), "conductors", "secret", "fault"):
        assert word not in text


def test_a_part_carries_no_answers(made):
    part = read_assignment(made[0].read_bytes(), "x").part("L-07", CODE)
    text = json.dumps([dict(v) for v in part.variants])
    for word in ('"target"', '"planted"', '"faults"', '"secret"', '"symptoms"'):
        assert word not in text


@pytest.mark.parametrize("where", [10, 400, -300, -100, -2])
def test_a_changed_byte_is_refused(made, where):
    content = bytearray(made[0].read_bytes())
    content[where] ^= 1
    with pytest.raises(NotVerifiedError):
        read_assignment(bytes(content), "x")


def test_terms_signed_by_somebody_else_are_refused(made, tmp_path):
    from tests.exchange.invented import chance_of
    from trainer.exchange.keys import own_key
    from trainer.exchange.signing import SEAL_BYTES, sealed

    other = own_key(tmp_path, "instructor", chance_of("other"))
    body = made[0].read_bytes()[:-SEAL_BYTES]
    with pytest.raises(NotVerifiedError, match="another key"):
        read_assignment(sealed("assignment", body, other), "x")


def test_a_part_that_swells_is_bounded(made):
    """A packed part of zeros is cut off at the bound and is then no JSON."""
    from trainer.exchange.startcode import shut, unshut

    key = b"k" * 32
    bomb = shut(key, b"n" * 12, "a", {"x": "0" * 30_000_000})
    assert len(zlib.compress(base64.b64decode(bomb))) < 200_000
    with pytest.raises(PolicyError):
        unshut(key, bomb, "a")


def test_a_code_has_eight_signs_that_cannot_be_mistaken():
    code = drawn(b"\x01\x02\x03\x04\x05\x06\x07\x08" * 2)
    assert len(bare(code)) == 8
    assert set(bare(code)) <= set(SIGNS)
    assert not set(SIGNS) & set("0O1IL8B5S")


def test_practice_refuses_the_seeds_of_assignments():
    refuse_assigned(SEED_LEAST - 1, "practice")
    with pytest.raises(PolicyError, match="belongs to an assignment"):
        refuse_assigned(SEED_LEAST, "practice")
