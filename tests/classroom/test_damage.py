"""Hand-ins with bytes flipped, cut, doubled or moved: all caught, the first bad event named."""

from __future__ import annotations

import os
import random
import re
from dataclasses import replace

import pytest
from sqlalchemy import func, select

from tests.classroom.handed import INSTRUCTOR, NOW, Class, class_of, unsafe, uuid_of, written
from trainer.base.errors import NotVerifiedError
from trainer.classroom.importing import Wish, import_files
from trainer.exchange.handin import read_handin
from trainer.store import tables as t

CI = os.environ.get("CONDENSER_BENCH_CI") == "1"
TIMES = 10_000 if CI else 300


@pytest.fixture
def desk(desk):
    return replace(desk, now_ms=NOW)


def flipped(content, chance):
    at = chance.randrange(len(content))
    changed = content[at] ^ (1 << chance.randrange(8))
    return content[:at] + bytes([changed]) + content[at + 1 :]


def cut(content, chance):
    return content[: chance.randrange(len(content))]


def cut_within(content, chance):
    start = chance.randrange(len(content))
    return content[:start] + content[start + chance.randrange(1, 2000) :]


def doubled(content, chance):
    lines = content.splitlines(keepends=True)
    at = chance.randrange(len(lines))
    return b"".join([*lines[: at + 1], *lines[at:]])


def doubled_piece(content, chance):
    start = chance.randrange(len(content))
    end = min(start + chance.randrange(1, 2000), len(content))
    return content[:end] + content[start:]


def moved(content, chance):
    lines = content.splitlines(keepends=True)
    one, two = chance.sample(range(len(lines)), 2)
    lines[one], lines[two] = lines[two], lines[one]
    return b"".join(lines)


DAMAGES = (flipped, cut, cut_within, doubled, doubled_piece, moved)


def first_line(content, damaged):
    """The number of the first line that is other than it was, or not there.

    A line that lacks only its line end is there.
    """
    pairs = zip(content.split(b"\n"), damaged.split(b"\n"), strict=False)
    return next((n for n, (a, b) in enumerate(pairs) if a != b), damaged.count(b"\n") + 1)


def without_seal(content):
    return [line for line in content.split(b"\n") if not line.startswith(b'{"public"')]


@pytest.mark.parametrize("damage", DAMAGES, ids=lambda d: d.__name__)
def test_every_damage_is_caught(damage):
    content = Class("", "", uuid_of("an assignment")).handin("L-1", unsafe())
    read_handin(content, "whole")
    chance, last = random.Random(damage.__name__), content.count(b"\n") - 1
    for _ in range(TIMES // len(DAMAGES)):
        damaged = damage(content, chance)
        if damaged == content:
            continue
        with pytest.raises(NotVerifiedError) as caught:
            read_handin(damaged, "damaged")
        at = first_line(content, damaged)
        if without_seal(damaged) == without_seal(content):  # every event is in its place
            assert re.search(rf"seal|event {last - 1} was", caught.value.what), caught.value.what
        elif 2 <= at < last:  # before stand the claim and the header, after it the seal
            named = re.search(r"event (\d+)", caught.value.what)
            assert named, (at, caught.value.what)
            assert int(named[1]) == at - 1, (at, caught.value.what)


def test_what_is_damaged_lands_aside_with_its_reason_and_bytes(desk, tmp_path):
    content = class_of(desk).handin("L-1", unsafe())
    chance = random.Random(5)
    files = {f"{n}.handin": d(content, chance) for n, d in enumerate(DAMAGES * 2)}
    found = import_files(desk, written(tmp_path / "in", files), INSTRUCTOR, Wish("none")).rows
    assert {row.status for row in found if row.digest} == {"aside"}
    with desk.store.reading() as connection:
        assert connection.scalar(select(func.count()).select_from(t.attempt)) == 0
        kept = list(connection.execute(select(t.quarantine)))
    assert {row.digest for row in kept} == {row.digest for row in found if row.digest}
    assert all(row.reason for row in kept)
