"""Who works on which store at what time: what every service of the class is handed.

No service reads a clock or draws chance: both come in here. Knows the store and the trail of what
was done; must know no rule of a class.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, insert

from trainer.base.identity import uuid_of
from trainer.store.database import Store
from trainer.store.tables import audit


@dataclass(frozen=True)
class Desk:
    """``who`` stands in the trail; ``now_ms`` is UTC; ``chance`` gives so many random bytes."""

    store: Store
    who: str
    now_ms: int
    chance: Callable[[int], bytes]

    def new_id(self) -> str:
        return uuid_of(self.chance(16))

    def note(
        self, connection: Connection, what: str, subject: str, body: Mapping[str, Any]
    ) -> None:
        """A row of the trail, in the same transaction as what it tells of."""
        row = {"at_ms": self.now_ms, "who": self.who, "what": what, "subject": subject}
        connection.execute(insert(audit).values(**row, body=dict(body)))
