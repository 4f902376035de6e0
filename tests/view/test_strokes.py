"""Strokes as pixels: what a clip shows of a line is what the whole line shows there."""

import os

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

import pygame
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.view.strokes import stroke

SIZE = (60, 50)
points = st.tuples(st.floats(-10.0, 70.0), st.floats(-10.0, 60.0))


def drawn(flags, clip, *args):
    surface = pygame.Surface(SIZE, flags)
    surface.fill("#206080")
    surface.set_clip(clip)
    stroke(surface, "#f0e0c0", *args)
    return surface


@pytest.mark.parametrize("flags", [0, pygame.SRCALPHA])
@given(
    st.lists(points, min_size=2, max_size=4),
    st.sampled_from([1.0, 1.5, 2.0, 4.0]),
    st.tuples(st.integers(0, 50), st.integers(0, 40), st.integers(1, 40), st.integers(1, 40)),
)
def test_a_clip_only_hides(flags, run, width, clip):
    whole = drawn(flags, None, run, width, 0.0, False)
    part = drawn(flags, pygame.Rect(clip), run, width, 0.0, False)
    seen = pygame.Rect(clip).clip(whole.get_rect())
    if seen.w and seen.h:
        a = pygame.image.tobytes(whole.subsurface(seen), "RGBA")
        assert pygame.image.tobytes(part.subsurface(seen), "RGBA") == a
    untouched = pygame.Surface(SIZE, flags)
    untouched.fill("#206080")
    part.set_clip(None)
    for surface in (part, untouched):
        surface.fill("#000000", seen)
    assert pygame.image.tobytes(part, "RGBA") == pygame.image.tobytes(untouched, "RGBA")
