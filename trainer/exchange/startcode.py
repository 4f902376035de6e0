"""The start code: what the instructor reads out, and what it keeps shut until then.

Eight signs that cannot be mistaken for one another, about 40 bits, stretched with scrypt (RFC 7914)
and used with ChaCha20-Poly1305 (RFC 8439). It keeps a variant from being looked at before the
hour; somebody who has the code and a debugger sees what his own bench sees. Knows bytes and words;
must know no assignment.
"""

from __future__ import annotations

import hashlib
import json
import zlib
from base64 import b64decode, b64encode
from collections.abc import Mapping
from typing import Any

from trainer.base.errors import PolicyError

#: Without 0 O 1 I L, and without B 8 and S 5, which sound or look alike.
SIGNS = "ACDEFGHJKMNPQRTUVWXYZ234679"
LENGTH = 8
_COST, _BLOCK, _LANES = 1 << 14, 8, 1
PLAIN_MOST = 20_000_000


def drawn(chance: bytes) -> str:
    """A code from at least 16 random bytes, in two groups: 'K7QF-2MXD'."""
    number = int.from_bytes(chance, "big")
    signs = []
    for _ in range(LENGTH):
        number, sign = divmod(number, len(SIGNS))
        signs.append(SIGNS[sign])
    return f"{''.join(signs[:4])}-{''.join(signs[4:])}"


def bare(code: str) -> str:
    """The code as heard: without spaces and dashes, in capitals."""
    return "".join(c for c in code.upper() if c.isalnum())[:64]


def stretched(code: str, salt: bytes) -> bytes:
    """The key of a code [32 bytes]."""
    return hashlib.scrypt(
        bare(code).encode("ascii", "replace"), salt=salt, n=_COST, r=_BLOCK, p=_LANES, dklen=32
    )


def shut(key: bytes, nonce: bytes, about: str, data: Mapping[str, Any]) -> str:
    """Data under a key, as text. ``about`` is bound to it and stands in the open."""
    from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305

    packed = zlib.compress(json.dumps(data, ensure_ascii=True).encode("ascii"), 6)
    return b64encode(nonce + ChaCha20Poly1305(key).encrypt(nonce, packed, about.encode())).decode()


def unshut(key: bytes, text: str, about: str) -> dict[str, Any]:
    """The data again. Raises PolicyError for another code, or for somebody else's part."""
    from cryptography.exceptions import InvalidTag
    from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305

    try:
        content = b64decode(text, validate=True)
        packed = ChaCha20Poly1305(key).decrypt(content[:12], content[12:], about.encode())
        plain = zlib.decompressobj().decompress(packed, PLAIN_MOST)
        data = json.loads(plain)
    except (InvalidTag, ValueError, zlib.error):
        raise PolicyError(
            "this start code does not open it", hint="the eight signs as the instructor reads them"
        ) from None
    return dict(data)
