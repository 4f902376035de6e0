"""Turns the text of a file into plain data and remembers the line of every entry.

Reads the safe middle of YAML only: mappings, lists and scalars. Anchors, aliases, tags,
merge keys and repeated keys are faults; depth and number of entries are bounded, so a hostile
file costs no more than an ordinary one. Knows no model; must not open files.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
    StreamStartEvent,
)

from trainer.base.errors import Fault, Faults, quoted

DEPTH_MOST = 20
ENTRIES_MOST = 20_000

Path = tuple[str | int, ...]

#: The C parser where the library was built with it, the same events more slowly elsewhere.
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_WHOLE = re.compile(r"[-+]?(0|[1-9][0-9]{0,17})")
_DECIMAL = re.compile(
    r"[-+]?([0-9]{1,40}\.[0-9]{0,40}|\.[0-9]{1,40}|[0-9]{1,40}(?=[eE]))([eE][-+]?[0-9]{1,4})?"
)
_WORDS: dict[str, Any] = {
    "": None, "~": None, "null": None, "Null": None, "NULL": None,
    "true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False,
}  # fmt: skip


@dataclass
class Document:
    """The plain data of one file with the line of every entry; ``faults`` found so far."""

    name: str
    data: Any = None
    lines: dict[Path, int] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    #: Where the data is not what was meant, so that nothing more should be said about it.
    spoilt: set[Path] = field(default_factory=set)

    def line_of(self, path: Path) -> int:
        """The line of the entry, or of the nearest thing around it that is in the file."""
        path = tuple(path)
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)

    def where(self, path: Path) -> str:
        """``file:line  key.path`` of an entry."""
        place = f"{self.name}:{self.line_of(path)}"
        return f"{place}  {spelt(path)}" if path else place

    def fault(self, path: Path, what: str, write: str = "") -> Fault:
        """A fault at this place in the file."""
        return Fault(self.where(path), what, write)

    def is_spoilt(self, path: Path) -> bool:
        return any(path[:n] in self.spoilt for n in range(len(path) + 1))


def spelt(path: Path) -> str:
    """A path as a person would say it: parts.comp.wires[2].from."""
    text = ""
    for step in path:
        text += f"[{step}]" if isinstance(step, int) else ("." if text else "") + _key(step)
    return text


def _key(step: str) -> str:
    plain = re.fullmatch(r"[\w+/-]{1,60}", step)
    return step if plain else quoted(step)


def build(text: str, name: str) -> Document:
    """The document of ``text``; its faults are in it. Raises Faults when it cannot be read on."""
    document = Document(name)
    try:
        _Builder(document, yaml.parse(text, Loader=_LOADER)).run()
    except yaml.MarkedYAMLError as error:
        raise Faults([*document.faults, _syntax(error, name, text)]) from None
    except (yaml.YAMLError, RecursionError, ValueError) as error:
        what = f"this is not readable as YAML ({quoted(error)})"
        raise Faults([*document.faults, Fault(name, what, "plain keys and values")]) from None
    return document


class _Builder:
    """Follows the events of the parser and writes data, lines and faults into the document."""

    def __init__(self, document: Document, events: Iterator[Event]) -> None:
        self.document = document
        self.events = events
        self.entries = 0

    def run(self) -> None:
        documents = 0
        for event in self.events:
            if isinstance(event, DocumentStartEvent):
                documents += 1
                if documents > 1:
                    self._stop(event, "a second document begins here", "one document a file")
            elif isinstance(event, (StreamStartEvent, StreamEndEvent)):
                continue
            elif documents and not event.__class__.__name__.startswith("DocumentEnd"):
                self.document.data = self._value(event, ())

    def _value(self, event: Event, path: Path) -> Any:
        self._count(event, path)
        self.document.lines.setdefault(path, _line(event))
        if isinstance(event, AliasEvent):
            self._spoil(path, "an alias (*) is not allowed", "the value itself")
            return None
        self._refuse_marks(event, path)
        if isinstance(event, MappingStartEvent):
            return self._mapping(path)
        if isinstance(event, SequenceStartEvent):
            return self._sequence(path)
        assert isinstance(event, ScalarEvent)
        return scalar(event)

    def _mapping(self, path: Path) -> dict[str, Any]:
        mapping: dict[str, Any] = {}
        while not isinstance(event := next(self.events), MappingEndEvent):
            key = self._key(event, path)
            place = (*path, key)
            known = key in mapping
            if known:
                first = self.document.lines.get(place, 0)
                what = f"{quoted(key)} is written twice (first on line {first})"
                self._report(event, path, what, "it once")
            else:
                self.document.lines[place] = _line(event)
            value = self._value(next(self.events), place)
            if not known:
                mapping[key] = value
        return mapping

    def _key(self, event: Event, path: Path) -> str:
        if not isinstance(event, ScalarEvent):
            what = "a key must be a plain word"
            self._stop(event, what, "word: value", path)
        assert isinstance(event, ScalarEvent)
        self._count(event, path)
        if event.anchor or event.tag:
            self._report(event, path, "a key may carry no anchor or tag", "the plain word")
        key = str(event.value)
        if key == "<<" and event.implicit[0]:
            self._report(event, path, "a merge key (<<) is not allowed", "the keys themselves")
            self.document.spoilt.update({path, (*path, key)})
        if not key:
            self._report(event, path, "an entry has no key", "word: value")
            self.document.spoilt.add((*path, key))
        return key

    def _sequence(self, path: Path) -> list[Any]:
        items: list[Any] = []
        while not isinstance(event := next(self.events), SequenceEndEvent):
            items.append(self._value(event, (*path, len(items))))
        return items

    def _refuse_marks(self, event: Any, path: Path) -> None:
        if event.anchor:
            what = f"an anchor (&{quoted(event.anchor)[1:-1]}) is not allowed"
            self._report(event, path, what, "the value without it")
        if event.tag:
            tag = str(event.tag).replace("tag:yaml.org,2002:", "!!")
            what = f"a tag ({quoted(tag)[1:-1]}) is not allowed"
            self._report(event, path, what, "the value without it")

    def _count(self, event: Event, path: Path) -> None:
        self.entries += 1
        if self.entries > ENTRIES_MOST:
            self._stop(event, f"there are more than {ENTRIES_MOST} entries", "a smaller file")
        if len(path) > DEPTH_MOST:
            what = f"entries are nested more than {DEPTH_MOST} deep"
            self._stop(event, what, "a flatter file", path[:3])

    def _report(self, event: Event, path: Path, what: str, write: str) -> None:
        place = f"{self.document.name}:{_line(event)}"
        where = f"{place}  {spelt(path)}" if path else place
        self.document.faults.append(Fault(where, what, write))

    def _spoil(self, path: Path, what: str, write: str) -> None:
        self.document.faults.append(self.document.fault(path, what, write))
        self.document.spoilt.add(path)

    def _stop(self, event: Event, what: str, write: str, path: Path = ()) -> None:
        self._report(event, path, what, write)
        raise Faults(self.document.faults)


def scalar(event: ScalarEvent) -> Any:
    """The value of a scalar: quoted text stays text, plain text may be a number or true/false.

    Stricter than YAML 1.1: yes, no, on, off, dates, octal and sexagesimal numbers stay text.
    """
    text = str(event.value)
    if event.style:
        return text
    if text in _WORDS:
        return _WORDS[text]
    if _WHOLE.fullmatch(text):
        return int(text)
    return float(text) if _DECIMAL.fullmatch(text) else text


def _line(event: Event) -> int:
    return int(event.start_mark.line) + 1 if event.start_mark else 1


def _syntax(error: yaml.MarkedYAMLError, name: str, text: str) -> Fault:
    """A parser's complaint in plain words."""
    mark = error.problem_mark or error.context_mark
    where = f"{name}:{mark.line + 1}" if mark else name
    if mark and _character(text, mark.line, mark.column) == "\t":
        return Fault(where, "a tab stands where spaces are needed", "spaces instead of the tab")
    problem = f"{error.context or ''} {error.problem or ''}".strip()
    for sign, what, write in _COMPLAINTS:
        if sign in problem:
            return Fault(where, what, write)
    return Fault(where, f"the YAML cannot be read: {problem}", "key: value, indented by spaces")


def _character(text: str, line: int, column: int) -> str:
    lines = text.splitlines()
    return lines[line][column : column + 1] if line < len(lines) else ""


_COMPLAINTS = (
    ("nesting depth", f"entries are nested more than {DEPTH_MOST} deep", "a flatter file"),
    ("mapping values are not allowed", "a second colon makes two keys on one line",
     "quotes around text that contains a colon, or a line for each key"),
    ("could not find expected ':'", "a key has no colon after it", "key: value"),
    ("undefined alias", "an alias (*) is not allowed", "the value itself"),
    ("undefined tag handle", "a tag (!) is not allowed", "the value without it"),
    ("unexpected end of stream", "a quote or bracket is opened and never closed",
     "the closing quote or bracket"),
    ("expected <block end>", "the indentation does not line up with the lines above",
     "keys of one group with the same number of spaces before them"),
    ("did not find expected key", "the indentation does not line up with the lines above",
     "keys of one group with the same number of spaces before them"),
    ("expected ',' or", "a bracket or brace is not closed before this line",
     "a comma or the closing bracket"),
)  # fmt: skip
