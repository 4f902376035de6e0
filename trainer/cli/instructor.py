"""The instructor's signing key of this installation, for commands of the class. Decides nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trainer.base.places import data_dir

if TYPE_CHECKING:
    from trainer.classroom.desk import Desk
    from trainer.exchange.keys import Key


def instructor_key(desk: Desk) -> Key:
    """Made on first use; assignments, receipts and releases are signed with it."""
    from trainer.exchange.keys import own_key

    return own_key(data_dir() / "keys", "instructor", desk.chance)
