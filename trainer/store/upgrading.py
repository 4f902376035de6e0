"""Brings a store's schema to a revision, in one transaction on either database.

Loads the machinery of migrations, so it is imported only when something is to be done. Knows
revisions; must know no rule of a class.
"""

from __future__ import annotations

import threading
from typing import Any

from sqlalchemy import Connection

from trainer.store import guards
from trainer.store.database import Store
from trainer.store.schema import FOLDER, HEAD, VERSION_TABLE, require_known, revision_of

#: The machinery of migrations speaks to one connection of a process at a time.
_ALONE = threading.Lock()


def upgrade(store: Store, to: str = HEAD) -> tuple[str, ...]:
    """Run what is missing; gives the revisions that were run. All of it or nothing."""
    with store.altering() as connection:
        before = revision_of(connection, store.shown)
        if before:
            require_known(before, store.shown)
        if before == to:
            return ()
        guards.remove(connection)
        with _ALONE:
            run = _migrate(connection, to)
        guards.install(connection)
    return run


def _migrate(connection: Connection, to: str) -> tuple[str, ...]:
    from alembic.config import Config
    from alembic.runtime.environment import EnvironmentContext
    from alembic.script import ScriptDirectory

    scripts = ScriptDirectory(str(FOLDER), version_locations=[str(FOLDER)])
    run: list[str] = []

    def steps(revision: Any, context: Any) -> Any:
        found = scripts._upgrade_revs(to, revision)
        run.extend(step.revision.revision for step in found)
        return found

    with EnvironmentContext(Config(), scripts, fn=steps, destination_rev=to) as environment:
        environment.configure(
            connection=connection,
            version_table=VERSION_TABLE,
            render_as_batch=True,
            transactional_ddl=True,
        )
        environment.run_migrations()
    return tuple(run)
