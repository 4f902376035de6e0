"""Signing keys that are the same in every run. For tests only."""

from __future__ import annotations

import hashlib

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey


def key_of(name: str) -> Ed25519PrivateKey:
    return Ed25519PrivateKey.from_private_bytes(hashlib.sha256(name.encode()).digest())


INSTRUCTOR = key_of("the instructor")
