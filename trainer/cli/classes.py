"""The commands of ``class``: people and the store. Knows their names; does nothing itself."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from trainer.cli import class_db

ABOUT = "A class: its people, and the store it is kept in."
VERBS: dict[str, Callable[..., Any]] = {"db": class_db.db}
