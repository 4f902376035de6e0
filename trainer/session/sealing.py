"""Graded attempts: sealed until the instructor's key or his signed release opens them.

The header of a graded attempt carries the lock, a public key; a release is a signature of the
digest of the attempt's bytes. This keeps marks back and says who released them; it does not
hide the file's content from somebody who reads it. Knows files and signatures; must know no
mark and makes no key of its own.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trainer.base.errors import POLICY, NotFoundError, TrainerError

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

GRADED = "graded"
SUFFIX = ".release"
KEY_HEAD, LOCK_HEAD = "condenser-bench key 1", "condenser-bench lock 1"
#: A key or lock file is one line of this many hexadecimal digits under its head.
HEX = 64


class SealedError(TrainerError):
    """A graded attempt that is not released."""

    exit_code = POLICY
    code = "sealed"


def lock_in(header: Mapping[str, Any]) -> str:
    """The lock of a graded attempt, or "" for any other."""
    return str(header.get("lock", "")) if header.get("mode") == GRADED else ""


def open_up(path: Path, header: Mapping[str, Any], key: Path | None) -> None:
    """Nothing for an attempt that may be looked into. Raises SealedError for one that may not."""
    lock = lock_in(header)
    if header.get("mode") != GRADED or (key is not None and _fits(key, lock)):
        return
    if lock and _released(path, lock):
        return
    what = "this graded attempt is not released"
    if key is not None:
        what = "this key does not open this graded attempt"
    raise SealedError(what, str(path), "ask the instructor for its release, or use --key FILE")


def _fits(key: Path, lock: str) -> bool:
    return lock_of(read_key(key)) == lock


def _released(path: Path, lock: str) -> bool:
    beside = path.with_name(path.name + SUFFIX)
    return beside.is_file() and releases(path, lock, beside.read_bytes()[:4096])


def releases(path: Path, lock: str, content: bytes) -> bool:
    """Whether the content of a release opens this attempt."""
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    try:
        signature = bytes.fromhex(content.decode("ascii").strip())
        public = Ed25519PublicKey.from_public_bytes(bytes.fromhex(lock))
        public.verify(signature, digest_of(path))
    except (InvalidSignature, ValueError, OSError):
        return False
    return True


def digest_of(path: Path) -> bytes:
    return hashlib.sha256(path.read_bytes()).digest()


def release(path: Path, header: Mapping[str, Any], key: Path) -> Path:
    """Write the release beside a graded attempt. Raises TrainerError for another key."""
    private = read_key(key)
    if lock_in(header) != lock_of(private):
        raise SealedError(
            "this key does not open this attempt", str(path), "the key it was set with"
        )
    beside = path.with_name(path.name + SUFFIX)
    beside.write_text(release_of(digest_of(path), private), encoding="ascii")
    return beside


def release_of(digest: bytes, key: Ed25519PrivateKey) -> str:
    """The content of a release, for an attempt's bytes of this SHA-256."""
    return key.sign(digest).hex() + "\n"


def lock_of(key: Ed25519PrivateKey) -> str:
    return key.public_key().public_bytes_raw().hex()


def read_key(path: Path) -> Ed25519PrivateKey:
    """The instructor's key. Raises TrainerError for a file that holds none."""
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    return Ed25519PrivateKey.from_private_bytes(bytes.fromhex(_read(path, KEY_HEAD)))


def read_lock(path: Path) -> str:
    """The lock that graded attempts are begun with, from its own file."""
    return _read(path, LOCK_HEAD)


def _read(path: Path, head: str) -> str:
    try:
        lines = path.read_bytes()[:1000].decode("ascii").split("\n")
    except FileNotFoundError:
        raise NotFoundError("there is no such file", str(path)) from None
    except (OSError, UnicodeDecodeError):
        lines = []
    text = lines[1].strip().lower() if len(lines) > 1 and lines[0].strip() == head else ""
    if len(text) != HEX or set(text) - set("0123456789abcdef"):
        what = f"this is no {head.split()[1]} file"
        raise TrainerError(what, str(path), "one made with condenser-bench key")
    return text


def written(head: str, text: str) -> str:
    """The content of a key or lock file."""
    return f"{head}\n{text}\n"
