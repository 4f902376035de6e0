"""The desk a command works at: the store by option, who sits there, the clock and chance.

The only place where these enter the services of a class. Knows the environment; decides nothing.
"""

from __future__ import annotations

import getpass
import os
import secrets
import time

from trainer.base.errors import UsageError
from trainer.classroom.desk import Desk
from trainer.store.opening import open_store

#: Who stands in the trail, where the login name does not say it.
WHO_VARIABLE = "CONDENSER_BENCH_WHO"
WHO_MOST = 100


def desk_at(store: str | None = None, who: str | None = None, create: bool = False) -> Desk:
    """Open the store for one command; only a command that makes a class creates it."""
    name = who or os.environ.get(WHO_VARIABLE) or _login()
    if not name.strip() or len(name) > WHO_MOST or not name.isprintable():
        what = f"who works at the desk is told in 1 to {WHO_MOST} printable characters"
        raise UsageError(what, WHO_VARIABLE, "set it to your name or initials")
    return Desk(open_store(store, create), name.strip(), time.time_ns() // 1_000_000, _chance)


def _login() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return ""


def _chance(count: int) -> bytes:
    return secrets.token_bytes(count)
