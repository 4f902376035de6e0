"""Many processes on one store lose nothing; a killed one leaves no half of anything."""

import random
import sqlite3
import threading

import pytest
from sqlalchemy import func, insert, select

from tests.store.crowd import all_done, killed, start
from tests.store.places import CI
from trainer.store.database import connect
from trainer.store.opening import open_store
from trainer.store.schema import HEAD, state_of
from trainer.store.tables import audit, blob, course

MEMBER = "tests.store.crowd"
#: Small always; sixteen at once, and many deaths, where the machine has the time.
PROCESSES, EACH, DEATHS = (16, 25, 25) if CI else (3, 12, 2)


@pytest.fixture
def counter(store, store_url):
    """A store with a course whose time counts; gives its URL."""
    with store.writing() as connection:
        connection.execute(insert(course).values(id="counter", name="counter", added_ms=0))
    return store_url


def counts(store):
    """The counter; rows of each kind that each step wrote."""
    with store.reading() as connection:
        at = connection.execute(select(course.c.added_ms).where(course.c.id == "counter")).scalar()
        kinds = [
            connection.execute(select(func.count()).select_from(t)).scalar() for t in (audit, blob)
        ]
        courses = connection.execute(select(func.count()).select_from(course)).scalar() - 1
    return at, *kinds, courses


def test_a_crowd_of_writers_loses_nothing(store, counter):
    processes = [start(MEMBER, f"writer{n}", EACH, url=counter) for n in range(PROCESSES)]
    told = all_done(processes)
    assert [out.split() for out in told] == [[str(n + 1) for n in range(EACH)]] * PROCESSES
    assert counts(store) == (PROCESSES * EACH,) * 4
    with store.reading() as connection:
        seen = connection.execute(select(audit.c.at_ms).order_by(audit.c.at_ms)).scalars().all()
    assert seen == list(range(PROCESSES * EACH))


def test_a_killed_writer_leaves_whole_steps(store, counter):
    draws = random.Random(7)
    said = 0
    for _ in range(DEATHS):
        process = start(MEMBER, "writer", 10_000, url=counter)
        lines = killed(process, draws.randrange(1, 6), draws.random() * 0.02)
        said = max([said, *map(int, lines)])
        at, *rest = counts(store)
        assert {at} == set(rest)
        assert at >= said, "a step that was told is kept"
        if store.is_sqlite:
            assert integrity(store) == "ok"
    all_done([start(MEMBER, "writer", at + 3, url=counter)])
    assert counts(store) == (at + 3,) * 4


def integrity(store):
    with sqlite3.connect(store.shown) as connection:
        return connection.execute("pragma integrity_check").fetchone()[0]


def test_many_may_make_the_first_store(tmp_path):
    """Threads are enough: what is raced for is a file's name."""
    url, seen, failed = str(tmp_path / "class.db"), [], []

    def first():
        try:
            store = open_store(url)
            seen.append(state_of(store))
            store.close()
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=first) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []
    assert seen == [HEAD] * 4
    assert [p.name for p in tmp_path.iterdir()] == ["class.db"]


def test_a_store_put_away_without_its_log_is_opened_by_many(tmp_path, blank):
    """A restored file is not in WAL mode yet: whoever opens it first changes that."""
    path = tmp_path / "class.db"
    path.write_bytes(blank.read_bytes())
    with sqlite3.connect(path) as connection:
        connection.execute("pragma journal_mode = delete")
    store = connect(f"sqlite:///{path}")
    with sqlite3.connect(path) as connection:
        connection.execute("insert into course values ('counter', 'counter', '', 'UTC', 0)")
    count = 4 if CI else 2
    all_done([start(MEMBER, f"w{n}", 5, url=f"sqlite:///{path}") for n in range(count)])
    assert counts(store) == (5 * count,) * 4
    store.close()


def test_readers_see_one_state_while_others_write(store, counter):
    process = start(MEMBER, "writer", EACH, url=counter)
    while process.poll() is None:
        assert len(set(counts(store))) == 1
    all_done([process])
    assert counts(store) == (EACH,) * 4
