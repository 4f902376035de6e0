"""Writes the next revision of the schema from what the tables have become.

    python -m tests.store.revision WORDS

Compares a blank store of the present revisions with ``tables.metadata``. Constraints by expression
are not seen by the comparison: write those by hand; ``test_migrations`` tells which are missing.
Read the file before it is committed: moves of data are not in it.
"""

import re
import sys
import tempfile
from pathlib import Path

from alembic.autogenerate import produce_migrations, render_python_code
from alembic.migration import MigrationContext
from sqlalchemy import JSON, create_engine

from trainer.store.database import connect
from trainer.store.schema import FOLDER, REVISIONS, VERSION_TABLE
from trainer.store.tables import metadata
from trainer.store.upgrading import upgrade

HEAD = '''"""Revision {number}: {words}."""

# fmt: off
import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects.postgresql import JSONB

revision = "{number}"
down_revision = {before}
Json = sa.JSON().with_variant(JSONB(), "postgresql")


def upgrade() -> None:
{body}
'''


def rendered(kind, thing, context):
    return "Json" if kind == "type" and isinstance(thing, JSON) else False


def body_of(connection) -> str:
    options = {"target_metadata": metadata, "version_table": VERSION_TABLE}
    context = MigrationContext.configure(connection, opts={**options, "render_as_batch": True})
    found = produce_migrations(context, metadata)
    code = render_python_code(found.upgrade_ops, render_as_batch=True, render_item=rendered)
    kept = [line.rstrip() for line in code.splitlines() if not line.strip().startswith("# ###")]
    return "\n".join(line if line.startswith("    ") else f"    {line}" for line in kept)


def main(words: str) -> Path:
    number = f"{len(REVISIONS) + 1:04}"
    with tempfile.TemporaryDirectory() as folder:
        url = f"sqlite:///{folder}/class.db"
        if REVISIONS:
            store = connect(url)
            upgrade(store)
            store.close()
        engine = create_engine(url)
        with engine.connect() as connection:
            body = body_of(connection)
        engine.dispose()
    before = f'"{REVISIONS[-1]}"' if REVISIONS else "None"
    path = FOLDER / f"{number}_{re.sub(r'[^a-z0-9]+', '_', words.lower()).strip('_')}.py"
    path.write_text(HEAD.format(number=number, words=words, before=before, body=body), "utf-8")
    return path


if __name__ == "__main__":
    print(main(" ".join(sys.argv[1:])))
