"""How wide words are, without a toolkit: advances read once from the font files.

``assets/fonts/advances.json`` is made by ``python -m tests.view.advances`` and checked against the
files by a test. Knows widths; must draw nothing.
"""

from __future__ import annotations

import json
from functools import cache, lru_cache

from trainer.base.places import assets_dir
from trainer.view.shapes import Size
from trainer.view.theme import LEADING, SIZES

FILES = {False: "Lato-Regular.ttf", True: "Lato-Bold.ttf"}
#: Stands for a letter the font does not have.
MISSING = "?"
#: What stays on the line of the figure before it.
UNITS = frozenset((
    "V", "A", "mA", "s", "ms", "min", "h", "%", "Ω", "kΩ", "MΩ", "ohm", "kohm", "µF", "uF", "J",
    "W", "kW", "VA", "kVA", "rpm", "Hz", "N·m", "N.m", "mm", "ft", "in", "AWG", "°C", "°F",
))  # fmt: skip


@cache
def _advances(bold: bool) -> dict[str, float]:
    """Advance of each letter over the size of type."""
    rows = json.loads((assets_dir() / "fonts" / "advances.json").read_text(encoding="utf-8"))
    found: dict[str, float] = rows[FILES[bold]]
    return found


@lru_cache(maxsize=20000)
def width(text: str, size: Size = "body", bold: bool = False) -> float:
    """Width of one line [logical px]."""
    table = _advances(bold)
    other = table[MISSING]
    return SIZES[size] * sum(table.get(letter, other) for letter in text)


def known(text: str) -> str:
    """The text with letters that the font lacks exchanged, so that none shows as a box."""
    table = _advances(False)
    return "".join(letter if letter in table else MISSING for letter in text)


def height(size: Size = "body") -> float:
    """From one line to the next [logical px]."""
    return SIZES[size] * LEADING


@lru_cache(maxsize=4000)
def wrap(text: str, room: float, size: Size = "body", bold: bool = False) -> tuple[str, ...]:
    """The text in lines no wider than ``room``; a word too long for a line is broken."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        lines += _paragraph(paragraph, room, size, bold)
    return tuple(lines)


def _paragraph(text: str, room: float, size: Size, bold: bool) -> list[str]:
    lines, line = [], ""
    for word in _together(text.split()):
        longer = f"{line} {word}" if line else word
        if width(longer, size, bold) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        *whole, line = _broken(word, room, size, bold)
        lines += whole
    return [*lines, line]


def _together(words: list[str]) -> list[str]:
    """Words, a figure and its unit as one: ``1.0 V.`` is not parted at the end of a line."""
    found: list[str] = []
    for word in words:
        unit = word.rstrip(".,;:)") in UNITS
        if unit and found and found[-1].lstrip("(−-+~").replace(".", "", 1).isdigit():
            found[-1] += f" {word}"
        else:
            found.append(word)
    return found


def _broken(word: str, room: float, size: Size, bold: bool) -> list[str]:
    pieces, piece = [], ""
    for letter in word:
        if piece and width(piece + letter, size, bold) > room:
            pieces.append(piece)
            piece = ""
        piece += letter
    return [*pieces, piece]


@lru_cache(maxsize=4000)
def shorten(text: str, room: float, size: Size = "body", bold: bool = False) -> str:
    """The text, or as much of it as fits with an ellipsis."""
    if width(text, size, bold) <= room:
        return text
    kept = text
    while kept and width(f"{kept.rstrip()}…", size, bold) > room:
        kept = kept[:-1]
    return f"{kept.rstrip()}…"
