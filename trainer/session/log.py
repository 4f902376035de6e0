"""An attempt on disk: a header line, then one line for each event, written before it is shown.

Every line ends in a short digest of itself and of the line before, so that a changed, missing or
moved line is seen (it shows that a file was changed, not by whom: anybody can write the whole
chain anew). Every write is flushed and forced to disk. A last line cut short by a crash is moved
to a side file and told, never mended; a gap in the numbers is refused. Knows files; must know no
kind of event and no clock (wall time is handed in and kept apart).
"""

from __future__ import annotations

import hashlib
import json
import os
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from trainer.base.errors import NotFoundError, TrainerError
from trainer.session.events import Event, from_line, read_object, to_line

FORMAT = 1
#: Hexadecimal digits of the digest at the end of a line.
LINK_DIGITS = 16
_LINK = re.compile(rf',"link":"([0-9a-f]{{{LINK_DIGITS}}})"\}}$')
SIZE_MOST = 200_000_000


class ChangedError(TrainerError):
    """A file with a header whose further lines are not those of an attempt."""


@dataclass(frozen=True)
class Attempt:
    """A file read: ``torn`` is the side file that got a last line cut short, or "".

    ``links`` are the digests of the header's line and of every event's; ``broken`` is the number
    of the first line whose digest does not fit (0 the header), or None.
    """

    header: Mapping[str, Any]
    events: tuple[Event, ...]
    torn: str = ""
    links: tuple[str, ...] = ()
    broken: int | None = None


class Log:
    """Appends to an attempt file. Opened anew with a header, or to go on after ``read``."""

    def __init__(
        self,
        path: Path,
        header: Mapping[str, Any] | None = None,
        last: int = 0,
        link: str = "",
    ) -> None:
        self.path, self.last, self._link = path, last, link
        try:
            self._file: IO[str] = open(path, "x" if header else "a", encoding="ascii", newline="\n")  # noqa: SIM115
        except FileExistsError:
            raise TrainerError(
                "there is already an attempt of that name", str(path), "choose another file"
            ) from None
        except OSError as error:
            raise TrainerError(f"cannot write: {error.strerror}", str(path)) from None
        if header is not None:
            row = {"attempt": FORMAT, **header}
            self._write([json.dumps(row, ensure_ascii=True, sort_keys=True)])

    def append(self, events: Iterable[Event]) -> None:
        """On disk when this returns."""
        lines = []
        for event in events:
            if event.seq != self.last + 1:
                raise TrainerError(f"event {event.seq} cannot follow {self.last}", str(self.path))
            self.last = event.seq
            lines.append(to_line(event))
        if lines:
            self._write(lines)

    def close(self) -> None:
        self._file.close()

    def _write(self, lines: Iterable[str]) -> None:
        for line in lines:
            self._link = link_of(line, self._link)
            self._file.write(f'{line[:-1]},"link":"{self._link}"}}\n')
        self._file.flush()
        os.fsync(self._file.fileno())


def link_of(line: str, before: str) -> str:
    """The digest of a line without its link, and of the link before it."""
    return hashlib.sha256(f"{before}{line}".encode("ascii", "replace")).hexdigest()[:LINK_DIGITS]


def links_of(lines: Iterable[str]) -> tuple[tuple[str, ...], int | None]:
    """(the links as they ought to be, the first line that has another or none)."""
    links, broken, link = [], None, ""
    for n, line in enumerate(lines):
        match = _LINK.search(line)
        bare = f"{line[: match.start()]}}}" if match else line
        link = link_of(bare, link)
        if broken is None and (match is None or match[1] != link):
            broken = n
        links.append(link)
    return tuple(links), broken


def read(path: Path, mend: bool = False) -> Attempt:
    """The attempt; with ``mend`` a torn last line is cut off to a side file, else only told."""
    content = _content(path)
    whole, torn = _cut(content)
    if torn and mend:
        _set_aside(path, whole, torn, path.with_name(path.name + ".torn"))
    return parsed(content, path)


def parsed(content: bytes, path: Path) -> Attempt:
    """As ``read``, of bytes; ``path`` is what they are called in messages."""
    whole, torn = _cut(content)
    side = str(path.with_name(path.name + ".torn")) if torn else ""
    lines = whole.decode("ascii", "replace").splitlines()
    if not lines:
        raise TrainerError("there is no header in this attempt", str(path))
    header = read_object(lines[0], f"{path}:1")
    if header.get("attempt") != FORMAT:
        raise TrainerError("this is no attempt file of this version", f"{path}:1")
    links, broken = links_of(lines)
    events = tuple(_event(n, line, path, broken) for n, line in enumerate(lines[1:], 1))
    header = {key: value for key, value in header.items() if key != "link"}
    return Attempt(header, events, side, links, broken)


def _content(path: Path) -> bytes:
    try:
        if path.stat().st_size > SIZE_MOST:
            raise TrainerError("the file is too large for an attempt", str(path))
        return path.read_bytes()
    except FileNotFoundError:
        raise NotFoundError("there is no such attempt", str(path)) from None
    except OSError as error:
        raise TrainerError(f"cannot read: {error.strerror}", str(path)) from None


def _cut(content: bytes) -> tuple[bytes, bytes]:
    """The complete lines, and what follows the last line end."""
    end = content.rfind(b"\n") + 1
    return content[:end], content[end:]


def _set_aside(path: Path, whole: bytes, torn: bytes, side: Path) -> None:
    """The torn piece is safe on disk before the file is cut."""
    with open(side, "ab") as target:
        target.write(torn + b"\n")
        target.flush()
        os.fsync(target.fileno())
    with open(path, "r+b") as target:
        target.truncate(len(whole))
        target.flush()
        os.fsync(target.fileno())


def cut_back(path: Path, events: int) -> str:
    """Keep the header and so many events; the rest goes to the side file, whose name is given."""
    content = _content(path)
    lines = content.splitlines(keepends=True)
    whole = b"".join(lines[: events + 1])
    side = path.with_name(path.name + ".torn")
    _set_aside(path, whole, content[len(whole) :], side)
    return str(side)


def _event(n: int, line: str, path: Path, broken: int | None) -> Event:
    """The event in line ``n``. Raises ChangedError, which names the first line that is wrong."""
    where, hint = f"{path}:{n + 1}", "the attempt was changed or is incomplete"
    try:
        event = from_line(line, where)
        what = f"event {n} is missing: number {event.seq} stands in its place"
    except TrainerError as error:
        event, what, hint = None, f"event {n}: {error.what}", error.hint
    if event is not None and event.seq == n:
        return event
    if broken is not None and broken < n:
        first = f"event {broken}" if broken else "the header"
        what, where = f"{first} was changed, or stands where it did not", f"{path}:{broken + 1}"
    raise ChangedError(what, where, hint)
