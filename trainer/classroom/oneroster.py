"""A roster from a OneRoster-shaped export: users, classes, enrolments as CSV.

A folder or a zip, read loosely: columns that matter are looked for, everything else is passed
over. Nothing is unpacked to disk and no path is taken from a name inside; sizes are bounded before
anything is inflated. Knows that shape; must not judge a cell.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from trainer.base.csvfile import Table, table_of
from trainer.base.errors import Fault, Faults, TrainerError, quoted
from trainer.base.textfile import SIZE_MOST, content_of, shown_name
from trainer.classroom.entries import (
    EMAIL,
    EXTERNAL,
    FAMILY,
    GIVEN,
    LEARNER_ID,
    SECTION,
    STATUS,
    Raw,
    Refusal,
)
from trainer.classroom.rosterfile import CP1252, Source, as_cp1252, decoded

USERS, CLASSES, ENROLMENTS = "users.csv", "classes.csv", "enrollments.csv"
ZIP_MOST = 4_000_000
MEMBERS_MOST = 200
#: Whoever has one of these roles learns; a file without roles has learners only.
LEARNER_ROLES = ("student", "learner")
GONE = "tobedeleted"
_SIMPLE = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
#: Where a learner id is looked for, in this order.
_IDS = ("identifier", "username", "sourcedId")


def is_export(path: str | Path) -> bool:
    """Whether to read this as an export: a folder, or a file that calls itself a zip."""
    place = Path(path)
    return place.is_dir() or place.suffix.casefold() == ".zip"


def read_export(path: str | Path, encoding: str = "utf-8", section: str | None = None) -> Source:
    """The learners of the export; ``section`` keeps one class of it, by title or sourcedId."""
    name = shown_name(path)
    files = _of_folder(Path(path)) if Path(path).is_dir() else _of_zip(path)
    if USERS not in files:
        hint = f"it needs {USERS}, and {CLASSES} and {ENROLMENTS} for sections"
        raise TrainerError(f"there is no {USERS} in it", name, hint)
    tables = {stem: _table(content, f"{name}/{stem}", encoding) for stem, content in files.items()}
    source = _Export(tables, section).source()
    return as_cp1252(source, name) if encoding == CP1252 else source


def _table(content: bytes, name: str, encoding: str) -> Table:
    table = table_of(decoded(content, name, encoding), name)
    if not table.rows:
        table.faults.clear()
    table.settle()
    return table


def _of_folder(folder: Path) -> dict[str, bytes]:
    """The three files by the names we know; nothing else of the folder is looked at."""
    found = {}
    for stem in (USERS, CLASSES, ENROLMENTS):
        if (folder / stem).exists():
            found[stem] = content_of(folder / stem, "a CSV file")
    return found


def _of_zip(path: str | Path) -> dict[str, bytes]:
    """The same of a zip; a member is read by what it is called in the outermost or one folder."""
    name = shown_name(path)
    content = content_of(path, "a zip file", ZIP_MOST)
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            return dict(_members(packed, name))
    except (zipfile.BadZipFile, zlib.error, EOFError, RuntimeError,
            ValueError, OSError) as error:  # fmt: skip
        if isinstance(error, TrainerError):
            raise
        hint = "export it again; half a file or another kind of file ends here"
        raise TrainerError("the zip cannot be read", name, hint) from None


def _members(packed: zipfile.ZipFile, name: str) -> Iterator[tuple[str, bytes]]:
    members = packed.infolist()
    if len(members) > MEMBERS_MOST:
        raise TrainerError(f"the zip holds more than {MEMBERS_MOST} files", name, "export it again")
    seen: set[str] = set()
    for member in members:
        parts = member.filename.replace("\\", "/").split("/")
        stem = parts[-1].casefold()
        if stem not in (USERS, CLASSES, ENROLMENTS):
            continue
        where = f"{name}/{quoted(member.filename)[1:-1]}"
        if len(parts) > 2 or parts[0] in ("", "..", "."):
            raise TrainerError("the file lies where it should not", where, "export it again")
        if stem in seen:
            raise TrainerError(f"there are two files {stem}", where, "keep one")
        seen.add(stem)
        yield stem, _inflated(packed, member, where)


def _inflated(packed: zipfile.ZipFile, member: zipfile.ZipInfo, where: str) -> bytes:
    if member.flag_bits & 1:
        raise TrainerError("the file is encrypted", where, "export it without a password")
    if member.compress_type not in _SIMPLE:
        raise TrainerError("the file is packed in an unusual way", where, "pack it as a plain zip")
    if member.file_size <= SIZE_MOST:
        with packed.open(member) as file:
            content = file.read(SIZE_MOST + 1)
        if len(content) <= SIZE_MOST:
            return content
    what = f"the file is larger than {SIZE_MOST // 1000} kB"
    raise TrainerError(what, where, "export the classes you need only")


@dataclass(frozen=True)
class _Row:
    """A row of one of the files, by heading."""

    place: str
    cells: Mapping[str, str]

    def get(self, heading: str) -> str:
        return self.cells.get(heading.casefold(), "")

    @property
    def gone(self) -> bool:
        return self.get("status").casefold() == GONE


class _Export:
    """The tables of an export, joined."""

    def __init__(self, tables: Mapping[str, Table], wanted: str | None) -> None:
        self.tables = tables
        self.wanted = wanted
        self.refusals: list[Refusal] = []
        self.titles = {r.get("sourcedId"): r.get("title") for r in self._rows(CLASSES)}
        self._check()

    def _check(self) -> None:
        needed = {USERS: ("sourcedId",), ENROLMENTS: ("classSourcedId", "userSourcedId")}
        for stem, headings in needed.items():
            table = self.tables.get(stem)
            for heading in headings if table else ():
                assert table is not None
                if table.column(heading) is None:
                    what = f"there is no column {heading}"
                    raise Faults([Fault(table.where(1), what, f"{heading} in the header")])
        known = {*self.titles, *self.titles.values()}
        if self.wanted is not None and self.wanted not in known:
            listed = ", ".join(sorted(quoted(title) for title in self.titles.values())[:8])
            what = f"the export has no class {quoted(self.wanted)}"
            raise TrainerError(what, "--section", f"one of {listed or 'none: no classes.csv'}")

    def _rows(self, stem: str) -> list[_Row]:
        table = self.tables.get(stem)
        if table is None:
            return []
        heads = [heading.casefold() for heading in table.header]
        return [
            _Row(table.where(row.line), dict(zip(heads, row.cells, strict=True)))
            for row in table.rows
        ]

    def source(self) -> Source:
        places = self._places()
        rows, others = [], 0
        for user in self._rows(USERS):
            found = places.get(user.get("sourcedId"), [])
            if not self._learns(user, found):
                others += 1
                continue
            rows += self._raw(user, found)
        passed = [f"{others} users without a learner's enrolment were passed over"]
        return Source(tuple(rows), tuple(self.refusals), tuple(passed if others else ()))

    def _places(self) -> dict[str, list[_Row]]:
        """Enrolments of each user, those of the wanted class only."""
        found: dict[str, list[_Row]] = {}
        for row in self._rows(ENROLMENTS):
            given = row.get("classSourcedId")
            if self.wanted in (None, given, self.titles.get(given)):
                found.setdefault(row.get("userSourcedId"), []).append(row)
        return found

    def _learns(self, user: _Row, places: Iterable[_Row]) -> bool:
        if ENROLMENTS in self.tables:
            roles = [p.get("role") or user.get("role") for p in places]
        else:
            roles = [user.get("role")]
        return any(role.casefold() in ("", *LEARNER_ROLES) for role in roles)

    def _raw(self, user: _Row, places: list[_Row]) -> list[Raw]:
        staying = [place for place in places if not place.gone]
        sections = {self._title(place) for place in staying}
        if len(sections) > 1:
            what = f"the learner is enrolled in {', '.join(sorted(map(quoted, sections)))}"
            hint = "name one class of the export with --section"
            self.refusals.append(Refusal(user.place, what, hint))
            return []
        gone = user.gone or bool(places and not staying)
        cells = {
            LEARNER_ID: next((user.get(h) for h in _IDS if user.get(h)), ""),
            GIVEN: user.get("givenName"), FAMILY: user.get("familyName"),
            EXTERNAL: user.get("sourcedId"), STATUS: GONE if gone else "active",
            SECTION: next(iter(sections), ""),
        }  # fmt: skip
        if "email" in user.cells:
            cells[EMAIL] = user.get("email")
        return [Raw(user.place, cells)]

    def _title(self, enrolment: _Row) -> str:
        given = enrolment.get("classSourcedId")
        return self.titles.get(given) or given
