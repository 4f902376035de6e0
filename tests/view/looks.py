"""A small set of stored pictures of the window, and how two pictures of one state are compared.

``python -m tests.view.looks`` renews all, ``python -m tests.view.looks NAME ...`` some: look at
each before it is committed. Knows pictures as arrays; must know no screen.
"""

import os
import sys
from dataclasses import dataclass, replace
from pathlib import Path

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

import numpy as np
import pygame
from PIL import Image
from scipy.ndimage import gaussian_filter

from trainer.base.tongue import speaking
from trainer.view.frames import frame
from trainer.view.paint import Painter, picture_of
from trainer.view.shots import shots

FOLDER = Path(__file__).parent / "pictures"
SIZE = (960.0, 600.0)
#: Name of a state -> theme and language of its stored picture; states that are made quickly.
STORED = {
    "home": ("paper", "en"),
    "settings": ("night", "en"),
    "card-graded": ("contrast", "en"),
    "tour-2": ("paper", "pseudo"),
    "bay": ("paper", "en"),
    "free": ("night", "en"),
    "layout-larkspur-row": ("paper", "en"),
    "layout-covers-on": ("paper", "es"),
    "layout-mill-race": ("contrast", "en"),
    "bench-held-end": ("night", "es"),
    "panel-shock": ("paper", "en"),
    "debrief-death": ("paper", "es"),
}

#: Both pictures are blurred by so much before they are compared [px]. Another release of the font
#: or drawing library moves the soft rims of letters and lines by part of a pixel: that is gone
#: after the blur, while a word or a wire that went leaves a dent as wide as itself. Measured: from
#: pygame-ce 2.5.6 to 2.5.8 no picture has more than 2 pixels of PIXELS, and a mean of 0.13. It does
#: not read: a word in the place of one as long may pass, for words are checked as shapes.
BLUR = 3.0
#: A blurred channel that differs by more than this of 255 is seen; strokes of letters moved by a
#: whole pixel stay below it, a lost stroke does not.
SEEN = 16.0
#: So many pixels may be seen to differ: less than one letter of a tag leaves.
PIXELS = 40
#: The blurred difference of the whole picture, of 255: a ground or theme in another colour.
MEAN = 1.0
COLOURS = 128


@dataclass(frozen=True)
class Compared:
    """``pixels`` that are seen to differ, and the ``mean`` difference of all."""

    pixels: int
    mean: float
    rows: np.ndarray

    @property
    def alike(self):
        return self.pixels <= PIXELS and self.mean <= MEAN


def compared(actual, expected):
    """Two pictures as arrays of height, width, 3; of unlike size nothing is alike."""
    if actual.shape != expected.shape:
        high, wide, _ = actual.shape
        return Compared(high * wide, 255.0, np.full((high, wide), 255.0))
    soft = [gaussian_filter(a.astype(np.float32), (BLUR, BLUR, 0.0)) for a in (actual, expected)]
    rows = np.abs(soft[0] - soft[1]).max(axis=2)
    return Compared(int(np.count_nonzero(rows > SEEN)), float(rows.mean()), rows)


def framed(name):
    """The frame of a state and the theme it is stored in."""
    theme, language = STORED[name]
    with speaking(language):
        app = shots()[name]()
    settings = replace(app.settings, theme=theme, language=language)
    return frame(replace(app, settings=settings, size=SIZE)), theme


def painted(shown, theme):
    """A frame as an array, on a clean surface."""
    pygame.font.init()
    surface = picture_of(shown, Painter(1.0, theme))
    return pygame.surfarray.array3d(surface).swapaxes(0, 1)


def stored(name):
    return np.asarray(Image.open(FOLDER / f"{name}.png").convert("RGB"))


def save(rows, path):
    Image.fromarray(rows).convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE).save(
        path, optimize=True
    )


def kept_for_looking(folder, name, actual, expected, found):
    """Writes what was drawn, what was stored, and where they differ, white where it is seen."""
    for what, rows in (("actual", actual), ("expected", expected)):
        Image.fromarray(np.ascontiguousarray(rows)).save(folder / f"{name}-{what}.png")
    seen = np.clip(found.rows * (255.0 / SEEN), 0.0, 255.0).astype(np.uint8)
    Image.fromarray(seen).save(folder / f"{name}-difference.png")


def renew(names):
    FOLDER.mkdir(exist_ok=True)
    for name in names:
        save(painted(*framed(name)), FOLDER / f"{name}.png")


if __name__ == "__main__":
    renew(sys.argv[1:] or STORED)
