"""Every named state of the window, looked at without painting it: what answers can be hit, reached
and told apart, what is written fits and can be read, in the three themes.
"""

import os
from functools import cache

import pytest

from trainer.session.acts import ACTS
from trainer.view import fonts
from trainer.view.focus import along
from trainer.view.frames import frame
from trainer.view.posing import more
from trainer.view.shapes import Rect, Words, every
from trainer.view.shots import dead, shots
from trainer.view.theme import TARGET, colour, contrast, theme_names

#: Two things that answer may share so much of a side [logical px].
SLIVER = 4.0
#: What lies under or around other things on purpose.
AROUND = ("group", "dialog", "picture", "part", "cover", "scroll")
#: Contrast of text and of graphics. Source: WCAG 2.2, 1.4.3 and 1.4.11.
TEXT, GRAPHIC = 4.5, 3.0
FORMS = {f"form-act-{name}": (lambda name=name: more(dead(), ("form", name))) for name in ACTS}
EVERY = {**shots(), **FORMS}
#: All of them where everything is checked; elsewhere every sixth, for they take two minutes.
STATES = EVERY if os.environ.get("CONDENSER_BENCH_CI") else dict(list(EVERY.items())[::6])


@cache
def shown(name):
    return frame(STATES[name]())


def answers(found):
    """Nodes that can be clicked now, in the order of their drawing."""
    return [n for n in found.nodes if n.on and n.enabled and n.seen.w > 1.0 and n.seen.h > 1.0]


def in_sight(found):
    """Without what lies behind a clipboard or a dialog."""
    rows = answers(found)
    fronts = [(k, n) for k, n in enumerate(rows) if n.role == "group"]
    return [
        n for k, n in enumerate(rows)
        if not any(k < f and n.seen.cut(front.rect).w > 0.0 and n.seen.cut(front.rect).h > 0.0
                   for f, front in fronts)
    ]  # fmt: skip


@pytest.mark.parametrize("name", STATES)
def test_every_node_lies_in_the_window_or_in_a_region_that_scrolls(name):
    found = shown(name)
    window = Rect(0.0, 0.0, *found.size)
    out = [
        (n.name, n.rect) for n in found.nodes
        if not (n.clip or n.rect).within(window)
    ]  # fmt: skip
    assert not out


@pytest.mark.parametrize("name", STATES)
def test_what_is_clicked_is_large_enough(name):
    small = [
        (n.name, n.rect.w, n.rect.h) for n in answers(shown(name))
        if n.rect.w < TARGET - 0.01 or n.rect.h < TARGET - 0.01
    ]  # fmt: skip
    assert not small


@pytest.mark.parametrize("name", STATES)
def test_no_two_things_that_answer_lie_upon_each_other(name):
    rows = [n for n in in_sight(shown(name)) if n.role not in AROUND]
    bad = []
    for k, one in enumerate(rows):
        for other in rows[k + 1 :]:
            shared = one.seen.cut(other.seen)
            if shared.w > SLIVER and shared.h > SLIVER:
                bad.append((one.name, other.name, round(shared.w, 1), round(shared.h, 1)))
    assert not bad


@pytest.mark.parametrize("name", STATES)
def test_names_are_told_once(name):
    names = [n.name for n in shown(name).nodes]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("name", STATES)
def test_the_focus_comes_to_everything_that_answers(name):
    found = shown(name)
    # arrows of a bar are for the pointer; keys page the region by themselves
    wanted = {
        n.name
        for n in found.nodes
        if n.on
        and n.enabled
        and n.role not in ("group", "dialog", "page")  # pages have keys of their own
    }
    seen, here = set(), ""
    for _ in range(len(found.nodes) + 1):
        here = along(found, here, 1)
        if here in seen:
            break
        seen.add(here)
    assert wanted <= seen


@pytest.mark.parametrize("name", STATES)
def test_words_fit_the_room_they_have(name):
    wide = [
        (w.text, fonts.width(w.text, w.size, w.bold), w.room)
        for w in words(name) if w.room and not w.exact
        and fonts.width(w.text, w.size, w.bold) > w.room + 0.5
    ]  # fmt: skip
    assert not wide


def words(name):
    return [s for s in every(shown(name).shapes) if isinstance(s, Words)]


@pytest.mark.parametrize("name", STATES)
def test_words_can_be_read_on_what_they_stand_on(name):
    pairs = {(w.colour, w.on) for w in words(name)}
    faint = [
        (theme, ink, on, round(contrast(colour(theme, ink), colour(theme, on)), 2))
        for theme in theme_names() for ink, on in pairs
        if contrast(colour(theme, ink), colour(theme, on)) < TEXT
    ]  # fmt: skip
    assert not faint


@pytest.mark.parametrize("name", STATES)
def test_the_font_has_every_letter_that_is_shown(name):
    assert not [w.text for w in words(name) if fonts.known(w.text) != w.text]


@pytest.mark.parametrize("theme", theme_names())
@pytest.mark.parametrize(
    ("line", "on"),
    [("edge", "sheet"), ("edge", "paper"), ("edge", "bench"), ("action", "wash"),
     ("action", "sheet"), ("action", "paper"), ("action", "bench"), ("danger", "sheet"),
     ("danger", "danger_wash"), ("caution", "caution_wash"), ("good", "good_wash"),
     ("focus", "sheet"), ("focus", "paper"), ("focus", "bench"), ("focus", "metal"),
     ("focus", "wash"), ("ghost", "sheet"), ("casing", "metal"), ("casing", "bench"),
     ("ink", "sheet"), ("metal_edge", "metal"),
     ("metal_edge", "bench")],
)  # fmt: skip
def test_lines_stand_out_from_their_ground(theme, line, on):
    assert contrast(colour(theme, line), colour(theme, on)) >= GRAPHIC
