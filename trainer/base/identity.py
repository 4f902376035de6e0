"""Ids from chance that is handed in. Knows bytes; draws nothing itself."""

from __future__ import annotations


def uuid_of(chance: bytes) -> str:
    """A random UUID (RFC 9562, version 4) from 16 random bytes."""
    drawn = bytearray(chance)
    drawn[6], drawn[8] = drawn[6] & 0x0F | 0x40, drawn[8] & 0x3F | 0x80
    text = drawn.hex()
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))
