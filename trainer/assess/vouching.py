"""Whether an attempt file is whole and is of this scenario, before anything is marked.

Names the first bad event of one that was changed, cut short, reordered or made by another
version. Knows the log and scenarios; must know no rule.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

from trainer.assess.loading import named_in, scenario_of
from trainer.base.errors import NotVerifiedError
from trainer.session.events import ASKED, DONE, Event
from trainer.session.evolve import CHANGES
from trainer.session.log import Attempt, ChangedError, parsed, read
from trainer.session.sealing import open_up


def vouched(path: Path, key: Path | None = None) -> tuple[Attempt, str]:
    """The attempt and the digest of its bytes. Raises NotVerifiedError or TrainerError."""
    try:
        attempt = read(path)
    except ChangedError as error:  # a seal needs no opening where nothing can be marked
        raise NotVerifiedError(error.what, error.where, error.hint) from None
    open_up(path, attempt.header, key)
    whole(attempt, path)
    of_edition(attempt, path, scenario_of(named_in(path, attempt.header)).digest)
    return attempt, hashlib.sha256(path.read_bytes()).hexdigest()


def vouched_bytes(content: bytes, path: Path, edition: str) -> Attempt:
    """The attempt in these bytes, seal passed over: for who holds the lock's own key.

    ``edition`` is the digest of the scenario it must be of; what the header names is not looked
    for on this machine. ``path`` is only told. Raises NotVerifiedError or TrainerError.
    """
    try:
        attempt = parsed(content, path)
    except ChangedError as error:
        raise NotVerifiedError(error.what, error.where, error.hint) from None
    whole(attempt, path)
    of_edition(attempt, path, edition)
    return attempt


def whole(attempt: Attempt, path: Path) -> None:
    """Nothing for an attempt whose chain, order, kinds and times are those of a bench."""
    if attempt.torn:
        raise _no(
            path, f"the line after event {len(attempt.events)} is cut short", "resume it first"
        )
    if attempt.broken is not None:
        where = f"event {attempt.broken}" if attempt.broken else "the header"
        raise _no(path, f"{where} was changed, or stands where it did not", "an unedited file")
    _events(path, attempt.events)


def of_edition(attempt: Attempt, path: Path, edition: str) -> None:
    if attempt.header.get("digest") != edition:
        what = "event 1 is of another edition of this scenario"
        raise _no(path, what, "mark it with the edition it was done with")


def _events(path: Path, events: tuple[Event, ...]) -> None:
    if not events or events[0].kind != "begun":
        raise _no(path, "event 1 is not the beginning of an attempt", "an unedited file")
    at_ms, inside = 0, False
    for event in events[1:]:
        if event.kind not in CHANGES:
            raise _no(
                path, f"event {event.seq} is of a kind this version does not know", "its version"
            )
        if event.at_ms < at_ms:
            raise _no(
                path, f"event {event.seq} is earlier than the one before it", "an unedited file"
            )
        at_ms = event.at_ms
        if inside == (event.kind == ASKED):
            raise _no(path, f"event {event.seq} stands where it cannot", "an unedited file")
        inside = event.kind != DONE
    if inside:
        raise _no(path, f"the act before the end, event {events[-1].seq}, has no end", "resume it")


def _no(path: Path, what: str, hint: str) -> NotVerifiedError:
    return NotVerifiedError(what, str(path), hint)
