"""Makes an instructor's key with the lock that graded attempts are begun with, and releases.

The only place where a key is drawn. Knows files and sentences; decides nothing.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Annotated

import typer

from trainer.base.errors import TrainerError, UsageError, quoted
from trainer.cli.envelope import Outcome
from trainer.cli.files import writing

HOW = "new FILE; release ATTEMPT --key FILE"


def command(
    action: Annotated[str, typer.Argument(help=HOW)],
    name: Annotated[str, typer.Argument(metavar="FILE", help="A key to make, or an attempt.")],
    key: Annotated[str, typer.Option(metavar="FILE", help="The key that releases.")] = "",
) -> Outcome:
    """Make a key for graded attempts, or release one."""
    if action == "new":
        return _new(Path(name))
    if action == "release" and key:
        return _release(Path(name), Path(key))
    what = "release needs --key FILE" if action == "release" else f"{quoted(action)} is no use here"
    raise UsageError(what, hint=HOW)


def _new(path: Path) -> Outcome:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    from trainer.session.sealing import KEY_HEAD, LOCK_HEAD, lock_of, written

    private = Ed25519PrivateKey.generate()
    lock = path.with_name(path.name + ".lock")
    for target, text in (
        (path, written(KEY_HEAD, private.private_bytes_raw().hex())),
        (lock, written(LOCK_HEAD, lock_of(private))),
    ):
        with writing(target) as file:
            _once(file, text)
    said = f"Wrote the key {path}: keep it to yourself.\nWrote the lock {lock}: hand it out."
    return Outcome({"key": str(path), "lock": str(lock), "fingerprint": lock_of(private)}, said)


def _once(path: Path, text: str) -> None:
    """A new file that only its owner reads."""
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        raise TrainerError("there is already such a file", str(path), "another name") from None
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(text)


def _release(path: Path, key: Path) -> Outcome:
    from trainer.session.log import read
    from trainer.session.sealing import release

    attempt = read(path)
    with writing(path):
        beside = release(path, attempt.header, key)
    return Outcome({"attempt": str(path), "release": str(beside)}, f"Wrote {beside}.")
