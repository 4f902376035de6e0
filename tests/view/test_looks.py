"""The window against stored pictures, with a tolerance that lets another font library pass and
sees what a person would see.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from tests.view.looks import (
    FOLDER,
    STORED,
    compared,
    framed,
    kept_for_looking,
    painted,
    stored,
)
from trainer.view import fonts
from trainer.view.shapes import Clip, Layer, Line, Picture, Rect, Words, every

BOARD = "bench-held-end"


@pytest.mark.parametrize("name", STORED)
def test_a_screen_looks_as_it_was_stored(name, tmp_path):
    actual, expected = painted(*framed(name)), stored(name)
    found = compared(actual, expected)
    if not found.alike:
        kept_for_looking(tmp_path, name, actual, expected, found)
    assert found.alike, (
        f"{found.pixels} pixels are seen to differ, mean {found.mean:.2f}: look at {tmp_path}; "
        f"if it is meant, python -m tests.view.looks {name}"
    )


def test_nothing_is_stored_that_is_not_compared():
    assert {p.stem for p in FOLDER.iterdir()} == set(STORED)
    assert sum(p.stat().st_size for p in FOLDER.iterdir()) < 1_000_000


# what the comparison has to see, and what it has to let pass


def changed(shapes, change):
    """Shapes with ``change`` made to each, also within clips and layers; None leaves one out."""
    found = []
    for shape in shapes:
        new = change(shape)
        if isinstance(new, Clip | Layer):
            new = replace(new, shapes=changed(new.shapes, change))
        found += [] if new is None else [new]
    return tuple(found)


@pytest.fixture(scope="module")
def board():
    """The board's frame, its theme, and what it looks like."""
    shown, theme = framed(BOARD)
    return shown, theme, painted(shown, theme)


def against(board, change):
    shown, theme, before = board
    return compared(painted(replace(shown, shapes=changed(shown.shapes, change)), theme), before)


def longest(board, kind, by):
    return max((s for s in every(board[0].shapes) if isinstance(s, kind)), key=by)


def test_a_moved_wire_is_seen(board):
    wire = longest(board, Line, lambda s: len(s.points) * (s.round_by > 0.0) + s.width)

    def moved(shape):
        if isinstance(shape, Line) and shape.points == wire.points:
            return replace(shape, points=tuple((x + 12.0, y + 12.0) for x, y in shape.points))
        return shape

    assert not against(board, moved).alike


def test_a_missing_part_is_seen(board):
    part = longest(board, Picture, lambda s: s.rect.w * s.rect.h)
    assert not against(board, lambda s: None if s is part else s).alike


def in_sight(shapes, room):
    """Words that no clip cuts."""
    for shape in shapes:
        if isinstance(shape, Clip):
            yield from in_sight(shape.shapes, shape.rect.cut(room))
        elif isinstance(shape, Words):
            wide = fonts.width(shape.text, shape.size, shape.bold)
            left = {"left": 0.0, "middle": wide / 2.0, "right": wide}[shape.align]
            place = Rect(shape.at[0] - left, shape.at[1] - 8.0, wide, 16.0)
            if place.within(room):
                yield shape


def test_any_lost_word_is_seen(board):
    """Each in turn of a sample; a word of a tool is the smallest there is."""
    shown = board[0]
    words = [w for w in in_sight(shown.shapes, Rect(0.0, 0.0, *shown.size)) if len(w.text) > 2]
    assert len(words) > 30
    missed = [
        w.text for w in words[::12] if against(board, lambda s, w=w: None if s is w else s).alike
    ]
    assert missed == []


def test_letters_may_stand_half_a_pixel_elsewhere(board):
    """As with another release of the font library."""
    before = board[2]
    moved = np.roll(before, 1, axis=1)
    half = ((before.astype(int) + moved) // 2).astype(np.uint8)
    assert compared(half, before).alike


def test_rims_may_be_harder_or_softer(board):
    before = board[2]
    soft = gaussian_filter(before.astype(float), (0.5, 0.5, 0.0)).round().astype(np.uint8)
    assert compared(soft, before).alike


def test_another_size_is_never_alike(board):
    assert not compared(board[2][:-1], board[2]).alike


def test_a_failure_leaves_three_pictures(board, tmp_path):
    before = board[2]
    other = before.copy()
    other[100:140, 100:140] = 255 - other[100:140, 100:140]
    found = compared(other, before)
    assert not found.alike
    kept_for_looking(tmp_path, "one", other, before, found)
    names = {p.name for p in tmp_path.iterdir()}
    assert names == {"one-actual.png", "one-expected.png", "one-difference.png"}
