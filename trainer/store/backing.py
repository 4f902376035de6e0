"""Backups of a store and their restoration.

A live SQLite file is never copied: its backup interface reads one consistent state while others
write, and restoring writes through it too, because a file swapped under an open connection loses
what that connection writes next. A backup is one SQLite file whatever the store is. Knows files and
revisions; must know no table.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from trainer.base.errors import ConflictError, NotFoundError, TrainerError, UsageError
from trainer.store.addresses import Address, sqlite_at
from trainer.store.database import BUSY_MS, Store, connect
from trainer.store.drives import refuse_network
from trainer.store.failing import StoreError, telling
from trainer.store.opening import passing_name, private_folder, publish
from trainer.store.schema import EMPTY, require_known, state_of

HEADER = b"SQLite format 3\0"
CHUNK = 1 << 20


@dataclass(frozen=True)
class Backup:
    """A backup that was written and read again."""

    path: Path
    size: int
    digest: str
    revision: str


@dataclass(frozen=True)
class Restored:
    """``aside`` is where the store that was there is kept; None where there was none."""

    path: Path
    aside: Path | None
    revision: str


def backup(store: Store, target: Path) -> Backup:
    """Write a new file that holds the store as it is at this moment."""
    if target.exists():
        raise ConflictError("there is such a file already", str(target), "give another name")
    revision = state_of(store)
    if revision == EMPTY:
        raise NotFoundError("there is no class store to back up", store.shown)
    with _draft(store) as draft:
        if store.is_sqlite:
            with telling(store.shown), closing(_plain(Path(store.shown))) as live:
                _through_interface(live, draft)
        else:
            _from_server(store, draft)
        _whole(draft)
        digest = _delivered(draft, target)
    return Backup(target, target.stat().st_size, digest, revision)


def restore(address: Address, file: Path, aside: Path | None) -> Restored:
    """Put a backup in the store's place; one that is there goes to ``aside``, None refuses it."""
    path = address.path
    if path is not None:
        refuse_network(path)
    else:
        hint = f"condenser-bench class db copy --from {file} --to URL, into an empty database"
        raise UsageError("a backup enters a server's database by copying", address.shown, hint)
    occupied = path.exists()
    if occupied and aside is None:
        hint = "add --replace; the store that is there will be kept aside"
        raise ConflictError("there is a class store already", str(path), hint)
    _looks_like_a_backup(file)
    private_folder(path)
    draft = passing_name(path)
    try:
        _copy_bytes(file, draft)
        revision = _made_sound(draft, file)
        if occupied and aside is not None:
            _replace(path, draft, aside)
        else:
            publish(draft, path)
    finally:
        draft.unlink(missing_ok=True)
    return Restored(path, aside if occupied else None, revision)


def examined(file: Path) -> str:
    """The revision of a backup that could be restored; changes nothing."""
    _looks_like_a_backup(file)
    with tempfile.TemporaryDirectory(prefix="condenser-bench-") as folder:
        draft = Path(folder) / "draft.db"
        _copy_bytes(file, draft)
        return _made_sound(draft, file)


@contextmanager
def _draft(store: Store) -> Iterator[Path]:
    """A passing file: beside a SQLite store, where there is room for its like."""
    if store.is_sqlite:
        draft = passing_name(Path(store.shown))
        try:
            yield draft
        finally:
            draft.unlink(missing_ok=True)
        return
    with tempfile.TemporaryDirectory(prefix="condenser-bench-") as folder:
        yield Path(folder) / "draft.db"


def _through_interface(live: sqlite3.Connection, draft: Path) -> None:
    with closing(_plain(draft)) as copy:
        live.backup(copy)
        copy.execute("pragma journal_mode = delete")


def _from_server(store: Store, draft: Path) -> None:
    from trainer.store.copying import copy

    made = connect(sqlite_at(draft).url)
    try:
        copy(store, made)
    finally:
        made.close()
    with closing(_plain(draft)) as connection:
        connection.execute("pragma journal_mode = delete")


def _plain(path: Path) -> sqlite3.Connection:
    """A connection that keeps the file's own journal mode and trusts nothing written in it."""
    connection = sqlite3.connect(path, timeout=BUSY_MS / 1000, isolation_level=None)
    connection.execute("pragma trusted_schema = off")
    connection.execute("pragma cell_size_check = on")
    return connection


