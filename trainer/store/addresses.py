"""Where a class store is: a SQLite file, or a PostgreSQL database by URL.

A password has no place on a command line, where every process of the machine can read it: it comes
from the environment or PostgreSQL's password file. Knows forms of addresses; opens nothing.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path

from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError

from trainer.base.errors import UsageError, quoted

LONGEST = 2000
HOW = "a file, sqlite:///FILE, or postgresql://USER@HOST/DATABASE"
NO_PASSWORD = (
    "put it into PGPASSWORD or PostgreSQL's password file (PGPASSFILE) and leave it out here"
)
#: What the query of a PostgreSQL URL may set.
_SETTINGS = {
    "host", "port", "sslmode", "sslrootcert", "sslcert", "sslkey", "passfile",
    "connect_timeout", "application_name",
}  # fmt: skip


@dataclass(frozen=True)
class Address:
    """``path`` is a SQLite file's, None of a server; ``shown`` is fit for messages."""

    url: str = field(repr=False)
    path: Path | None
    shown: str


def address_of(text: str, may_hold_password: bool = False) -> Address:
    """Read what somebody wrote; a bare path is a SQLite file."""
    if not text or len(text) > LONGEST or not text.isprintable():
        raise UsageError("this is no address of a class store", hint=HOW)
    if not re.match(r"[A-Za-z][A-Za-z0-9+.-]+:/", text):
        return sqlite_at(Path(text))
    try:
        url = make_url(text)
    except (ArgumentError, ValueError):
        raise UsageError("this address of a class store cannot be read", hint=HOW) from None
    backend = url.get_backend_name()
    if backend == "sqlite":
        return _sqlite(url)
    if backend not in ("postgresql", "postgres"):
        raise UsageError(f"a class is not kept in {quoted(url.drivername)}", hint=HOW)
    return _server(url, may_hold_password)


def sqlite_at(path: Path) -> Address:
    """A file; made absolute, so that a later change of folder does not move it."""
    whole = path.expanduser().absolute()
    return Address(_written(URL.create("sqlite", database=str(whole))), whole, str(whole))


def shown(url: str) -> str:
    """A URL for messages: its password, if any, is stars."""
    return make_url(url).render_as_string(hide_password=True)


def _sqlite(url: URL) -> Address:
    if not url.database or url.database.startswith((":", "file:")) or url.query or url.host:
        raise UsageError("a SQLite store is a file", hint="sqlite:///FILE, with three slashes")
    return sqlite_at(Path(url.database))


def _server(url: URL, may_hold_password: bool) -> Address:
    strange = sorted(set(url.query) - _SETTINGS)
    if "password" in strange or (url.password is not None and not may_hold_password):
        raise UsageError("a password stands in the address of the store", hint=NO_PASSWORD)
    if strange:
        hint = f"one of {', '.join(sorted(_SETTINGS))}"
        raise UsageError(f"{quoted(strange[0])} cannot be set in the address", hint=hint)
    if not url.database:
        raise UsageError("the address names no database", hint=HOW)
    whole = url.set(drivername="postgresql+psycopg")
    return Address(_written(whole), None, whole.render_as_string(hide_password=True))


def _written(url: URL) -> str:
    return url.render_as_string(hide_password=False)
