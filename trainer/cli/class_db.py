"""Looks after the class store from the command line. Knows options and dates; no table."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trainer.base.errors import UsageError, quoted
from trainer.cli.envelope import Outcome

if TYPE_CHECKING:
    from trainer.store.addresses import Address
    from trainer.store.database import Store

HOW = "upgrade; backup [FILE]; restore FILE; copy --from PLACE --to PLACE; check"
PLACE = "a SQLite file or postgresql://USER@HOST/DATABASE, never with a password"


@dataclass(frozen=True)
class Asked:
    """What the line says beside the action."""

    file: str
    store: str
    source: str
    target: str
    replace: bool
    dry: bool


def db(
    action: Annotated[str, typer.Argument(help=HOW)],
    file: Annotated[str, typer.Argument(help="A backup to restore, or a new name.")] = "",
    store: Annotated[str, typer.Option(metavar="PLACE", help=f"The store: {PLACE}.")] = "",
    source: Annotated[str, typer.Option("--from", metavar="PLACE", help="Copy from here.")] = "",
    target: Annotated[
        str, typer.Option("--to", metavar="PLACE", help="Copy to here, where nothing is yet.")
    ] = "",
    replace: Annotated[
        bool, typer.Option("--replace", help="Restore over a store; the old one is kept aside.")
    ] = False,
    dry: Annotated[
        bool, typer.Option("--dry-run", help="Say what would be done, and do nothing.")
    ] = False,
) -> Outcome:
    """Look after the class store: upgrade, backup, restore, copy, check.

    \b
    Examples:
      condenser-bench class db backup
      condenser-bench class db restore backups/class-20260302-080000.db --replace
      condenser-bench class db copy --from class.db --to postgresql://teacher@127.0.0.1/class

    The store is the one of --store, else of CONDENSER_BENCH_STORE, else a file in your data
    folder. A password for PostgreSQL comes from PGPASSWORD or its password file. Backups hold the
    names of learners: erasing one later does not reach them. Exit codes: 1 check found something,
    3 damaged or unreachable, 4 nothing there, 5 made by another version, 6 something in the way.
    """
    if action not in ACTIONS:
        raise UsageError(f"{quoted(action)} is nothing to do with a store", hint=HOW)
    asked = Asked(file, store, source, target, replace, dry)
    _only_fitting(action, asked)
    return ACTIONS[action](asked)


def _only_fitting(action: str, asked: Asked) -> None:
    fits = {
        "FILE": (bool(asked.file), ("backup", "restore")),
        "--store": (bool(asked.store), ("upgrade", "backup", "restore", "check")),
        "--from": (bool(asked.source), ("copy",)),
        "--to": (bool(asked.target), ("copy",)),
        "--replace": (asked.replace, ("restore",)),
        "--dry-run": (asked.dry, ("upgrade", "restore", "copy")),
    }
    for name, (given, actions) in fits.items():
        if given and action not in actions:
            raise UsageError(f"{action} has no use for {name}", hint=HOW)


def _upgrade(asked: Asked) -> Outcome:
    from trainer.store.backing import backup
    from trainer.store.opening import store_address
    from trainer.store.schema import HEAD, REVISIONS, require_known, state_of
    from trainer.store.upgrading import upgrade

    address = _there(store_address(asked.store))
    with _connected(address) as store:
        before = state_of(store)
        if before:
            require_known(before, address.shown)
        missing = [revision for revision in REVISIONS if revision > before]
        data = {"store": address.shown, "before": before, "after": HEAD, "run": missing}
        if not missing or asked.dry:
            said = f"{before or 'nothing'} to {HEAD}" if missing else "nothing, it is up to date"
            return Outcome({**data, "backup": None, "dry_run": asked.dry}, f"To do: {said}.")
        kept = backup(store, _dated(address, "before-upgrade")) if before else None
        run = upgrade(store)
    name = str(kept.path) if kept else None
    text = f"Upgraded {address.shown} to schema {HEAD}."
    text += f"\nThe store as it was is kept in {name}." if name else ""
    return Outcome({**data, "run": list(run), "backup": name, "dry_run": False}, text)


def _backup(asked: Asked) -> Outcome:
    from trainer.store.backing import backup
    from trainer.store.opening import store_address

    address = _there(store_address(asked.store))
    target = Path(asked.file) if asked.file else _dated(address, "class")
    with _connected(address) as store:
        done = backup(store, target)
    data = {"store": address.shown, "file": str(done.path), "bytes": done.size,
            "sha256": done.digest, "schema": done.revision}  # fmt: skip
    text = f"Wrote {done.path} ({done.size} bytes), read it again and found it whole.\n"
    text += "It holds names and marks: keep it where only you can read it."
    return Outcome(data, text)


def _restore(asked: Asked) -> Outcome:
    from trainer.store.backing import examined, restore
    from trainer.store.opening import store_address
    from trainer.store.schema import HEAD

    if not asked.file:
        raise UsageError("restore needs the backup's file", hint=HOW)
    address = store_address(asked.store)
    if asked.dry:
        revision = examined(Path(asked.file))
        data = {"store": address.shown, "schema": revision, "aside": None, "dry_run": True}
        return Outcome(data, f"{asked.file} is whole, with schema {revision}. Nothing was changed.")
    aside = _dated(address, "replaced") if asked.replace and address.path else None
    done = restore(address, Path(asked.file), aside)
    data = {"store": address.shown, "schema": done.revision,
            "aside": str(done.aside) if done.aside else None, "dry_run": False}  # fmt: skip
    text = f"Restored {address.shown} from {asked.file}."
    text += f"\nWhat was there is kept in {done.aside}." if done.aside else ""
    older = [] if done.revision == HEAD else ["it has an older schema: run class db upgrade next"]
    return Outcome(data, text, older)


def _copy(asked: Asked) -> Outcome:
    from trainer.store.addresses import address_of
    from trainer.store.copying import copy, copyable
    from trainer.store.opening import fresh_store

    if not asked.source or not asked.target:
        raise UsageError("copy needs --from PLACE and --to PLACE", hint=HOW)
    source, target = _there(address_of(asked.source)), address_of(asked.target)
    with _connected(source) as left, fresh_store(target, keep=not asked.dry) as right:
        if asked.dry:
            revision = copyable(left, right)
            data = {"from": source.shown, "to": target.shown, "schema": revision, "dry_run": True}
            return Outcome(data, "The target is free. Nothing was copied.")
        tables = copy(left, right)
    rows = sum(t.rows for t in tables)
    data = {"from": source.shown, "to": target.shown, "rows": rows, "tables": tables,
            "dry_run": False}  # fmt: skip
    lines = [f"  {t.table:<22}{t.rows:>9}  {t.digest[:16]}" for t in tables]
    head = f"Copied {rows} rows to {target.shown}; every table reads the same there:"
    tail = "From now on name that place with --store or CONDENSER_BENCH_STORE."
    return Outcome(data, "\n".join([head, *lines, tail]))


def _check(asked: Asked) -> Outcome:
    from trainer.store.checking import check
    from trainer.store.opening import store_address

    address = _there(store_address(asked.store))
    with _connected(address) as store:
        found = check(store)
    data = {"store": address.shown, "schema": found.revision, "rows": found.rows,
            "findings": found.findings}  # fmt: skip
    if not found.findings:
        rows = sum(found.rows.values())
        return Outcome(data, f"{address.shown} is sound: schema {found.revision}, {rows} rows.")
    lines = [f"{address.shown}:", *(f"  {finding}" for finding in found.findings)]
    return Outcome(data, "\n".join(lines), exit_code=1)


def _there(address: Address) -> Address:
    from trainer.base.errors import NotFoundError

    if address.path is not None and not address.path.is_file():
        raise NotFoundError("there is no class store", address.shown, "name the place with --store")
    return address


@contextmanager
def _connected(address: Address) -> Iterator[Store]:
    from trainer.store.opening import opened_as_it_is

    store = opened_as_it_is(address)
    try:
        yield store
    finally:
        store.close()


def _dated(address: Address, word: str) -> Path:
    """A new name beside the store, or in the person's folder for one on a server."""
    from trainer.store.opening import kept_folder

    now = datetime.now(UTC)
    return kept_folder(address) / f"{word}-{now:%Y%m%d-%H%M%S}-{now.microsecond:06}.db"


ACTIONS: dict[str, Callable[[Asked], Outcome]] = {
    "upgrade": _upgrade, "backup": _backup, "restore": _restore, "copy": _copy, "check": _check,
}  # fmt: skip