def _whole(path: Path) -> None:
    with telling(str(path)), closing(_plain(path)) as connection:
        found = connection.execute("pragma integrity_check(1)").fetchone()[0]
        loose = connection.execute("pragma foreign_key_check").fetchone()
    if found != "ok" or loose:
        what = "the copy is damaged" if found != "ok" else "the copy has rows that point nowhere"
        raise StoreError(what, str(path), "run condenser-bench class db check")


def _delivered(draft: Path, target: Path) -> str:
    """The draft under its name, on another drive if need be, read again there."""
    if not target.parent.is_dir():
        raise NotFoundError(
            "there is no such folder", str(target.parent), "make it, or name another"
        )
    there = passing_name(target)
    try:
        wrote = _copy_bytes(draft, there)
        if _digest(there) != wrote:
            raise StoreError("the backup reads otherwise than it was written", str(target))
        publish(there, target)
    except FileExistsError:
        raise ConflictError("there is such a file already", str(target), "another name") from None
    except OSError as error:
        raise _unwritten(target, error) from None
    finally:
        there.unlink(missing_ok=True)
    return wrote


def _unwritten(path: Path, error: OSError) -> StoreError:
    reason = error.strerror or "it cannot be written"
    hint = "name a file in a folder with room that you may write"
    return StoreError(f"the file cannot be written: {reason}", str(path), hint)


def _copy_bytes(source: Path, target: Path) -> str:
    """Copies a file nobody has open, to the disk; gives the digest of what was read."""
    digest = hashlib.sha256()
    try:
        with open(source, "rb") as reading, open(target, "wb") as writing:
            while chunk := reading.read(CHUNK):
                digest.update(chunk)
                writing.write(chunk)
            writing.flush()
            os.fsync(writing.fileno())
    except OSError as error:
        raise _unwritten(target, error) from None
    return digest.hexdigest()


def _digest(path: Path) -> str:
    with open(path, "rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _looks_like_a_backup(file: Path) -> None:
    """Told before a byte is copied."""
    try:
        with open(file, "rb") as reading:
            head = reading.read(len(HEADER))
        size, free = file.stat().st_size, shutil.disk_usage(file.parent).free
        live = any(_beside(file, end).exists() for end in ("-wal", "-journal"))
    except FileNotFoundError:
        raise NotFoundError("there is no such backup", str(file), "name another file") from None
    except OSError as error:
        reason = error.strerror or "it cannot be read"
        raise StoreError(f"the backup cannot be read: {reason}", str(file)) from None
    if head != HEADER:
        hint = "name a file that class db backup wrote"
        raise StoreError("this is no backup of a class store", str(file), hint)
    if live:
        hint = "make a backup of it with class db backup, and restore that"
        raise ConflictError("this is a store in use, not a backup", str(file), hint)
    if size > free:
        raise StoreError("the disk has no room for the backup", str(file), "make room")


def _made_sound(draft: Path, file: Path) -> str:
    """Looked through, and rid of whatever would run by itself; its own guards put on anew."""
    from trainer.store import guards

    try:
        _whole(draft)
        store = connect(sqlite_at(draft).url)
        try:
            revision = state_of(store)
            if revision == EMPTY:
                raise StoreError("there is no class in it", str(file))
            require_known(revision, str(file))
            with store.altering() as connection:
                guards.only_ours(connection)
        finally:
            store.close()
    except TrainerError as error:
        raise type(error)(f"the backup: {error.what}", str(file), error.hint) from None
    with closing(_plain(draft)) as connection:
        connection.execute("pragma journal_mode = delete")
    return revision


def _replace(path: Path, draft: Path, aside: Path) -> None:
    """Keep what is there, then write the backup over it in one transaction."""
    store = connect(sqlite_at(path).url)
    try:
        backup(store, aside)
    except (StoreError, NotFoundError):
        store.close()
        _moved_aside(path, aside)
        publish(draft, path)
        return
    finally:
        store.close()
    with telling(str(path)), closing(_plain(draft)) as new, closing(_plain(path)) as live:
        new.backup(live)


def _moved_aside(path: Path, aside: Path) -> None:
    """A store too damaged to be read keeps its bytes, with what belongs to them."""
    try:
        for end in ("-wal", "-shm", ""):
            if _beside(path, end).exists():
                os.replace(_beside(path, end), _beside(aside, end))
    except OSError as error:
        raise _unwritten(aside, error) from None


def _beside(path: Path, end: str) -> Path:
    return path.with_name(path.name + end)
