"""English that was written before anybody chose a language, told in the language spoken.

Attempt files, marks and scenario files are English, whoever reads them. ``again`` knows a text
by its whole, or by the sentence of a catalogue with places in braces that it was made from; what
is known by neither stays as it is, as an instructor's own file does. Knows catalogues; must know
no sentence.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from string import Formatter

from trainer.base.tongue import (
    LANGUAGES,
    PSEUDO,
    capital,
    catalogue,
    ids,
    moulded,
    pseudo,
    spoken,
    words,
)

#: Whose ids say what is known, for the language to try screens with.
_KNOWN = next(name for name in LANGUAGES if name != "en")
#: Tables whose words may stand in a place of a sentence, in the order in which they are tried.
KINDS = (
    "state", "place", "cover", "instrument", "setting", "condition", "colour", "device", "zone",
    "choice", "meaning",
)  # fmt: skip
#: Places for what is printed or written somewhere, shown as it is, and how many words it may have.
FREE = {"printed": 40, "label": 20, "value": 20, "marking": 2, "gauge": 3}
#: What joins words in a place.
JOINS = ("; ", ", ", " and ", " to ", " on ", " - ")
_PLACE = re.compile(r"([a-z][\w ]*)\.([\w+/-]+(?::\w+)?)")
_SENTENCE = re.compile(r"((?<=[.?!]) |(?<=:) (?=[^a-z])|\n+)")
_REMARK = re.compile(r"(.+) \((.+)\)")
_READING = re.compile(r"(\w+), ([^,:]+), ([^:]+(?::\w+)?(?: and [^:]+(?::\w+)?)?): (.+)\.")
_NUMBERED = re.compile(r"(\[\d+\] )(.+)", re.DOTALL)
#: Longest text that is looked at, and longest that may be one sentence with places.
MOST, SENTENCE = 6000, 700
#: What stands in one place of a sentence is no sentence more.
#: A word that has to be known; markings, numbers and units need not be.
_WORDY = re.compile(r"(?<![\w.-])(?!k?ohm\b)[a-z]{3,}(?![\w-]|\.\w)")
_LETTERS = re.compile(r"[a-z]{2}")
#: A sentence with so many letters of its own is known though its place holds a few other words.
SAYS, FEW = 8, 5
#: Words that one field of an act may have.
RUN_MOST = 3
_VALUE = r"(?:(?!\. |\n).)+?"
#: Places for numbers, which end where the number does.
_NUMBERS = {
    **dict.fromkeys(("at_ms", "seq", "level", "seed"), r"[\d:]+"),
    "value": r"(?:[-−\d]|OL)\S*(?: \S+)?",
}


@dataclass(frozen=True)
class Mould:
    """A sentence with places: how it is known, and how much of it is fixed."""

    text: str
    pattern: re.Pattern[str]
    fixed: int
    longest: str


def again(text: str) -> str:
    """The text in the language spoken; as it is where nothing is known of it."""
    language = spoken()
    if language == "en" or not text or len(text) > MOST:
        return text
    return _again(language, text)


def spelt(text: str) -> str:
    """A word of a table, a place of the unit or several, as they stand inside a sentence."""
    language = spoken()
    if language == "en" or not text:
        return text
    if language == PSEUDO:
        known = _LETTERS.search(text) and _value(_KNOWN, text) is not None
        return pseudo(text) if known else text
    return _value(language, text) or text


def acted(text: str) -> str:
    """An act as it was asked for, its name and its fields."""
    language = spoken()
    return text if language in ("en", PSEUDO) else _act(language, text) or text


@lru_cache(maxsize=8192)
def _again(language: str, text: str) -> str:
    if language == PSEUDO:
        return text if _told(_KNOWN, text) is None else pseudo(text.replace("{", "("))
    found = _told(language, text)
    return text if found is None else found


@lru_cache(maxsize=16384)
def _told(language: str, text: str) -> str | None:
    """The translation, or None where no part of it is known."""
    text = text.strip("\n")
    numbered = _NUMBERED.fullmatch(text)
    if numbered:
        found = _told(language, numbered[2])
        return found and numbered[1] + found
    reading = _READING.fullmatch(text)
    if reading and reading[1] in words(language, "instrument"):
        return _read(language, reading)
    if text in words(language, "state"):
        return catalogue(language).pgettext("state", text)
    found = _whole(language, text) or _runs(language, text) or _parts(language, text)
    if found is None and text.endswith("."):
        act = _act(language, text[:-1], known=True)  # in a list of what was done when
        return act and f"{act}."
    return found


def _read(language: str, reading: re.Match[str]) -> str:
    """A reading: instrument, setting, places and what was shown."""
    book = catalogue(language)
    used = book.pgettext("instrument", reading[1]), book.pgettext("setting", reading[2])
    places, shown = (_value(language, reading[n]) or reading[n] for n in (3, 4))
    return f"{', '.join((*used, places))}: {shown}."


@lru_cache(maxsize=16384)
def _whole(language: str, text: str) -> str | None:
    """A text known as one: as it is, or with another first letter or without its stop."""
    for known in (_literal, _moulded):
        for tried, back in _spellings(text):
            found = known(language, tried)
            if found is not None:
                return back(found)
    return None


def _spellings(text: str) -> Iterator[tuple[str, Callable[[str], str]]]:
    yield text, lambda found: found
    bare = text[:-1] if text.endswith(".") else ""
    if bare:
        yield bare, lambda found: f"{found}."
    if not bare:
        yield f"{text}.", lambda found: found.rstrip(".")
    if text[:1].isupper():
        yield text[:1].lower() + text[1:], capital
        if bare:
            yield bare[:1].lower() + bare[1:], lambda found: f"{capital(found)}."
    yield text.upper(), str.capitalize


def _literal(language: str, text: str) -> str | None:
    """A text of any catalogue, or None."""
    return catalogue(language).gettext(text) if text in ids(language) else None


def _moulded(language: str, text: str) -> str | None:
    """A text made from a sentence with places: the one fixed most in whose places all is known.

    Where none is, what fits a long sentence is taken with its few unknown words as they are, so
    that a name an instructor gave does not keep a sentence English.
    """
    near = None
    if len(text) > SENTENCE:
        return None
    for mould in moulds(language):
        match = mould.pattern.fullmatch(text) if mould.longest in text else None
        if match is None:
            continue
        values = {n: _named(language, n, value) for n, value in match.groupdict().items()}
        told = (
            catalogue(language)
            .gettext(mould.text)
            .format(**{n: match[n] if v is None else v for n, v in values.items()})
        )
        if None not in values.values():
            return told
        unknown = [match[n] for n, v in values.items() if v is None]
        if any(u.endswith(".") for u in unknown):
            continue  # without its stop the word may be known
        if near is None and mould.fixed >= SAYS and all(len(u.split()) <= FEW for u in unknown):
            near = told
    return near


def _runs(language: str, text: str) -> str | None:
    """Sentence by sentence, the longest known run of them each time."""
    pieces = _SENTENCE.split(text)
    if len(pieces) == 1:
        return None
    told, known, at = [], False, 0
    while at < len(pieces):
        for end in range(len(pieces) if at else len(pieces) - 2, at, -2):
            run = "".join(pieces[at:end])
            found = _whole(language, run)
            if found is None and end == at + 1:
                found = _parts(language, run)
            if found is not None:
                break
        told.append(run if found is None else found)
        known = known or found is not None
        told += pieces[end : end + 1]
        at = end + 1
    return "".join(told) if known else None


def _parts(language: str, text: str) -> str | None:
    """What stands between semicolons, each by itself."""
    for mark in ("; ", ": ", ", ", "  "):
        pieces = text.split(mark)
        found = [_whole(language, piece) for piece in pieces] if len(pieces) > 1 else []
        if any(found):
            rest = (_value(language, p) or p for p in pieces)
            return mark.join(f or r for f, r in zip(found, rest, strict=True))
    return None


def _named(language: str, name: str, text: str) -> str | None:
    """What stands in a place that is called as a table is: a word of that first."""
    kind = name.rstrip("0123456789")
    book = catalogue(language)
    if text in words(language, kind):
        return book.pgettext(kind, text)
    if len(text.split()) <= FREE.get(kind, 0):
        return text
    first, _, last = text.rpartition(" ")
    if kind == "device" and first in words(language, kind):  # one of two, by its name
        return f"{book.pgettext(kind, first)} ({book.pgettext('place', last)})"
    return None if kind == "device" else _value(language, text)


@lru_cache(maxsize=16384)
def _value(language: str, text: str) -> str | None:
    """What stands in a place: a word, a place of the unit, several, or a sentence; None unknown."""
    found = _word(language, text) or _whole(language, text)
    if found is not None:
        return found
    remark = _REMARK.fullmatch(text)
    if remark:
        both = _each(language, (remark[1], remark[2]))
        return f"{both[0]} ({both[1]})" if both else None
    for join in JOINS:
        pieces = _each(language, text.split(join)) if join in text else []
        if pieces:
            return catalogue(language).pgettext("join", join).join(pieces)
    head, colon, rest = text.partition(": ")
    if colon and head in words(language, "place"):
        return f"{catalogue(language).pgettext('place', head)}: {rest}"
    return _act(language, text) or (None if _WORDY.search(text) else text)


def _each(language: str, pieces: Sequence[str]) -> list[str]:
    """Every piece in the language, or none when one is not known."""
    found = [known for piece in pieces if (known := _value(language, piece)) is not None]
    return found if len(found) == len(pieces) else []


def _act(language: str, text: str, known: bool = False) -> str | None:
    """An act as it was asked for: its name, then its fields."""
    words = text.split(" ")
    for count in (3, 2, 1):
        name = " ".join(words[:count])
        found = catalogue(language).pgettext("act", name[:1].lower() + name[1:])
        if found != name[:1].lower() + name[1:] and count <= len(words):
            begin = found if name[:1].islower() else capital(found)
            whole = _whole(language, " ".join(words[count:])) if count < len(words) else None
            if whole is not None:
                return f"{begin} {whole}"
            rest = list(_fields(language, words[count:]))
            if known and any(_WORDY.search(w) and w == r for w, r in rest):
                return None
            return " ".join([begin, *(told for _, told in rest)])
    return None


def _fields(language: str, words: Sequence[str]) -> Iterator[tuple[str, str]]:
    """(English, told) of what stands after an act's name: the longest known run each time."""
    at = 0
    while at < len(words):
        for end in range(min(len(words), at + RUN_MOST), at, -1):
            run = " ".join(words[at:end])
            found = _word(language, run.rstrip(","))
            if found is not None or end == at + 1:
                break
        if found is None and f" {run} " in JOINS:
            found = catalogue(language).pgettext("join", f" {run} ").strip()
        yield run, run if found is None else found
        at = end


