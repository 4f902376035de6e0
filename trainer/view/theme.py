"""Themes and sizes: colours by what they are for, and how much they stand out from each other.

Knows assets/themes.yaml and arithmetic of colours; must know no screen.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import yaml

from trainer.base.places import assets_dir
from trainer.view.shapes import Size

#: Sizes of type at 100 % [logical px].
SIZES: dict[Size, float] = {"title": 22.0, "heading": 17.0, "body": 14.0, "tag": 12.0}
#: The quick reader where there is one; both build plain data only.
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
#: Height of a line over the size of its type.
LEADING = 1.36
#: Least side of anything that is clicked [logical px]; WCAG 2.2, 2.5.8.
TARGET = 24.0


class Themes(NamedTuple):
    """The file assets/themes.yaml; read without a schema, for the first frame waits for it."""

    palettes: dict[str, dict[str, str]]
    wires: dict[str, str]


@cache
def themes() -> Themes:
    data = yaml.load((assets_dir() / "themes.yaml").read_bytes(), Loader=_LOADER)
    return Themes(data["palettes"], data["wires"])


def theme_names() -> list[str]:
    return list(themes().palettes)


def colour(theme: str, name: str) -> str:
    """``#rrggbb`` of a name in a theme; what is a colour already stays."""
    return name if name.startswith("#") else themes().palettes[theme][name]


def wire_colour(letters: str) -> tuple[str, str]:
    """Ground and stripe of insulation by its letters, the stripe "" when there is none."""
    first, _, second = letters.partition("/")
    known = themes().wires
    return known.get(first, known["GY"]), known.get(second, "") if second else ""


def rgb(value: str) -> tuple[int, int, int]:
    return int(value[1:3], 16), int(value[3:5], 16), int(value[5:7], 16)


def luminance(value: str) -> float:
    """Relative luminance of a colour, 0 to 1. Source: WCAG 2.2, relative luminance."""

    def linear(byte: int) -> float:
        share = byte / 255.0
        return share / 12.92 if share <= 0.04045 else float(((share + 0.055) / 1.055) ** 2.4)

    red, green, blue = (linear(b) for b in rgb(value))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(a: str, b: str) -> float:
    """Contrast ratio of two colours, 1 to 21. Source: WCAG 2.2, contrast ratio."""
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)
