"""Colours of the pages and which of them may stand on which. Knows nothing of what is shown."""

from __future__ import annotations

PAPER, CARD, BENCH = "#F6F2E9", "#FBF9F3", "#E7E0D2"
INK, QUIET, RULE = "#1F2A30", "#55626A", "#CFC6B4"
ACTION, DANGER, CAUTION, GOOD = "#0B6360", "#9E2A22", "#7A5200", "#1C6238"
#: The reference start in a plot: a line, never a text.
GHOST = "#8F8778"

#: Text colour on ground, for every pair the pages use.
PAIRS = tuple(
    (text, ground)
    for text in (INK, QUIET, ACTION, DANGER, CAUTION, GOOD)
    for ground in (PAPER, CARD, "#FFFFFF")
) + ((INK, BENCH), (QUIET, BENCH), (PAPER, ACTION))
#: Least ratio of text, and of a line that carries meaning (WCAG 2.2: 1.4.3, 1.4.11).
TEXT_LEAST, LINE_LEAST = 4.5, 3.0


def contrast(one: str, other: str) -> float:
    """Ratio of relative luminances, 1 to 21 (WCAG 2.2)."""
    a, b = sorted((_luminance(one), _luminance(other)))
    return (b + 0.05) / (a + 0.05)


def _luminance(colour: str) -> float:
    """0.2126 R + 0.7152 G + 0.0722 B of linear sRGB (WCAG 2.2)."""
    parts = [int(colour[n : n + 2], 16) / 255.0 for n in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
