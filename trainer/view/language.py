"""Words in the language of the person: gettext catalogues of ``assets/language``.

``later`` marks a text for translation and leaves it; ``tr`` translates now; ``term`` translates a
word of one of the bench's own tables. Knows catalogues; must know no screen.
"""

from __future__ import annotations

import gettext
from functools import cache
from typing import Any

from trainer.base.places import assets_dir

DOMAIN = "condenser-bench"
#: Languages that ship; ``pseudo`` lengthens every text, to try screens with.
LANGUAGES = {"en": "English (US)", "es": "Español"}
PSEUDO = "pseudo"
_ACCENTS = str.maketrans("aeiouAEIOUncs", "áéíóúÁÉÍÓÚñçš")
_now = ["en"]


def later(text: str) -> str:
    """Marks a text; it is translated where it is shown."""
    return text


def speak(language: str) -> None:
    """The language of everything translated from now on."""
    _now[0] = language


def spoken() -> str:
    return _now[0]


def tr(text: str, **values: Any) -> str:
    """The text in the language spoken, with ``{names}`` filled in."""
    if not text:
        return text
    found = _pseudo(text) if _now[0] == PSEUDO else catalogue(_now[0]).gettext(text)
    return found.format(**values) if values else found


def term(kind: str, word: str) -> str:
    """A word of a table (act, field, choice, part and the like); one that is not in it stays.

    The kind tells apart what English spells alike: to open, and found open.
    """
    if not word:
        return word
    return _pseudo(word) if _now[0] == PSEUDO else catalogue(_now[0]).pgettext(kind, word)


@cache
def catalogue(language: str) -> gettext.NullTranslations:
    return gettext.translation(
        DOMAIN, assets_dir() / "language", languages=[language], fallback=True
    )


def _pseudo(text: str) -> str:
    """Two fifths longer, accented, in brackets; names in braces stay."""
    pieces, inside = [], False
    for letter in text:
        inside = letter == "{" or (inside and letter != "}")
        pieces.append(letter if inside else letter.translate(_ACCENTS))
    return f"[{''.join(pieces)}{'·' * (len(text) * 2 // 5)}]"
