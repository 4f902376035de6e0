"""Bytes in the store: kept unaltered under the SHA-256 of them, packed, and given back checked.

Knows the table of blobs; must know nothing of what is in them.
"""

from __future__ import annotations

import hashlib
import zlib

from sqlalchemy import Connection, select
from sqlalchemy.dialects import postgresql, sqlite

from trainer.base.errors import NotFoundError, TrainerError
from trainer.store.tables import blob

#: Longest file that is kept or given back.
SIZE_MOST = 200_000_000


class ErasedError(NotFoundError):
    """The row is there and its bytes are not: the person they told of was erased."""

    code = "erased"


def digest_of(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def pack(content: bytes) -> bytes:
    """Heavy: done before a transaction begins."""
    return zlib.compress(content, 6)


def keep(connection: Connection, content: bytes, packed: bytes, now_ms: int) -> str:
    """The digest; the same bytes are kept once, whoever else keeps them at this moment."""
    digest = digest_of(content)
    row = {"digest": digest, "size": len(content), "packed": packed, "kept_ms": now_ms}
    into = postgresql.insert if connection.dialect.name == "postgresql" else sqlite.insert
    connection.execute(into(blob).values(**row).on_conflict_do_nothing())
    return digest


def fetch(connection: Connection, digest: str) -> bytes:
    """The bytes kept under a digest. Raises NotFoundError, or TrainerError when they changed."""
    found = connection.execute(
        select(blob.c.size, blob.c.packed).where(blob.c.digest == digest)
    ).first()
    if found is None:
        raise NotFoundError("no file with this digest is kept", digest)
    size, packed = found
    if not packed:
        raise ErasedError("the bytes of this file were erased", digest, "marks made of it stay")
    unpacker = zlib.decompressobj()
    try:
        content = unpacker.decompress(packed, min(size, SIZE_MOST) + 1)
    except zlib.error:
        content = b""
    if len(content) != size or digest_of(content) != digest:
        what = "the kept file is not the one that was handed in: the database was changed"
        raise TrainerError(what, digest, "restore a backup")
    return content
