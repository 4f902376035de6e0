"""Looks after the class store from the command line. Knows options and sentences; no table."""

from __future__ import annotations

from typing import Annotated

import typer

from trainer.base.errors import UsageError, quoted
from trainer.cli.envelope import Outcome

HOW = "upgrade"
STORE_HELP = "A SQLite file, or postgresql://USER@HOST/DATABASE; no password here."


def db(
    action: Annotated[str, typer.Argument(help=HOW)],
    store: Annotated[str, typer.Option(metavar="PLACE", help=STORE_HELP)] = "",
) -> Outcome:
    """Look after the class store.

    Example: condenser-bench class db upgrade
    """
    from trainer.store.database import connect
    from trainer.store.opening import store_address
    from trainer.store.upgrading import upgrade

    if action != "upgrade":
        raise UsageError(f"{quoted(action)} is nothing to do with a store", hint=HOW)
    address = store_address(store)
    run = upgrade(connect(address.url))
    return Outcome(
        {"store": address.shown, "run": list(run)}, f"Ran {', '.join(run) or 'nothing'}."
    )
