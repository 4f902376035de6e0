"""The assignment file: its terms in the open, each learner's variants shut under a start code.

One file serves the class. A learner's part carries the unit as he finds it, his extension and his
number of attempts; it never carries what is wanted, what is planted, or the secret that seeds come
from. Learner numbers do not stand in it, only salted digests of them. Knows the form of the file;
must know no class and no mark.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import ConfigDict, Field, TypeAdapter
from pydantic.dataclasses import dataclass as record

from trainer.base.errors import NotFoundError, NotVerifiedError, PolicyError, TrainerError, quoted
from trainer.exchange.handin import Ms, Uuid
from trainer.exchange.signing import checked, line_of, opened, row_of, sealed
from trainer.exchange.startcode import shut, stretched, unshut

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

KIND = "assignment"
SUFFIX = ".assignment"
SIZE_MOST = 100_000_000
PART_MOST = 5_000_000
#: Seeds of assignments begin here; practice and every command that tells refuse them.
SEED_LEAST = 1 << 63
_STRICT = ConfigDict(extra="forbid", strict=True)
Word = Annotated[str, Field(max_length=200)]


@record(frozen=True, config=_STRICT)
class Terms:
    """What stands in the open: the card before a start is made of it. Times are UTC."""

    assignment: int
    id: Uuid
    name: Word
    title: Word
    scenario: Word
    scenario_title: Word
    scenario_digest: Word
    level: Annotated[int, Field(ge=0, le=20)]
    generator: int
    attempts: Annotated[int, Field(ge=1, le=99)]
    counting: Annotated[str, Field(pattern="^(best|last|first)$")]
    opens_ms: Ms
    due_ms: Ms
    closes_ms: Ms
    zone: Word
    grace_min: Annotated[int, Field(ge=0, le=100_000)]
    late_rule: Word
    time_s: Annotated[int, Field(ge=0, le=1_000_000)] | None
    hints: Annotated[tuple[Word, ...], Field(max_length=3)]
    feedback: Word
    releases: Word
    cut: Word
    weights: Annotated[dict[str, Word], Field(max_length=20)]
    floors: Annotated[dict[str, Word], Field(max_length=20)]
    critical: Annotated[tuple[Word, ...], Field(max_length=40)]
    lock: Annotated[str, Field(pattern="^[0-9a-f]{64}$")]
    made_ms: Ms
    salt: Annotated[str, Field(pattern="^[0-9a-f]{32}$")]


@dataclass(frozen=True)
class Part:
    """One learner's: his own times, and for each attempt the unit as found and its header."""

    learner_id: str
    due_ms: int
    closes_ms: int
    attempts: int
    accommodation: float
    variants: tuple[Mapping[str, Any], ...]


@dataclass(frozen=True)
class AssignmentFile:
    """A file whose seal holds; ``parts`` are still shut."""

    terms: Terms
    parts: Mapping[str, str]
    digest: str

    def part(self, learner_id: str, code: str) -> Part:
        """A learner's own part. Raises NotFoundError, PolicyError for a wrong start code."""
        shut_part = self.parts.get(tag_of(self.terms.salt, learner_id))
        if shut_part is None:
            raise NotFoundError(
                f"this assignment holds nothing for the learner {quoted(learner_id)}",
                self.terms.name, "your number as the instructor has it",
            )  # fmt: skip
        key = stretched(code, bytes.fromhex(self.terms.salt))
        data = unshut(key, shut_part, _about(self.terms.id, learner_id))
        return Part(**{**data, "variants": tuple(data["variants"])})


def tag_of(salt: str, learner_id: str) -> str:
    return hashlib.sha256(f"{salt}|{learner_id}".encode()).hexdigest()[:32]


def _about(assignment_id: str, learner_id: str) -> str:
    return f"{assignment_id}|{learner_id}"


def write_assignment(
    terms: Terms, parts: Sequence[Part], code: str, nonces: Sequence[bytes],
    key: Ed25519PrivateKey,
) -> bytes:  # fmt: skip
    """The file for all ``parts``; ``nonces`` are 12 fresh random bytes for each."""
    secret = stretched(code, bytes.fromhex(terms.salt))
    lines = [line_of(asdict(terms))]
    for part, nonce in zip(parts, nonces, strict=True):
        about = _about(terms.id, part.learner_id)
        text = shut(secret, nonce, about, asdict(part))
        lines.append(line_of({"for": tag_of(terms.salt, part.learner_id), "part": text}))
    return sealed(KIND, b"".join([lines[0], *sorted(lines[1:])]), key)


def read_assignment(content: bytes, name: str) -> AssignmentFile:
    """The file, its seal checked against the lock it names. Raises NotVerifiedError."""
    if len(content) > SIZE_MOST:
        raise NotVerifiedError("the file is too large for an assignment", name, "the file as made")
    signed = opened(KIND, content, name)
    first, *rest = signed.body.splitlines()
    terms = _terms(row_of(first, f"{name}:1"), name)
    if signed.public != terms.lock:
        raise NotVerifiedError("another key signed this assignment", name, "the instructor's file")
    parts = {}
    for n, line in enumerate(rest, 2):
        row = row_of(line, f"{name}:{n}", PART_MOST)
        parts[str(row.get("for"))] = str(row.get("part"))
    return AssignmentFile(terms, parts, signed.digest)


def _terms(row: Mapping[str, Any], name: str) -> Terms:
    if row.get("assignment") != 1:
        raise TrainerError("this is no assignment file of this version", name, "update the program")
    return checked(_TERMS, row, name)


_TERMS = TypeAdapter(Terms)


def refuse_assigned(seed: int, what: str) -> None:
    """Raises PolicyError for a seed of an assignment: it is not for practice or looking up."""
    if seed >= SEED_LEAST:
        raise PolicyError(
            f"this number belongs to an assignment; {what} does not take it",
            hint="a smaller seed",
        )