@lru_cache(maxsize=16384)
def _word(language: str, text: str) -> str | None:
    book = catalogue(language)
    place = _PLACE.fullmatch(text)
    if place and place[1] in words(language, "place"):
        return f"{book.pgettext('place', place[1])}.{place[2]}"
    found = _literal(language, text)
    if found is not None:
        return found
    for kind in KINDS:
        if text in words(language, kind):
            return book.pgettext(kind, text)
    if text[:1].isupper():
        found = _word(language, text[:1].lower() + text[1:])
        return found and capital(found)
    return None


@cache
def moulds(language: str) -> tuple[Mould, ...]:
    """Sentences with places, those that say most first."""
    found = [m for text in moulded(language) if (m := _mould(text)) is not None]
    return tuple(sorted(found, key=lambda m: (-m.fixed, m.text)))


def _mould(text: str) -> Mould | None:
    """How a sentence is known; one whose places are rounded is never written into a file."""
    seen: set[str] = set()
    pattern, fixed = "", [""]
    for literal, name, spec, conversion in Formatter().parse(text):
        pattern += re.escape(literal)
        fixed.append(literal)
        if name is None:
            continue
        if spec or conversion or not name.isidentifier():
            return None
        pattern += f"(?P={name})" if name in seen else f"(?P<{name}>{_NUMBERS.get(name, _VALUE)})"
        seen.add(name)
    longest = max(fixed, key=len)
    letters = sum(c.isalpha() for piece in fixed for c in piece)
    return Mould(text, re.compile(pattern, re.DOTALL), letters, longest) if letters > 1 else None
