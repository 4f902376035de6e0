"""The learner's side: take an assignment, begin or resume an attempt, hand it in, keep the receipt.

Knows the files and the book; is handed the clock and chance; must know no screen and no mark.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trainer.base.errors import NotFoundError, PolicyError, TrainerError, quoted
from trainer.base.identity import uuid_of
from trainer.exchange.assignment import AssignmentFile, Part, read_assignment
from trainer.exchange.handin import SUFFIX, is_learner_id, write_handin
from trainer.exchange.keys import own_key, replaced
from trainer.exchange.ledger import ASSIGNMENT, Ledger, ledger_of
from trainer.exchange.receipt import Receipt, read_receipt
from trainer.session.attempt import Resumed, Running, resume, start
from trainer.session.log import read
from trainer.session.plain import unit_from_plain
from trainer.session.sealing import GRADED, lock_in, releases
from trainer.session.sealing import SUFFIX as RELEASE

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

MINUTE_MS = 60_000


@dataclass(frozen=True)
class Learner:
    """Whose bench it is: the folder of his books and keys, the clock and chance of this machine."""

    root: Path
    now_ms: Callable[[], int]
    chance: Callable[[int], bytes]

    def key(self) -> Ed25519PrivateKey:
        return own_key(self.root / "keys", "learner", self.chance)

    def books(self) -> Path:
        return self.root / "assignments"

    def new_id(self) -> str:
        return uuid_of(self.chance(16))


@dataclass(frozen=True)
class Taken:
    """An assignment opened by its learner with the start code."""

    file: AssignmentFile
    part: Part
    ledger: Ledger

    @property
    def left(self) -> int:
        return max(self.part.attempts - self.ledger.used(), 0)


@dataclass(frozen=True)
class Sat:
    """An attempt under way; ``lost`` says what a crash took."""

    running: Running
    header: Mapping[str, Any]
    no: int
    path: Path
    sitting: str
    lost: str = ""


def load(path: Path) -> AssignmentFile:
    """An assignment file. Raises NotFoundError, NotVerifiedError."""
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        raise NotFoundError("there is no such assignment", str(path)) from None
    except OSError as error:
        raise TrainerError(f"cannot read: {error.strerror}", str(path)) from None
    return read_assignment(content, str(path))


def take(learner: Learner, path: Path, learner_id: str, code: str) -> Taken:
    """Opens a learner's part and keeps the file in his book. Consumes no attempt."""
    if not is_learner_id(learner_id):
        raise TrainerError(f"{quoted(learner_id)} is no learner's number", hint="as in the roster")
    file = load(path)
    part = file.part(learner_id, code)
    ledger = ledger_of(learner.books(), file.terms.id, learner_id)
    ledger.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    replaced(ledger.folder / ASSIGNMENT, path.read_bytes())
    return Taken(file, part, ledger)


def sit_down(learner: Learner, taken: Taken) -> Sat:
    """Resumes the attempt under way, or begins the next one, which is consumed by this.

    Raises PolicyError before it opens, after it closes, and when no attempt is left.
    """
    now, ledger = learner.now_ms(), taken.ledger
    no = ledger.under_way()
    if no is not None and ledger.attempt_path(no).is_file():
        resumed = resume(ledger.attempt_path(no))
        return _sat(learner, taken, no, resumed)
    _may_begin(taken, now)
    again = no is not None  # consumed, and the file never came to be
    no = no if no is not None else ledger.used() + 1
    opening = _opening(ledger, no) if again else learner.new_id()
    if not again:
        ledger.note("opened", no=no, opening=opening, at_ms=now)
    running, header = _begun(taken, no, opening)
    return _sat(learner, taken, no, Resumed(running, header, ""))


def _opening(ledger: Ledger, no: int) -> str:
    return next(o.opening_id for o in reversed(ledger.openings()) if o.no == no)


def _may_begin(taken: Taken, now: int) -> None:
    terms = taken.file.terms
    if now < terms.opens_ms:
        raise PolicyError("this assignment is not open yet", terms.name, "the time on its card")
    if now > taken.part.closes_ms + terms.grace_min * MINUTE_MS:
        raise PolicyError("this assignment is closed", terms.name, "ask the instructor")
    if taken.left < 1 and taken.ledger.under_way() is None:
        raise PolicyError("no attempt is left", terms.name, "ask the instructor for another")


