"""Writes assets/fonts/advances.json from the font files: ``python -m tests.view.advances``."""

import json
from pathlib import Path

from fontTools.ttLib import TTFont

FONTS = Path(__file__).resolve().parents[2] / "assets" / "fonts"
#: Latin with its extensions, Greek, punctuation, arrows, operators: what texts may hold.
RANGES = [(0x20, 0x24F), (0x370, 0x3FF), (0x2010, 0x203F), (0x2070, 0x209F), (0x2190, 0x21FF),
          (0x2200, 0x22FF)]  # fmt: skip


def advances(path):
    """Letter -> advance over the size of type."""
    font = TTFont(path)
    names, widths, units = font.getBestCmap(), font["hmtx"], font["head"].unitsPerEm
    codes = [c for low, high in RANGES for c in range(low, high + 1) if c in names]
    return {chr(c): round(widths[names[c]][0] / units, 4) for c in codes}


def table():
    return {path.name: advances(path) for path in sorted(FONTS.glob("*.ttf"))}


if __name__ == "__main__":
    text = json.dumps(table(), ensure_ascii=True, separators=(",", ":"))
    (FONTS / "advances.json").write_text(text + "\n", encoding="ascii")
