"""A desk on a store of its own for each test, on both databases.

PostgreSQL is tried where CONDENSER_BENCH_PG names a server on loopback by its superuser;
CI starts one (.ci/postgresql) and fails without it. What people are called in tests of
the class is invented.
"""

import hashlib

import pytest

from tests.store.places import DATABASES, blank_sqlite, new_address, remove, remove_all
from trainer.classroom.desk import Desk
from trainer.store.database import connect

#: 2026-03-02 08:00 UTC, invented.
MORNING_MS = 1_772_438_400_000


class Chance:
    """Bytes that look drawn and are the same in every run."""

    def __init__(self):
        self.drawn = 0

    def __call__(self, count):
        self.drawn += 1
        return hashlib.shake_256(f"chance {self.drawn}".encode()).digest(count)


@pytest.fixture(scope="session")
def blank(tmp_path_factory):
    """An empty SQLite store, made once and copied."""
    yield blank_sqlite(tmp_path_factory.mktemp("blank"))
    remove_all()


@pytest.fixture(params=DATABASES)
def store_url(request, tmp_path, blank):
    """The address of an empty store with the present schema; gone after the test."""
    url = new_address(request.param, tmp_path, blank)
    yield url
    remove(url)


@pytest.fixture
def store(store_url):
    """An open, empty store."""
    opened = connect(store_url)
    yield opened
    opened.close()


@pytest.fixture
def desk(store):
    """An instructor's desk on an empty store at a fixed time."""
    return Desk(store, "instructor", MORNING_MS, Chance())
