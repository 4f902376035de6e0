"""Guided mode shows on the board what is pointed at on the diagram, and the other way round."""

from dataclasses import replace

import pytest

from tests.view.hands import Hands
from trainer.view.board.marked import _between
from trainer.view.crossing import what_of
from trainer.view.frames import frame
from trainer.view.screens.bench import board_seen
from trainer.view.shapes import Box, Line, Rect, Ring, every
from trainer.view.theme import TARGET


@pytest.fixture(scope="module")
def guided():
    """A unit with its panel off and its diagram read; whose step comes next does not matter."""
    hands = Hands()
    hands.begin("larkspur-row")
    for act in ({"act": "take off", "cover": "control-panel"}, {"act": "read", "what": "diagram"}):
        hands.send(("act", act))
    hands.send(("sheet", "diagram"))
    return hands.app.with_job(mode="guided")


def focus_marks(app):
    """What is drawn in the ink of the focus on the board."""
    return [
        s for s in every(frame(app).shapes)
        if (isinstance(s, Line) and s.colour == "focus")
        or (isinstance(s, Ring | Box) and s.edge == "focus")
    ]  # fmt: skip


def boxed(app):
    """What is framed on the sheet in the ink of an action, no wider than a name."""
    return [
        s for s in every(frame(app).shapes)
        if isinstance(s, Box) and s.edge == "action" and s.rect.w < 90.0 and s.rect.x > 860.0
        and s.width == 2.0
    ]  # fmt: skip


def test_a_conductor_of_the_diagram_is_traced_on_the_board(guided):
    assert not focus_marks(guided)
    found = focus_marks(replace(guided, hover="diagram.wire:1.0"))
    assert any(isinstance(s, Line) for s in found)


def test_a_terminal_of_the_diagram_is_ringed_on_the_board_by_focus_too(guided):
    name = "diagram.terminal:contactor.T1.0"
    places = [s for s in board_seen(guided).ends if s.on.startswith("contactor.T1")]
    assert len({e.on for e in places}) >= 1
    for app in (replace(guided, hover=name), replace(guided, focus=name)):
        rings = [s for s in focus_marks(app) if isinstance(s, Ring)]
        assert len(rings) >= len({e.on for e in places})


@pytest.mark.parametrize("name", ["place.contactor.L1", "end.1.b"])
def test_what_is_pointed_at_on_the_board_is_framed_on_the_sheet_and_brought_into_sight(
    guided, name
):
    assert not boxed(guided)
    found = boxed(replace(guided, hover=name))
    area = next(n for n in frame(guided).nodes if n.name == "scroll.diagram").rect
    assert any(area.meets(s.rect) for s in found)
    assert not focus_marks(replace(guided, hover=name)), "the board does not mark its own"


def test_the_board_turns_to_what_is_pointed_at(guided):
    near = guided.with_job(zoom=1.6)
    found = focus_marks(replace(near, hover="diagram.wire:P5.0"))
    view = next(n for n in frame(near).nodes if n.name == "scroll.board").rect
    flags = [s for s in found if isinstance(s, Box)]
    assert any(view.meets(s.rect) for s in flags)


@pytest.mark.parametrize("mode", ["practice", "graded"])
def test_no_other_mode_does(guided, mode):
    app = guided.with_job(mode=mode)
    names = [n.name for n in frame(app).nodes]
    assert not [n for n in names if n.startswith(("diagram.wire", "diagram.terminal"))]
    for hover in ("diagram.wire:1.0", "diagram.terminal:contactor.T1.0", "place.contactor.L1"):
        there = replace(app, hover=hover)
        assert not focus_marks(there) and not boxed(there)


def test_names_of_the_sheet_are_large_enough_and_come_to_focus(guided):
    nodes = [n for n in frame(guided).nodes if n.name.startswith("diagram.wire")]
    assert len(nodes) > 10
    assert all(min(n.rect.w, n.rect.h) >= TARGET - 0.01 for n in nodes)
    app = replace(guided, focus=nodes[0].name)
    assert what_of(frame(app).node(nodes[0].name).name) == nodes[0].name[8:].rpartition(".")[0]


def test_a_trace_leaves_the_flags_to_be_read():
    """A run that goes down through a flag, along, and up through another. Invented."""
    run = [(10.0, 0.0), (10.0, 5.0), (10.0, 60.0), (90.0, 60.0), (90.0, 5.0), (90.0, 0.0)]
    flags = Rect(0.0, 10.0, 20.0, 20.0), Rect(80.0, 10.0, 20.0, 20.0)
    assert _between(run, flags) == [(10.0, 31.0), (10.0, 60.0), (90.0, 60.0), (90.0, 31.0)]
