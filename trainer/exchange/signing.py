"""Files of JSON lines under one signature: their last line is a seal over all bytes before it.

The seal shows which key signed and that nothing changed since; it does not show that the work was
honest. A file is ASCII, every line ends in a line end, and a seal is written in one way only, so
that a changed byte anywhere is seen. Ed25519: RFC 8032. Knows bytes; must know no kind of file.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from trainer.base.errors import NotVerifiedError

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

T = TypeVar("T")
#: The seal's line; hexadecimal digits are small letters only.
_SEAL = re.compile(rb'\{"public":"([0-9a-f]{64})","seal":"([0-9a-f]{128})"\}\n')
SEAL_BYTES = len('{"public":"","seal":""}\n') + 64 + 128


@dataclass(frozen=True)
class Signed:
    """``body`` is everything before the seal; ``digest`` is the SHA-256 of the whole file."""

    body: bytes
    public: str
    digest: str


def sealed(kind: str, body: bytes, key: Ed25519PrivateKey) -> bytes:
    """The body, which ends in a line end, and its seal."""
    public = key.public_key().public_bytes_raw().hex()
    seal = key.sign(_message(kind, body)).hex()
    return body + f'{{"public":"{public}","seal":"{seal}"}}\n'.encode("ascii")


def opened(kind: str, content: bytes, name: str) -> Signed:
    """What was signed. Raises NotVerifiedError."""
    body, seal = content[:-SEAL_BYTES], content[-SEAL_BYTES:]
    match = _SEAL.fullmatch(seal)
    if match is None or not body.endswith(b"\n"):
        raise NotVerifiedError(
            "the seal at the end is missing or was changed", name, "the whole file as it was made"
        )
    if not _holds(kind, body, match[1].decode(), match[2].decode()):
        raise NotVerifiedError("the seal does not fit what stands above it", name, "the whole file")
    return Signed(body, match[1].decode(), hashlib.sha256(content).hexdigest())


def _holds(kind: str, body: bytes, public: str, seal: str) -> bool:
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    try:
        Ed25519PublicKey.from_public_bytes(bytes.fromhex(public)).verify(
            bytes.fromhex(seal), _message(kind, body)
        )
    except (InvalidSignature, ValueError):
        return False
    return True


def _message(kind: str, body: bytes) -> bytes:
    """A seal of one kind of file fits no other."""
    return f"condenser-bench {kind} 1\n".encode("ascii") + hashlib.sha256(body).digest()


def line_of(row: Mapping[str, Any]) -> bytes:
    """One object as its only line."""
    text = json.dumps(row, ensure_ascii=True, sort_keys=True, separators=(",", ":"))
    return text.encode("ascii") + b"\n"


def row_of(line: bytes, where: str, most: int = 65_536) -> dict[str, Any]:
    """The object of a line. Raises NotVerifiedError."""
    try:
        if len(line) > most:
            raise ValueError
        row = json.loads(line.decode("ascii"))
    except (ValueError, RecursionError):
        row = None
    if not isinstance(row, dict):
        raise NotVerifiedError("the line is no object", where, "the file as it was made")
    return row


def checked(form: TypeAdapter[T], row: Mapping[str, Any], where: str) -> T:
    """A row as the record it must be. Raises NotVerifiedError, which names the first bad field."""
    try:
        return form.validate_json(line_of(row))
    except ValidationError as error:
        fault = error.errors(include_url=False)[0]
        place = ".".join(str(x) for x in fault["loc"])
        raise NotVerifiedError(f"{place}: {fault['msg']}", where, "the file as made") from None
