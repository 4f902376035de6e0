"""Hand-ins from files into the store: verify, keep, ask again, mark, receipt; or put aside.

What is heavy runs before the transaction, in worker processes where there are several; one
transaction writes all rows of one file. A second import of the same bytes changes nothing. Knows
files and their order; the rows are ``receiving``'s.
"""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from sqlalchemy import Connection
from sqlalchemy.exc import IntegrityError, OperationalError

from trainer.base.errors import NotFoundError, TrainerError
from trainer.classroom.admitting import (
    SECOND,
    Admitted,
    GoneError,
    RefusedError,
    admit,
    person_of,
    still_here,
)
from trainer.classroom.budget import LIMITS, Budget
from trainer.classroom.checking import RESIMULATE, Checked, TooCostlyError, checked
from trainer.classroom.desk import Desk
from trainer.classroom.guarding import DiedError, EndedError, Guarded, nothing
from trainer.classroom.keeping import digest_of, pack
from trainer.classroom.receiving import Received, claim_in, known, put_aside, receive, tell_second
from trainer.exchange.handin import SIZE_MOST, SUFFIX, read_handin
from trainer.session.attempt import prepare

if TYPE_CHECKING:
    from trainer.exchange.keys import Key

Progress = Callable[[int, int], None]
#: Times a write is tried again when another importer was quicker.
TRIES = 5


@dataclass(frozen=True)
class Row:
    """What became of one file. ``status``: imported, again, aside, refused, or would (dry run).

    ``aside`` is kept in quarantine; ``refused`` could not even be kept. ``graded`` is not told
    here: marks are looked at by ``grade``.
    """

    file: str
    status: str
    digest: str = ""
    attempt_id: str = ""
    learner_id: str = ""
    assignment: str = ""
    no: int = 0
    late_ms: int = 0
    counted: bool = True
    flags: tuple[str, ...] = ()
    code: str = ""
    reason: str = ""
    hint: str = ""
    receipt: bytes = b""


@dataclass(frozen=True)
class Report:
    """Rows in the order of the files."""

    rows: tuple[Row, ...]

    def of(self, status: str) -> tuple[Row, ...]:
        return tuple(row for row in self.rows if row.status == status)


@dataclass(frozen=True)
class Wish:
    """How it is done. ``accepted`` is the instructor's reason to take what a replay doubts.

    ``workers`` are processes that are ended when a file's wall time is up; 0 is this very process,
    which nothing ends: for files that are known.
    """

    resimulate: str = "sample"
    workers: int = 0
    dry_run: bool = False
    accepted: str = ""
    budget: Budget = LIMITS


def import_files(
    desk: Desk, paths: Iterable[Path], signer: Key, wish: Wish = Wish(),
    progress: Progress = lambda done, of: None,
) -> Report:  # fmt: skip
    """Every file of ``paths``; a folder stands for the hand-ins in it. Raises NotFoundError."""
    if wish.resimulate not in RESIMULATE:
        raise TrainerError("resimulate is sample, all or none", "", "--resimulate sample")
    files = list(files_in(paths))
    progress(0, len(files))
    rows: list[Row] = []
    with _pool(wish) as pool:
        for row in _rows(_Run(desk, signer, wish, pool), files):
            rows.append(row)
            progress(len(rows), len(files))
    return Report(tuple(rows))


def files_in(paths: Iterable[Path]) -> Iterator[Path]:
    """Files in order, each once; nothing below a folder's own files is looked at."""
    seen = set()
    for path in paths:
        found: Sequence[Path] = [path]
        if path.is_dir():
            found = sorted(p for p in path.iterdir() if p.suffix == SUFFIX and p.is_file())
        elif not path.exists():
            raise NotFoundError("there is no such file or folder", str(path))
        for file in found:
            if file.absolute() not in seen:
                seen.add(file.absolute())
                yield file


@dataclass(frozen=True)
class _Run:
    desk: Desk
    signer: Key
    wish: Wish
    pool: Executor


@dataclass(frozen=True)
class _Open:
    """A file that was read; ``error`` or what is being checked, unless it was there already."""

    row: Row
    content: bytes
    checking: _Checking | None = None
    error: TrainerError | None = None


class _Checking(NamedTuple):
    admitted: Admitted
    future: Future[Checked]


def _rows(run: _Run, files: Sequence[Path]) -> Iterator[Row]:
    """In order; a few files are ahead in the workers, so that memory does not grow with them."""
    ahead: deque[_Open] = deque()
    for file in files:
        ahead.append(_begun(run, file))
        if len(ahead) > 2 * run.wish.workers:
            yield _ended(run, ahead.popleft())
    while ahead:
        yield _ended(run, ahead.popleft())


def _pool(wish: Wish) -> Executor:
    if not wish.workers:
        return _Here()
    asks = wish.resimulate != "none"
    return Guarded(wish.workers, wish.budget.wall_s, prepare if asks else nothing)


class _Here(Executor):
    """This very process: the work is done when its result is asked for."""

    def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def]
        future: Future[Checked] = Future()
        try:
            future.set_result(fn(*args, **kwargs))
        except TrainerError as error:
            future.set_exception(error)
        return future


