"""The signing key of an installation: made on first use, kept private, readable aloud.

Knows one folder of keys; must draw no chance of its own.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from trainer.base.errors import TrainerError
from trainer.session.sealing import KEY_HEAD, LOCK_HEAD, lock_of, read_key, written

if TYPE_CHECKING:
    from typing import TypeAlias

    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    Key: TypeAlias = Ed25519PrivateKey

#: Groups of four hexadecimal digits that are read aloud: 80 bits.
GROUPS = 5


def own_key(folder: Path, role: str, chance: Callable[[int], bytes]) -> Ed25519PrivateKey:
    """The key of ``role`` (learner, instructor) in a private folder, made if there is none.

    Raises TrainerError when it can be neither read nor made.
    """
    path = folder / f"{role}.key"
    if not path.is_file():
        _made(path, chance(32))
    return read_key(path)


def _made(path: Path, secret: bytes) -> None:
    """Two programs at once make one key: the second to arrive takes the first one's."""
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    key = Ed25519PrivateKey.from_private_bytes(secret)
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        draft = path.with_name(f"{path.name}.{secret[:4].hex()}")
        private(draft, written(KEY_HEAD, secret.hex()).encode("ascii"))
        try:
            os.link(draft, path)
        except FileExistsError:
            return
        except OSError:  # a folder without links
            os.replace(draft, path)
            return
        finally:
            draft.unlink(missing_ok=True)
        lock = path.with_name(path.name + ".lock")
        lock.write_text(written(LOCK_HEAD, lock_of(key)), encoding="ascii")
    except OSError as error:
        raise TrainerError(
            f"the signing key cannot be kept: {error.strerror}", str(path), "a folder of your own"
        ) from None


def private(path: Path, content: bytes) -> None:
    """A new file that only its owner reads, on disk when this returns."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def replaced(path: Path, content: bytes) -> None:
    """The file whole, old or new, whatever happens in between."""
    draft = path.with_name(f".{path.name}.{os.getpid()}")
    draft.unlink(missing_ok=True)
    private(draft, content)
    os.replace(draft, path)


def fingerprint(public: str) -> str:
    """A public key as it is read aloud: 'a1b2 c3d4 ...'."""
    digest = hashlib.sha256(bytes.fromhex(public)).hexdigest()
    return " ".join(digest[4 * n : 4 * n + 4] for n in range(GROUPS))
