"""The marks file: what the instructor shows a learner of one attempt, under his seal.

At the level full it carries the release that opens the learner's own attempt. Knows the form of the
file and the learner's book; must know no rule of what may be shown.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import ConfigDict, Field, TypeAdapter
from pydantic.dataclasses import dataclass as record

from trainer.base.errors import NotFoundError, NotVerifiedError, TrainerError
from trainer.exchange.handin import LEARNER, Number, Uuid
from trainer.exchange.keys import replaced
from trainer.exchange.ledger import Ledger, assignments_in, ledger_of
from trainer.exchange.signing import checked, line_of, opened, row_of, sealed
from trainer.scenario.keeping import lay_down
from trainer.session.sealing import SUFFIX as RELEASE_SUFFIX

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    from trainer.exchange.taking import Learner

KIND = "marks"
SUFFIX = ".marks"
SIZE_MOST = 8_000_000
#: Folder of the job beside the attempts, where the assessor looks for it.
KEPT = "job"


@record(frozen=True, config=ConfigDict(extra="forbid", strict=True))
class Marks:
    """``view`` is plain data as the gate let it through; ``release`` is "" below the level full.

    ``job`` goes with a release: the texts of scenario, layout and rubric that the debrief needs,
    with ``name`` and ``digest`` of the scenario.
    """

    marks: int
    assignment_id: Uuid
    learner_id: Annotated[str, Field(pattern=f"^{LEARNER}$")]
    no: Number
    release: Annotated[str, Field(pattern="^([0-9a-f]{128})?$")]
    view: dict[str, Any]
    job: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Kept:
    """Marks in the learner's book. ``opened`` is the attempt whose debrief they open, or None."""

    marks: Marks
    path: Path
    opened: Path | None


_MARKS = TypeAdapter(Marks)


def write_marks(
    claim: tuple[str, str, int], release: str, view: Mapping[str, Any], key: Ed25519PrivateKey,
    job: Mapping[str, str] | None = None,
) -> bytes:  # fmt: skip
    """``claim`` is assignment id, learner id and number of the attempt."""
    assignment_id, learner_id, no = claim
    row = {
        "marks": 1, "assignment_id": assignment_id, "learner_id": learner_id, "no": no,
        "release": release, "view": dict(view), "job": dict(job or {}) if release else {},
    }  # fmt: skip
    return sealed(KIND, line_of(row), key)


def read_marks(content: bytes, name: str, lock: str) -> Marks:
    """Marks signed by ``lock``, the instructor's public key. Raises NotVerifiedError."""
    if len(content) > SIZE_MOST:
        raise NotVerifiedError("the file is too large for marks", name, "the file as made")
    signed = opened(KIND, content, name)
    if signed.public != lock:
        raise NotVerifiedError("another key signed these marks", name, "the instructor's own")
    return checked(_MARKS, row_of(signed.body, name, SIZE_MOST), name)


def keep_marks(learner: Learner, path: Path) -> Kept:
    """Checks marks against the assignment they are of, and keeps them in the book."""
    from trainer.exchange.taking import load

    content = _bounded(path)
    for kept in assignments_in(learner.books()):
        terms = load(kept).terms
        if terms.id.encode() not in content[:400]:
            continue
        marks = read_marks(content, str(path), terms.lock)
        ledger = ledger_of(learner.books(), terms.id, marks.learner_id)
        if not ledger.attempt_path(marks.no).is_file():
            break
        target = ledger.folder / f"attempt-{marks.no}{SUFFIX}"
        replaced(target, content)
        ledger.note("marks", no=marks.no, at_ms=learner.now_ms())
        return Kept(marks, target, _open(ledger, marks))
    raise NotFoundError("these marks are of no attempt on this machine", str(path))


def _bounded(path: Path) -> bytes:
    try:
        with open(path, "rb") as file:
            content = file.read(SIZE_MOST + 1)
    except FileNotFoundError:
        raise NotFoundError("there are no such marks", str(path)) from None
    except OSError as error:
        raise TrainerError(f"cannot read: {error.strerror}", str(path)) from None
    if len(content) > SIZE_MOST:
        raise NotVerifiedError("the file is too large for marks", str(path), "the file as made")
    return content


def _open(ledger: Ledger, marks: Marks) -> Path | None:
    """Lays the release beside the attempt; a seal that does not fit it opens nothing."""
    attempt = ledger.attempt_path(marks.no)
    beside = attempt.with_name(attempt.name + RELEASE_SUFFIX)
    if not marks.release:
        beside.unlink(missing_ok=True)
        return None
    if marks.job:
        job = marks.job
        lay_down(
            ledger.folder / KEPT / re.sub("[^0-9a-f]", "", job["digest"])[:16], job["name"],
            job["scenario"], job["layout"], job["rubric"],
        )  # fmt: skip
    replaced(beside, (marks.release + "\n").encode("ascii"))
    return attempt
