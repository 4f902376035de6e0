"""An attempt on disk: a header line, then one line for each event, written before it is shown.

Every write is flushed and forced to disk. A last line cut short by a crash is moved to a side
file and told, never mended; a gap in the numbers is refused. Knows files; must know no kind of
event and no clock (wall time is handed in and kept apart).
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from trainer.base.errors import NotFoundError, TrainerError
from trainer.session.events import Event, from_line, read_object, to_line

FORMAT = 1
SIZE_MOST = 200_000_000


@dataclass(frozen=True)
class Attempt:
    """A file read: ``torn`` is the side file that got a last line cut short, or ""."""

    header: Mapping[str, Any]
    events: tuple[Event, ...]
    torn: str = ""


class Log:
    """Appends to an attempt file. Opened anew with a header, or to go on after ``read``."""

    def __init__(self, path: Path, header: Mapping[str, Any] | None = None, last: int = 0) -> None:
        self.path, self.last = path, last
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
            self._write(json.dumps(row, ensure_ascii=True, sort_keys=True))

    def append(self, events: Iterable[Event]) -> None:
        """On disk when this returns."""
        lines = []
        for event in events:
            if event.seq != self.last + 1:
                raise TrainerError(f"event {event.seq} cannot follow {self.last}", str(self.path))
            self.last = event.seq
            lines.append(to_line(event))
        if lines:
            self._write("\n".join(lines))

    def close(self) -> None:
        self._file.close()

    def _write(self, text: str) -> None:
        self._file.write(text + "\n")
        self._file.flush()
        os.fsync(self._file.fileno())


def read(path: Path, mend: bool = False) -> Attempt:
    """The attempt; with ``mend`` a torn last line is cut off to a side file, else only told."""
    content = _content(path)
    whole, torn = _cut(content)
    side = ""
    if torn:
        side = str(path.with_name(path.name + ".torn"))
        if mend:
            _set_aside(path, whole, torn, Path(side))
    lines = whole.decode("ascii", "replace").splitlines()
    if not lines:
        raise TrainerError("there is no header in this attempt", str(path))
    header = read_object(lines[0], f"{path}:1")
    if header.get("attempt") != FORMAT:
        raise TrainerError("this is no attempt file of this version", f"{path}:1")
    events = tuple(from_line(line, f"{path}:{n}") for n, line in enumerate(lines[1:], 2))
    _no_gap(events, path)
    return Attempt(header, events, side)


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


def _no_gap(events: tuple[Event, ...], path: Path) -> None:
    for n, event in enumerate(events, 1):
        if event.seq != n:
            what = f"event {n} is missing: number {event.seq} stands in its place"
            raise TrainerError(what, f"{path}:{n + 1}", "the attempt was changed or is incomplete")