def _begun(run: _Run, file: Path) -> _Open:
    """Reads and admits; the heavy part goes to the pool."""
    row = Row(str(file), "refused")
    try:
        content = bounded(file)
    except TrainerError as error:
        return _Open(_failed(row, error), b"", error=error)
    row = replace(row, digest=digest_of(content))
    try:
        with run.desk.store.reading() as connection:
            there = known(connection, row.digest)
            if there is not None:
                return _Open(_told(row, content, there), content)
            found = read_handin(content, str(file))
            row = replace(row, learner_id=found.claim.learner_id, no=found.claim.no)
            admitted = admit(connection, found, content, run.wish.resimulate)
    except TrainerError as error:
        return _Open(row, content, error=error)
    work = replace(admitted.work, budget=run.wish.budget)
    return _Open(row, content, _Checking(admitted, run.pool.submit(checked, work)))


def bounded(file: Path) -> bytes:
    """The file's bytes, never more than a hand-in may have."""
    try:
        with open(file, "rb") as source:
            if os.fstat(source.fileno()).st_size <= SIZE_MOST:
                content = source.read(SIZE_MOST + 1)
                if len(content) <= SIZE_MOST:
                    return content
    except FileNotFoundError:
        raise NotFoundError("there is no such file", str(file)) from None
    except OSError as error:
        raise TrainerError(f"cannot read: {error.strerror}", str(file), "copy it again") from None
    raise TrainerError("the file is too large for a hand-in", str(file), "the file as made")


def _ended(run: _Run, begun: _Open) -> Row:
    """What became of it, in the store when this returns."""
    if begun.checking is None:
        aside = begun.error is not None and begun.content
        return _aside(run, begun, begun.error) if aside and begun.error else begun.row
    admitted, future = begun.checking
    begun = replace(begun, row=replace(begun.row, assignment=admitted.assignment.name))
    try:
        result = _result(run, admitted, future)
        if result.doubt and not run.wish.accepted:
            raise result.doubt
        if run.wish.dry_run:
            return replace(begun.row, status="would")
        return _told(begun.row, begun.content, _written(run, begun.content, admitted, result))
    except TrainerError as error:
        return _aside(run, begun, error)


def _result(run: _Run, admitted: Admitted, future: Future[Checked]) -> Checked:
    """What was found; of a file whose worker was ended the mark alone, where it is accepted.

    Raises TooCostlyError for one that is not, or that cannot even be marked in time.
    """
    try:
        return future.result()
    except (EndedError, DiedError) as error:
        beyond = _ended_so(run, error)
    if not run.wish.accepted or run.wish.resimulate == "none":
        raise TooCostlyError(
            f"checking it again {beyond}", "", "look at it; --accept REASON takes it, flagged"
        ) from None  # fmt: skip
    try:
        found: Checked = run.pool.submit(
            checked, replace(admitted.work, resimulate="none")
        ).result()  # fmt: skip
    except (EndedError, DiedError) as error:
        what = f"it could not be marked: that {_ended_so(run, error)}"
        raise TooCostlyError(what, "", "look at it; the file as the program made it") from None
    return replace(found, beyond=beyond)


def _ended_so(run: _Run, error: Exception) -> str:
    if isinstance(error, EndedError):
        return f"took more than {run.wish.budget.wall_s:g} s and was ended"
    return "ended its worker process, as for want of memory"


def _written(run: _Run, content: bytes, admitted: Admitted, result: Checked) -> Received:
    """Tried again when another importer wrote the same attempt in between."""
    for tried in range(TRIES):
        try:
            with run.desk.store.writing() as connection:
                if tried:
                    admitted = admit(connection, admitted.handin, content, run.wish.resimulate)
                return receive(
                    run.desk, connection, admitted, result, run.signer, run.wish.accepted
                )
        except (IntegrityError, OperationalError):
            if tried == TRIES - 1:
                raise
    raise AssertionError("the last try returns or raises")


def _told(row: Row, content: bytes, found: Received) -> Row:
    claim = claim_in(content)
    return replace(
        row, status="imported" if found.new else "again", attempt_id=found.attempt_id,
        learner_id=claim.learner_id, no=claim.no, late_ms=found.timing.late_ms,
        counted=found.timing.counted, flags=found.flags, receipt=found.receipt,
    )  # fmt: skip


def _failed(row: Row, error: TrainerError) -> Row:
    return replace(row, code=error.code, reason=error.what, hint=error.hint)


def _aside(run: _Run, begun: _Open, error: TrainerError) -> Row:
    """Into quarantine, with the reason that names nobody; nothing of whoever was erased."""
    row = replace(_failed(begun.row, error), status="aside")
    if isinstance(error, GoneError):
        return replace(row, status="refused")
    if run.wish.dry_run:
        return row
    reason = error.reason if isinstance(error, RefusedError) else error.what
    packed = pack(begun.content)
    try:
        with run.desk.store.writing() as connection:
            owner = _owner(connection, begun, error)
            put_aside(run.desk, connection, begun.content, packed, error.code, reason, error.hint)
            if error.code == SECOND and owner:
                claim = claim_in(begun.content)
                tell_second(connection, claim.assignment_id, owner, claim.no)
    except GoneError as gone:
        return replace(_failed(begun.row, gone), status="refused")
    return row


def _owner(connection: Connection, begun: _Open, error: TrainerError) -> str:
    """Whose file it was found to be before, "" for nobody's. Raises GoneError when he is gone."""
    if begun.checking is not None:
        still_here(connection, begun.checking.admitted.person_id)
        return begun.checking.admitted.person_id
    if error.code != SECOND:
        return ""
    try:
        return person_of(connection, claim_in(begun.content).learner_id)
    except RefusedError:
        raise GoneError from None
