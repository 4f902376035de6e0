"""Opens the class store where it lies, and makes it where there is none yet.

A new SQLite file is made beside its name and gets it once it is whole, so nobody ever meets half
a store, however many begin at once. Knows folders, rights and revisions; must know no table.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from trainer.base.errors import NotFoundError
from trainer.base.places import data_dir
from trainer.store.addresses import Address, address_of, sqlite_at
from trainer.store.database import Store, connect
from trainer.store.drives import refuse_network
from trainer.store.failing import StoreError
from trainer.store.schema import EMPTY, require_current, state_of

#: Where the store is, when it is not in the person's data folder; may hold a password.
STORE_VARIABLE = "CONDENSER_BENCH_STORE"
FILE = Path("class") / "class.db"


def store_address(url: str | None = None) -> Address:
    """``url`` else the variable else the person's data folder."""
    if url:
        return address_of(url)
    chosen = os.environ.get(STORE_VARIABLE)
    if chosen:
        return address_of(chosen, may_hold_password=True)
    return sqlite_at(data_dir() / FILE)


def open_store(url: str | None = None, create: bool = True) -> Store:
    """The store, with this program's schema or not at all."""
    address = store_address(url)
    if address.path is not None:
        _ready(address.path, create)
    store = connect(address.url)
    try:
        revision = state_of(store)
        if revision == EMPTY and create:
            from trainer.store.upgrading import upgrade

            upgrade(store)
            revision = state_of(store)
        require_current(revision, address.shown)
    except BaseException:
        store.close()
        raise
    return store


def opened_as_it_is(address: Address) -> Store:
    """Whatever schema it has: for looking after it, not for work on a class."""
    if address.path is not None:
        refuse_network(address.path)
    return connect(address.url)


@contextmanager
def fresh_store(address: Address, keep: bool) -> Iterator[Store]:
    """A store to copy into: a file that was made for it goes again when that fails."""
    path = address.path
    made = path is not None and not path.exists()
    if path is not None:
        refuse_network(path)
        private_folder(path)
        if made:
            os.close(os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600))
    store = connect(address.url)
    done = False
    try:
        yield store
        done = keep
    finally:
        store.close()
        if made and path is not None and not done:
            path.unlink(missing_ok=True)


def kept_folder(address: Address) -> Path:
    """Where backups lie unless somebody says otherwise; made on first use."""
    whole = address.path if address.path is not None else sqlite_at(data_dir() / FILE).path
    assert whole is not None
    folder = whole.parent / "backups"
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"the folder of backups: {error.strerror}", str(folder)) from None
    return folder


def _ready(path: Path, create: bool) -> None:
    refuse_network(path)
    if path.exists():
        return
    if not create:
        hint = "make a class first (condenser-bench class new NAME) or name the place with --store"
        raise NotFoundError("there is no class store", str(path), hint)
    private_folder(path)
    fresh = blank_beside(path)
    try:
        publish(fresh, path)
    except FileExistsError:
        pass
    finally:
        fresh.unlink(missing_ok=True)


def private_folder(path: Path) -> None:
    """The folder of a file to be: the program's own is made for its owner alone."""
    folder = path.parent
    try:
        if folder == (data_dir() / FILE).absolute().parent:
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        reason = error.strerror or "it cannot be made"
        raise StoreError(f"the folder of the class store: {reason}", str(folder)) from None
    if not folder.is_dir():
        raise NotFoundError("there is no such folder", str(folder), "make it, or name another")


def blank_beside(path: Path) -> Path:
    """A whole empty store under a passing name in the folder of ``path``, closed."""
    from trainer.store.upgrading import upgrade

    fresh = passing_name(path)
    store = connect(sqlite_at(fresh).url)
    try:
        upgrade(store)
    except BaseException:
        store.close()
        fresh.unlink(missing_ok=True)
        raise
    store.close()
    return fresh


def passing_name(path: Path) -> Path:
    """An empty file for its owner alone beside ``path``."""
    try:
        handle, name = tempfile.mkstemp(
            prefix=f".{path.name[:40]}-", suffix=".new", dir=path.parent
        )
    except OSError as error:
        reason = error.strerror or "it cannot be made"
        what = f"no file can be made in the folder of the class store: {reason}"
        raise StoreError(what, str(path.parent), "look at the folder's rights") from None
    os.close(handle)
    return Path(name)


def publish(fresh: Path, path: Path) -> None:
    """Give a whole file its name; raises FileExistsError where somebody was first."""
    try:
        os.link(fresh, path)
    except FileExistsError:
        raise
    except OSError:  # a drive without hard links
        if path.exists():
            raise FileExistsError(str(path)) from None
        os.replace(fresh, path)
    _synced(path.parent)


def _synced(folder: Path) -> None:
    """A new name survives a power cut once its folder is on the disk; Windows has no such call."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
