"""The receipt of a hand-in: what the instructor's side received and when, under his seal.

Knows the form of the file; must know no class.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Annotated

from pydantic import ConfigDict, Field, TypeAdapter
from pydantic.dataclasses import dataclass as record

from trainer.base.errors import NotVerifiedError
from trainer.exchange.handin import LEARNER, Ms, Number, Uuid
from trainer.exchange.signing import checked, line_of, opened, row_of, sealed

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

KIND = "receipt"
SUFFIX = ".receipt"
SIZE_MOST = 65_536


@record(frozen=True, config=ConfigDict(extra="forbid", strict=True))
class Receipt:
    """``digest`` names the bytes received; ``checks`` says in sentences what was noticed."""

    receipt: int
    assignment_id: Uuid
    learner_id: Annotated[str, Field(pattern=f"^{LEARNER}$")]
    no: Number
    digest: Annotated[str, Field(pattern="^[0-9a-f]{64}$")]
    received_ms: Ms
    late_ms: Ms
    counted: bool
    checks: Annotated[tuple[str, ...], Field(max_length=50)] = ()


_RECEIPT = TypeAdapter(Receipt)


def write_receipt(receipt: Receipt, key: Ed25519PrivateKey) -> bytes:
    return sealed(KIND, line_of(asdict(receipt)), key)


def read_receipt(content: bytes, name: str, lock: str) -> Receipt:
    """The receipt, signed by ``lock``, the instructor's public key of the assignment.

    Raises NotVerifiedError.
    """
    if len(content) > SIZE_MOST:
        raise NotVerifiedError("the file is too large for a receipt", name, "the file as made")
    signed = opened(KIND, content, name)
    if signed.public != lock:
        raise NotVerifiedError("another key signed this receipt", name, "the instructor's own")
    return checked(_RECEIPT, row_of(signed.body, name), name)
