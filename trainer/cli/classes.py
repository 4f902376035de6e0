"""The commands of ``class``: people and the store. Knows their names; does nothing itself."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from trainer.cli import class_db, class_people

ABOUT = "A class: its people, and the store it is kept in."
VERBS: dict[str, Callable[..., Any]] = {**class_people.VERBS, "db": class_db.db}
