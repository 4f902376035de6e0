"""What is painted anew: a frame over the last one looks as if on a clean surface."""

import os

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

import pygame
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.outside import examples
from trainer.view.damage import Flat, damaged, merged, place_of
from trainer.view.frames import frame
from trainer.view.paint import Painter
from trainer.view.serving import Serving
from trainer.view.shapes import Box, Clip, Frame, Line, Rect, Ring, Veil, Words
from trainer.view.state import App
from trainer.view.update import update

WINDOW = Rect(0.0, 0.0, 200.0, 100.0)


def begun():
    serving = Serving()
    request = {"ask": "begin", "name": "first-start", "mode": "practice", "seed": 0}
    return update(App(size=(1000.0, 680.0)), ("came", request, serving.answer(request)))[0]


MESSAGES = [
    ("tool", "meter"), ("tool", "strip"), ("tool", "hand"), ("sheet", "meter"), ("sheet", "note"),
    ("sheet", "job"), ("sheet", "trace"), ("form", "list"), ("form", ""), ("form", "finish"),
    ("scroll", "board", 40.0), ("scroll", "board.x", -60.0), ("scroll", "acts", 90.0),
    ("place", "rc.2"), ("place", "chassis"), ("part", "contactor"), ("drop",), ("zoom", 1),
    ("zoom", -1), ("focus", "tool.meter"), ("focus", "place.chassis"), ("step", "strip", "mm", 1),
    ("trouble", "A sentence."), ("trouble", ""), ("screen", "settings"), ("back",),
]  # fmt: skip


@settings(max_examples=examples(12), deadline=None)
@given(st.lists(st.sampled_from(MESSAGES), min_size=2, max_size=12))
def test_a_frame_over_another_is_as_one_alone(messages):
    pygame.font.init()
    app = begun()
    size = (1000, 680)
    kept, surface = Painter(), pygame.Surface(size)
    kept.paint(frame(app), surface)
    for message in messages:
        app = update(app, message)[0]
        shown = frame(app)
        kept.paint(shown, surface)
        clean = pygame.Surface(size)
        Painter().paint(shown, clean)
        assert pygame.image.tobytes(surface, "RGB") == pygame.image.tobytes(clean, "RGB"), message


def flat(*shapes, before=None):
    return Flat(shapes, before)


def between(old, new):
    return damaged(old.pieces, new.pieces, WINDOW)


def test_a_block_that_is_the_same_object_is_taken_over_whole_and_noticed_when_it_goes():
    inner = Box(Rect(10, 10, 5, 5), "ink")
    block = Clip(Rect(0, 0, 20, 20), (inner,))
    old = flat(block)
    again = flat(block, before=old)
    assert again.pieces[0] is old.pieces[0]
    after = flat(Clip(Rect(0, 0, 12, 20), (inner,)), before=again)
    assert after.pieces[0].clip == Rect(0, 0, 12, 20)
    assert between(again, after) != []
    assert between(again, flat(before=again)) != []


def test_what_stays_is_not_painted():
    a, b = Box(Rect(0, 0, 9, 9), "ink"), Words((50, 50), "word")
    old = flat(a, b)
    assert between(old, flat(a, b, before=old)) == []
    assert between(old, flat(Box(Rect(0, 0, 9, 9), "ink"), b, before=old)) == []


def test_what_moved_is_painted_in_both_places():
    old = flat(Box(Rect(0, 0, 10, 10), "ink"))
    new = flat(Box(Rect(100, 50, 10, 10), "ink"))
    places = between(old, new)
    assert any(r.has((5, 5)) for r in places)
    assert any(r.has((105, 55)) for r in places)


def test_most_of_the_window_is_all_of_it():
    assert merged([Rect(0, 0, 190, 90)], WINDOW) is None


def test_touching_rectangles_become_one():
    assert merged([Rect(0, 0, 10, 10), Rect(8, 0, 10, 10)], WINDOW) == [Rect(0, 0, 18, 10)]


def test_what_is_cut_off_counts_only_as_far_as_it_is_seen():
    clip = Clip(Rect(0, 0, 20, 20), (Box(Rect(10, 10, 100, 80), "ink"),))
    (piece,) = flat(clip).pieces
    assert piece.place.within(Rect(0, 0, 20, 20))


@pytest.mark.parametrize(
    "shape",
    [
        Box(Rect(10, 10, 30, 20), "ink", "rule", 2.0, 6.0), Ring((50, 50), 9.0, "", "ink", 3.0),
        Line(((10, 10), (60, 10), (60, 40)), "ink", 4.0, 9.0), Words((90, 40), "Contactor"),
        Veil(Rect(30, 20, 50, 40), 0.5),
    ],
)  # fmt: skip
def test_nothing_is_painted_outside_its_place(shape):
    pygame.font.init()
    surface = pygame.Surface((200, 100))
    Painter().paint(Frame((200.0, 100.0), (shape,), (), "sheet"), surface)
    ground = surface.get_at((199, 99))
    place = place_of(shape)
    painted = [(x, y) for x in range(200) for y in range(100) if surface.get_at((x, y)) != ground]
    assert painted
    assert all(place.has((x + 0.5, y + 0.5)) for x, y in painted)


def test_a_veil_dims_what_lies_before_it_and_nothing_after_it():
    pygame.font.init()
    surface = pygame.Surface((60, 20))
    under, over = Box(Rect(0, 0, 60, 20), "#C08040"), Box(Rect(40, 0, 20, 20), "#C08040")
    frame_of = Frame((60.0, 20.0), (under, Veil(Rect(20, 0, 40, 20), 0.5), over), (), "sheet")
    Painter().paint(frame_of, surface)
    assert surface.get_at((50, 10))[:3] == surface.get_at((10, 10))[:3] == (0xC0, 0x80, 0x40)
    dim = surface.get_at((30, 10))[:3]
    assert all(abs(d - 0.5 * b) <= 1.5 for d, b in zip(dim, (0xC0, 0x80, 0x40), strict=True))


def test_what_lies_behind_a_stop_is_dimmed():
    app = begun()
    stop = {"kind": "stopped", "title": "Stopped", "lines": ["Words."], "act": {}}
    shapes = frame(app.with_job(pause=stop)).shapes
    veil = next(n for n, s in enumerate(shapes) if isinstance(s, Veil))
    assert shapes[veil].rect == Rect(0.0, 0.0, *app.size)
    assert any(isinstance(s, Words) and s.text == "Stopped" for s in shapes[veil:])
    assert not any(isinstance(s, Words) and s.text == "Stopped" for s in shapes[:veil])
