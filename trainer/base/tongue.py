"""Words in the language of whoever reads: gettext catalogues of ``assets/language``.

The language is a context, English unless somebody chose another; it never goes into a file.
``tr`` translates now, ``later`` marks a text for it, ``term`` translates a word of a table. What
was written in English somewhere else is known again by ``trainer.base.retold``. Knows catalogues;
must know no sentence.
"""

from __future__ import annotations

import gettext
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from pathlib import Path
from typing import Any

from trainer.base.places import assets_dir

#: The window's own texts; what bench, marks and reports say; shipped jobs, studies, sites.
DOMAINS = ("condenser-bench", "bench", "jobs")
#: The domain of sentences that are written into files with words in their places.
SAID = "bench"
#: Languages that ship; ``pseudo`` lengthens every text, to try screens with.
LANGUAGES = {"en": "English (US)", "es": "Español"}
PSEUDO = "pseudo"
_ACCENTS = str.maketrans("aeiouAEIOUncs", "áéíóúÁÉÍÓÚñçš")
_chosen: ContextVar[str] = ContextVar("language", default="en")


def later(text: str) -> str:
    """Marks a text; it is translated where it is shown."""
    return text


def speak(language: str) -> None:
    """The language of everything translated from now on, in this context."""
    _chosen.set(language)


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """That language for a while, then the one before."""
    before = _chosen.set(language)
    try:
        yield
    finally:
        _chosen.reset(before)


def spoken() -> str:
    return _chosen.get()


def tr(text: str, /, **values: Any) -> str:
    """The text in the language spoken, with ``{names}`` filled in."""
    if not text:
        return text
    language = _chosen.get()
    found = pseudo(text) if language == PSEUDO else catalogue(language).gettext(text)
    return found.format(**values) if values else found


def term(kind: str, word: str) -> str:
    """A word of a table (act, field, choice, part and the like); one that is not in it stays.

    The kind tells apart what English spells alike: to open, and found open.
    """
    if not word:
        return word
    language = _chosen.get()
    return pseudo(word) if language == PSEUDO else catalogue(language).pgettext(kind, word)


def capital(text: str) -> str:
    """The text with a first letter that begins a sentence."""
    return f"{text[:1].upper()}{text[1:]}"


@cache
def catalogue(language: str) -> gettext.NullTranslations:
    """Every domain of a language; what none of them has stays English."""
    folder = _folder()
    whole = gettext.translation(DOMAINS[0], folder, languages=[language], fallback=True)
    for domain in DOMAINS[1:]:
        whole.add_fallback(gettext.translation(domain, folder, languages=[language], fallback=True))
    return whole


def ids(language: str) -> frozenset[str]:
    """English of every text without a kind that a language has."""
    return words(language, "")


@cache
def words(language: str, kind: str) -> frozenset[str]:
    """English of every text of a kind that a language has."""
    return _held(language).get(kind, frozenset())


def moulded(language: str) -> list[str]:
    """English of the sentences with places that bench, marks and reports write."""
    book = gettext.translation(SAID, _folder(), languages=[language], fallback=True)
    return sorted(text for kind, text in _keys(book) if not kind and "{" in text)


@cache
def _held(language: str) -> dict[str, frozenset[str]]:
    found: dict[str, set[str]] = {}
    book: gettext.NullTranslations | None = catalogue(language)
    while book is not None:
        for kind, text in _keys(book):
            found.setdefault(kind, set()).add(text)
        book = vars(book).get("_fallback")
    return {kind: frozenset(texts - {""}) for kind, texts in found.items()}


def _keys(book: gettext.NullTranslations) -> Iterator[tuple[str, str]]:
    """(kind, English) of all that a catalogue holds, for which it has no public name."""
    for key in vars(book).get("_catalog", {}):
        kind, _, text = str(key).rpartition("\x04")
        yield kind, text


def _folder() -> Path:
    return assets_dir() / "language"


def pseudo(text: str) -> str:
    """Two fifths longer, accented, in brackets; names in braces stay."""
    pieces, inside = [], False
    for letter in text:
        inside = letter == "{" or (inside and letter != "}")
        pieces.append(letter if inside else letter.translate(_ACCENTS))
    return f"[{''.join(pieces)}{'·' * (len(text) * 2 // 5)}]"