def _begun(taken: Taken, no: int, opening: str) -> tuple[Running, dict[str, Any]]:
    variant = taken.part.variants[no - 1]
    terms = taken.file.terms
    header = {
        **variant["header"], "mode": GRADED, "lock": terms.lock, "assignment": terms.id, "no": no,
        "opening": opening,
    }  # fmt: skip
    found = {**variant["found"], "accommodation": taken.part.accommodation}
    path, unit = taken.ledger.attempt_path(no), unit_from_plain(variant["unit"])
    running = start(unit, path, header, taken.part.learner_id, found)
    return running, {"learner": taken.part.learner_id, **header}


def _sat(learner: Learner, taken: Taken, no: int, resumed: Resumed) -> Sat:
    sitting = learner.chance(8).hex()
    taken.ledger.note("sat down", no=no, sitting=sitting, at_ms=learner.now_ms())
    path = taken.ledger.attempt_path(no)
    return Sat(resumed.running, resumed.header, no, path, sitting, resumed.lost)


def get_up(learner: Learner, ledger: Ledger, no: int, sitting: str, elapsed_ms: int) -> None:
    """The bench is left; ``elapsed_ms`` by the machine's timer, whatever its clock says."""
    ledger.note(
        "got up", no=no, sitting=sitting, end_ms=learner.now_ms(), elapsed_ms=max(elapsed_ms, 0)
    )


def hand_in(learner: Learner, ledger: Ledger, no: int, assignment_id: str) -> Path:
    """Writes the hand-in of an attempt and closes it. The same file again is not made anew."""
    target = ledger.handin_path(no)
    if target.is_file():
        return target
    path = ledger.attempt_path(no)
    if not path.is_file():
        raise NotFoundError(f"attempt {no} was not begun here", str(path))
    opened = _opening(ledger, no)
    at_ms = next(o.at_ms for o in ledger.openings() if o.opening_id == opened)
    claimed = {
        "assignment_id": assignment_id, "learner_id": ledger.learner_id, "no": no,
        "opening_id": opened, "started_ms": at_ms, "ended_ms": learner.now_ms(),
    }  # fmt: skip
    content = write_handin(
        path.read_bytes(), claimed, ledger.sittings(no), ledger.openings(), learner.key(), str(path)
    )
    replaced(target, content)
    ledger.note("handed in", no=no, at_ms=learner.now_ms())
    return target


def send(target: Path, folder: Path) -> Path:
    """A copy of a hand-in into a shared folder or onto a stick, under a name of its own."""
    if not folder.is_dir():
        raise NotFoundError("there is no such folder", str(folder), "plug it in, or name another")
    content = target.read_bytes()
    copy = folder / f"{target.parent.name[:8]}-{_name_of(content)}{SUFFIX}"
    try:
        replaced(copy, content)
    except OSError as error:
        raise TrainerError(f"cannot write: {error.strerror}", str(copy)) from None
    return copy


def _name_of(content: bytes) -> str:
    import hashlib

    return hashlib.sha256(content).hexdigest()[:12]


def keep_release(learner: Learner, path: Path) -> Path:
    """Puts an instructor's release beside the attempt it opens; the attempt's path."""
    try:
        content = path.read_bytes()[:4096]
    except OSError as error:
        raise NotFoundError(f"cannot read: {error.strerror}", str(path)) from None
    for book in sorted(learner.books().glob("*")):
        for attempt in sorted(book.glob("attempt-*.attempt")):
            if releases(attempt, lock_in(read(attempt).header), content):
                replaced(attempt.with_name(attempt.name + RELEASE), content)
                return attempt
    raise NotFoundError("this release opens no attempt made here", str(path))


def keep_receipt(learner: Learner, path: Path) -> Receipt:
    """Checks a receipt against the assignment it names and keeps it in the book."""
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        raise NotFoundError("there is no such receipt", str(path)) from None
    from trainer.exchange.ledger import assignments_in

    for kept in assignments_in(learner.books()):
        terms = load(kept).terms
        if terms.id.encode() in content[:2000]:
            receipt = read_receipt(content, str(path), terms.lock)
            ledger = ledger_of(learner.books(), terms.id, receipt.learner_id)
            replaced(ledger.receipt_path(receipt.no), content)
            ledger.note("received", no=receipt.no, at_ms=learner.now_ms())
            return receipt
    raise NotFoundError("this receipt is of no assignment opened here", str(path))
