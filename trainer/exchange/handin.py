"""The hand-in: an attempt's bytes unaltered under a first line of what is claimed, and a seal.

Knows the form of the file and names the first bad event of one that was changed; must know no class
and no mark.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import ConfigDict, Field, TypeAdapter
from pydantic.dataclasses import dataclass as record

from trainer import __version__
from trainer.base.errors import NotVerifiedError, TrainerError
from trainer.exchange.signing import checked, line_of, opened, row_of, sealed
from trainer.session.log import ChangedError, links_of, parsed

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

KIND = "handin"
SUFFIX = ".handin"
SIZE_MOST = 60_000_000
UUID = r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}"
#: A learner's number in a class: no spaces, nothing a path or a formula is made of.
LEARNER = r"[A-Za-z0-9][A-Za-z0-9._@-]{0,63}"
Ms = Annotated[int, Field(ge=0, le=253_402_300_799_000)]
Uuid = Annotated[str, Field(pattern=f"^{UUID}$")]
Number = Annotated[int, Field(ge=1, le=99)]
_STRICT = ConfigDict(extra="forbid", strict=True)


@record(frozen=True, config=_STRICT)
class Sitting:
    """From sitting down to getting up by the clock, and as long as it was by the machine's timer.

    ``elapsed_ms`` is None where the program was cut off.
    """

    start_ms: Ms
    end_ms: Ms
    elapsed_ms: Annotated[int, Field(ge=0)] | None = None


@record(frozen=True, config=_STRICT)
class Opened:
    """An attempt begun on this installation, in its own book."""

    no: Number
    opening_id: Uuid
    at_ms: Ms


@record(frozen=True, config=_STRICT)
class Claim:
    """The first line. Times are the learner's clock; nothing in it is proved."""

    handin: int
    program: Annotated[str, Field(max_length=40)]
    assignment_id: Uuid
    learner_id: Annotated[str, Field(pattern=f"^{LEARNER}$")]
    no: Number
    opening_id: Uuid
    openings: Annotated[tuple[Opened, ...], Field(max_length=200)]
    sittings: Annotated[tuple[Sitting, ...], Field(max_length=500)]
    started_ms: Ms
    ended_ms: Ms
    events: Annotated[int, Field(ge=1, le=10_000_000)]
    head: Annotated[str, Field(pattern="^[0-9a-f]{16}$")]


@dataclass(frozen=True)
class HandIn:
    """A hand-in whose seal holds and whose attempt is whole."""

    claim: Claim
    public_key: str
    attempt: bytes
    digest: str

    @property
    def elapsed_ms(self) -> int | None:
        """Time at the bench by the machine's timer; None when a sitting was cut off."""
        spans = [s.elapsed_ms for s in self.claim.sittings]
        return None if None in spans or not spans else sum(s for s in spans if s is not None)


def write_handin(
    attempt: bytes, claimed: Mapping[str, Any], sittings: Sequence[Sitting],
    openings: Sequence[Opened], key: Ed25519PrivateKey, name: str = "attempt",
) -> bytes:  # fmt: skip
    """The file. ``claimed`` has assignment_id, learner_id, no, opening_id, started_ms, ended_ms.

    Raises TrainerError for an attempt that is not whole.
    """
    log = parsed(attempt, Path(name))
    if log.torn or log.broken is not None or not log.events:
        raise TrainerError("the attempt is not whole", name, "open it again, then hand it in")
    row = {
        "handin": 1, "program": __version__, **claimed, "events": len(log.events),
        "head": log.links[-1], "openings": [asdict(o) for o in openings],
        "sittings": [asdict(s) for s in sittings],
    }  # fmt: skip
    claim_of(row, name)
    return sealed(KIND, line_of(row) + attempt, key)


def read_handin(content: bytes, name: str) -> HandIn:
    """The hand-in. Raises NotVerifiedError naming the first bad event of a changed one."""
    if len(content) > SIZE_MOST:
        raise NotVerifiedError("the file is too large for a hand-in", name, "the file as made")
    try:
        signed = opened(KIND, content, name)
    except NotVerifiedError as error:
        raise _first_bad(content, name) or error from None
    first, _, attempt = signed.body.partition(b"\n")
    claim = claim_of(row_of(first, f"{name}:1"), f"{name}:1")
    _whole(claim, attempt, name)
    return HandIn(claim, signed.public, attempt, signed.digest)


def claim_of(row: Mapping[str, Any], where: str) -> Claim:
    """The first line checked. Raises NotVerifiedError."""
    return checked(_CLAIM, row, where)


_CLAIM = TypeAdapter(Claim)


def _whole(claim: Claim, attempt: bytes, name: str) -> None:
    """Signed bytes can still be nonsense: somebody's own program may have signed them."""
    try:
        log = parsed(attempt, Path(name))
    except ChangedError as error:
        raise NotVerifiedError(error.what, name, error.hint) from None
    except TrainerError as error:
        raise NotVerifiedError(error.what, name, "the file as made") from None
    if log.torn or log.broken is not None:
        where = f"event {log.broken}" if log.broken else "the header"
        raise NotVerifiedError(f"{where} was changed or moved", name, "the file as made")
    if len(log.events) != claim.events or log.links[-1] != claim.head:
        raise _count(claim.events, len(log.events), name)
    said = {
        "assignment": claim.assignment_id, "learner": claim.learner_id, "no": claim.no,
        "opening": claim.opening_id,
    }  # fmt: skip
    for key, value in said.items():
        if log.header.get(key) != value:
            what = f"the attempt's header names another {key} than the hand-in"
            raise NotVerifiedError(what, name, "the attempt this assignment was worked with")


def _count(claimed: int, found: int, name: str) -> NotVerifiedError:
    if found < claimed:
        return NotVerifiedError(f"event {found + 1} is missing", name, "the whole file")
    return NotVerifiedError(
        f"event {claimed + 1} was not in what was handed in", name, "the file as made"
    )


def _first_bad(content: bytes, name: str) -> NotVerifiedError | None:
    """Where a file whose seal does not hold first went wrong, as far as it can be told."""
    lines = content.split(b"\n")
    rows = [line.decode("ascii", "replace") for line in lines[1:] if b'"link":"' in line[-40:]]
    tail = [line for line in lines[1:] if line and b'"link":"' not in line[-40:]]
    _, broken = links_of(rows)
    gap = next((n for n, line in enumerate(lines[1:]) if _unlinked(line)), len(rows))
    at = min(broken if broken is not None else len(rows), gap)
    if at < len(rows) or (tail and _unlinked(tail[0])):
        where = f"event {at}" if at else "the header"
        return NotVerifiedError(
            f"{where} was changed, or stands where it did not", f"{name}:{at + 2}", "the whole file"
        )
    try:
        claim = claim_of(row_of(lines[0], f"{name}:1"), f"{name}:1")
    except NotVerifiedError as error:
        return error
    if len(rows) - 1 != claim.events:
        return _count(claim.events, len(rows) - 1, name)
    return None


def _unlinked(line: bytes) -> bool:
    """A line that is neither an event nor a seal."""
    return bool(line) and b'"link":"' not in line[-40:] and not line.startswith(b'{"public"')


def is_learner_id(text: str) -> bool:
    return re.fullmatch(LEARNER, text) is not None
