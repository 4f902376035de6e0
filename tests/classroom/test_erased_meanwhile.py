"""A hand-in on its way into the store while its learner is erased: nothing of it is kept.

Two connections of their own: one imports, the other erases between the check and the writing.
Everybody here is invented.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from sqlalchemy import func, select

from tests.classroom.handed import INSTRUCTOR, NOW, class_of, idle, unsafe, written
from trainer.classroom import importing
from trainer.classroom.erasing import erase
from trainer.classroom.importing import Wish, import_files
from trainer.store import tables as t
from trainer.store.database import connect

QUICK = Wish(resimulate="none")
#: What a hand-in writes.
ROWS = (t.attempt, t.grade, t.receipt, t.blob, t.key, t.opening, t.quarantine, t.critical_event)


@pytest.fixture
def desk(desk):
    return replace(desk, now_ms=NOW)


@pytest.fixture
def other(desk, store_url):
    """Another desk on the same database, with a connection of its own."""
    store = connect(store_url)
    yield replace(desk, store=store, who="another instructor")
    store.close()


def erased_when(monkeypatch, name, other, learner):
    """``importing``'s function of this name does its work, then the other desk erases."""
    real = getattr(importing, name)

    def then_erased(*given):
        try:
            return real(*given)
        finally:
            erase(other, learner, learner)

    monkeypatch.setattr(importing, name, then_erased)


def take(desk, tmp_path, *files):
    paths = written(tmp_path / "in", {f"{n}.handin": content for n, content in enumerate(files)})
    return import_files(desk, paths, INSTRUCTOR, QUICK).rows


def counts(desk):
    with desk.store.reading() as c:
        return {x.name: c.scalar(select(func.count()).select_from(x)) for x in ROWS}


def test_erased_between_the_check_and_the_writing(desk, other, tmp_path, monkeypatch):
    made = class_of(desk)
    before = counts(desk)
    erased_when(monkeypatch, "checked", other, "L-1")
    first, second = take(desk, tmp_path, made.handin("L-1", unsafe()), b"no hand-in")
    assert (first.status, first.code) == ("refused", "erased")
    assert "erased" in first.reason
    assert second.status == "aside", "the import goes on"
    assert counts(desk) == {**before, "quarantine": 1, "blob": 1}


def test_erased_while_his_doubtful_file_is_put_aside(desk, other, tmp_path, monkeypatch):
    """What cannot be verified would be kept in quarantine; of him it is not."""
    made = class_of(desk)
    before = counts(desk)
    erased_when(monkeypatch, "checked", other, "L-1")
    practice = replace(idle(), header={**idle().header, "mode": "practice"})
    [row] = take(desk, tmp_path, made.handin("L-1", practice))
    assert (row.status, row.code) == ("refused", "erased")
    assert counts(desk) == before


def test_erased_while_his_second_file_is_put_aside(desk, other, tmp_path, monkeypatch):
    made = class_of(desk)
    take(desk, tmp_path, made.handin("L-1"))
    before = counts(desk)
    erased_when(monkeypatch, "pack", other, "L-1")
    [row] = take(desk, tmp_path, made.handin("L-1", unsafe()))
    assert (row.status, row.code) == ("refused", "erased")
    assert counts(desk) == before


def test_a_file_found_after_the_erasure_is_known_by_its_key_and_not_kept(desk, tmp_path):
    made = class_of(desk)
    take(desk, tmp_path, made.handin("L-1"))
    erase(desk, "L-1", "L-1")
    before = counts(desk)
    [row] = take(desk, tmp_path, made.handin("L-1", idle(2), 2))
    assert (row.status, row.code) == ("refused", "erased")
    assert counts(desk) == before
