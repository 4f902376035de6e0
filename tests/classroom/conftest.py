"""A desk with an empty store of its own."""

import random

import pytest

from trainer.classroom.desk import Desk
from trainer.store.database import connect
from trainer.store.tables import metadata


@pytest.fixture
def desk(tmp_path):
    store = connect(f"sqlite:///{tmp_path}/class.db")
    metadata.create_all(store.engine)
    yield Desk(store, "instructor", 1_770_000_000_000, random.Random(1).randbytes)
    store.close()
