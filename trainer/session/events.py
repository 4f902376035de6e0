"""An event: a number, a bench time, a kind and what it carries, as one line of JSON.

Knows no kind by name and no physics; what a kind means is ``evolve``.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from trainer.base.errors import TrainerError

#: Longest line of an attempt file that is read; a start with all its lines is far below.
LINE_MOST = 4_000_000
#: What a person asked is logged under this kind before any of its result exists.
ASKED = "asked"
#: The order of keys is kept: parts in another order are another circuit to the last digit.
_LINES = json.JSONEncoder(ensure_ascii=True, separators=(",", ":"))
#: The last event of every act: without it the act was cut off.
DONE = "done"


@dataclass(frozen=True)
class Event:
    """``seq`` counts from 1 without a gap; ``at_ms`` is bench time."""

    seq: int
    at_ms: int
    kind: str
    data: Mapping[str, Any]


@dataclass(frozen=True)
class Happening:
    """An event that has no number yet: what deciding gives."""

    at_ms: int
    kind: str
    data: Mapping[str, Any]

    def numbered(self, seq: int) -> Event:
        return Event(seq, self.at_ms, self.kind, self.data)


def to_line(event: Event) -> str:
    row = {"seq": event.seq, "at_ms": event.at_ms, "kind": event.kind, "data": event.data}
    return _LINES.encode(row)


def from_line(line: str, where: str = "") -> Event:
    """Raises TrainerError for anything that is no event."""
    row = read_object(line, where)
    seq, at_ms, kind, data = (row.get(k) for k in ("seq", "at_ms", "kind", "data"))
    whole = all(isinstance(n, int) and not isinstance(n, bool) and n >= 0 for n in (seq, at_ms))
    if not whole or not isinstance(kind, str) or not isinstance(data, dict):
        raise TrainerError("this line is no event of an attempt", where, "keep the file unedited")
    return Event(int(seq), int(at_ms), kind, data)  # type: ignore[arg-type]


def read_object(line: str, where: str) -> dict[str, Any]:
    if len(line) > LINE_MOST:
        raise TrainerError("this line is too long for an attempt", where)
    try:
        row = json.loads(line)
    except (ValueError, RecursionError):
        raise TrainerError("this line is not JSON", where, "keep the file unedited") from None
    if not isinstance(row, dict):
        raise TrainerError("this line is no JSON object", where, "keep the file unedited")
    return row
