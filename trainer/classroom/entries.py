"""One row of a roster, from whatever file it came: its cells judged, or refused with the place.

A name is kept as it is spelt: NFC (Unicode Annex 15), no letter folded or dropped, and a cell that
looks like a formula is a name like any other. Knows what a cell may hold; must know no file format
and no database.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field

from trainer.base.errors import quoted

LEARNER_ID, GIVEN, FAMILY, EMAIL = "learner_id", "given_name", "family_name", "email"
SECTION, STATUS, ACCOMMODATION = "section", "status", "accommodation"
EXTERNAL = "external_id"
COLUMNS = (LEARNER_ID, GIVEN, FAMILY, EMAIL, SECTION, STATUS, ACCOMMODATION)
#: Columns whose cell is the person's; a file without the column leaves what is known.
TEXTS = (GIVEN, FAMILY, EMAIL, EXTERNAL)

NAME_MOST = 200
ID_HINT = "write 1 to 64 plain letters and digits, also . _ @ - after the first, without a space"
ONES_MILLI = 1000
ACTIVE_WORDS = ("", "active", "enrolled", "1", "true", "yes")
INACTIVE_WORDS = ("inactive", "dropped", "withdrawn", "tobedeleted", "0", "false", "no")

_ROUNDED = re.compile(r"[0-9]+([.][0-9]+)?[eE][+][0-9]+")
_SECTION_MOST = 60
_EMAIL = re.compile(r"[^\s@<>\"]{1,64}@[^\s@<>\"]{1,255}")
_FACTOR = re.compile(r"([1-4])(?:\.([0-9]{1,3}))?")
#: Letters that turn the reading direction of what stands around them.
_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


@dataclass(frozen=True)
class Refusal:
    """A row that is not taken: ``file:line  column``, what is wrong, what to do."""

    where: str
    what: str
    hint: str

    def __str__(self) -> str:
        return f"{self.where}  {self.what}; {self.hint}"


@dataclass(frozen=True)
class Raw:
    """A row as text: ``cells`` by our column names, ``headings`` as the file calls them."""

    place: str
    cells: Mapping[str, str]
    headings: Mapping[str, str] = field(default_factory=dict)

    def where(self, column: str) -> str:
        heading = self.headings.get(column, "")
        return f"{self.place}  {heading}" if heading else self.place


@dataclass(frozen=True)
class Entry:
    """A row that can be taken. None: the file has no such column, so what is known stays."""

    place: str
    learner_id: str
    given_name: str | None
    family_name: str | None
    email: str | None
    external_id: str | None
    section: str | None
    active: bool
    accommodation_milli: int | None

    @property
    def names(self) -> str:
        return " ".join(part for part in (self.given_name, self.family_name) if part)


def entry_of(raw: Raw) -> Entry | Refusal:
    """The row judged; the first thing wrong with it refuses it."""
    cells = {name: unicodedata.normalize("NFC", text.strip()) for name, text in raw.cells.items()}
    for column, text in cells.items():
        wrong = _misfit(column, text)
        if wrong:
            return Refusal(raw.where(column), *wrong)
    if not cells.get(LEARNER_ID):
        return Refusal(raw.where(LEARNER_ID), "there is no learner_id", "give every row one")
    if not (cells.get(GIVEN) or cells.get(FAMILY)):
        return Refusal(raw.place, "there is no name", "fill given_name or family_name")
    factor = cells.get(ACCOMMODATION, "")
    texts: dict[str, str | None] = {name: cells.get(name) for name in TEXTS}
    return Entry(
        place=raw.place,
        learner_id=cells[LEARNER_ID],
        **texts,
        section=cells.get(SECTION) or None,
        active=cells.get(STATUS, "").casefold() in ACTIVE_WORDS,
        accommodation_milli=_milli(factor) if factor else None,
    )


def _misfit(column: str, text: str) -> tuple[str, str] | None:
    """What is wrong with a cell and what to do, or None."""
    odd = next((c for c in text if unicodedata.category(c) in ("Cc", "Zl", "Zp")), "")
    if odd:
        return f"the cell holds {quoted(odd)}", "take it out: a cell is one line of text"
    if _TURNING.intersection(text):
        return "a hidden character turns the reading direction", "type the cell again"
    return _RULES[column](text) if text else None


def _id(text: str) -> tuple[str, str] | None:
    from trainer.exchange.handin import is_learner_id

    if _ROUNDED.fullmatch(text):
        what = f"learner_id {quoted(text)} is a number that a spreadsheet has rounded"
        return what, "format the column as text and fill in the ids again"
    if not is_learner_id(text):
        return f"learner_id {quoted(text)} is no id", ID_HINT
    return None


def _name(text: str) -> tuple[str, str] | None:
    if len(text) > NAME_MOST:
        return f"the name has more than {NAME_MOST} letters", "write a shorter one"
    return None


def _section(text: str) -> tuple[str, str] | None:
    if len(text) > _SECTION_MOST:
        return f"the section has more than {_SECTION_MOST} letters", "write a shorter one"
    return None


def _email(text: str) -> tuple[str, str] | None:
    if not _EMAIL.fullmatch(text):
        return f"{quoted(text)} is no e-mail address", "write name@place or leave the cell empty"
    return None


def _status(text: str) -> tuple[str, str] | None:
    if text.casefold() not in ACTIVE_WORDS + INACTIVE_WORDS:
        return f"{quoted(text)} is no status", "write active or inactive"
    return None


def _factor(text: str) -> tuple[str, str] | None:
    if not _FACTOR.fullmatch(text) or _milli(text) > 4 * ONES_MILLI:
        # the value itself is not repeated: what stands here may be more than a factor
        return "accommodation is no factor of time", "write 1 to 4, such as 1.25 or 1.5"
    return None


def _milli(text: str) -> int:
    """Thousandths of a factor; exact, since nothing passes through a float."""
    whole, _, part = text.partition(".")
    return int(whole) * ONES_MILLI + int(part.ljust(3, "0") or "0")


_RULES = {
    LEARNER_ID: _id, GIVEN: _name, FAMILY: _name, EMAIL: _email, EXTERNAL: _name,
    SECTION: _section, STATUS: _status, ACCOMMODATION: _factor,
}  # fmt: skip
