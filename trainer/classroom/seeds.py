"""Seeds of an assignment: from its secret, so that none is guessed and each can be had again.

A learner's seed is the first eight bytes of HMAC-SHA256 (RFC 2104) of the assignment's secret over
his id and the number of the attempt, moved into the numbers from 2^63 on. Knows bytes only.
"""

from __future__ import annotations

import hashlib
import hmac

from trainer.exchange.assignment import SEED_LEAST


def seed_of(secret: str, person_id: str, no: int) -> int:
    """``person_id`` "" gives the seed that all learners share."""
    digest = hmac.new(bytes.fromhex(secret), f"{person_id}|{no}".encode(), hashlib.sha256).digest()
    # a quarter of the range, so that the next few seeds stay below 2^64
    return SEED_LEAST + (int.from_bytes(digest[:8], "big") >> 2)
