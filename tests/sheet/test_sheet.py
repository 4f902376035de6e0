"""The door sheet: what can be read, that both drawings say the same, and that nothing overlaps.

Layouts are the shipped ones, all invented; expected joints are read off their files by hand.
"""

from itertools import combinations, pairwise

import pytest

from trainer.sheet.connection import TAG, connection_drawing
from trainer.sheet.inside import INSIDE
from trainer.sheet.ladder import ladder_drawing
from trainer.sheet.ladder_text import ladder_text
from trainer.sheet.reading import HIDDEN, sheet_of
from trainer.sheet.rungs import ladders
from trainer.sheet.shapes import Box, Drawing, Line, Words
from trainer.sheet.symbols import SYMBOLS, symbol
from trainer.unit.layout import layout_names, load_layout

STATES = ("clean", "dirty", "older")
SHEETS = [(name, state) for name in layout_names() for state in STATES]


@pytest.mark.parametrize("name", layout_names())
def test_every_symbol_of_a_part_that_is_wired_is_on_one_rung(name):
    sheet = sheet_of(load_layout(name), "clean")
    drawn = [e for ladder in ladders(sheet) for rung in ladder.rungs for e in rung.elements]
    assert len(drawn) == len(set(drawn)) and set(drawn) == set(sheet.elements)


@pytest.mark.parametrize("name", layout_names())
def test_neighbours_on_a_rung_share_a_joint_of_the_wires(name):
    sheet = sheet_of(load_layout(name), "clean")
    for ladder in ladders(sheet):
        for rung in ladder.rungs:
            ends = [
                e.ends[::-1] if t else e.ends
                for e, t in zip(rung.elements, rung.turned, strict=True)
            ]
            for before, after in pairwise(ends):
                assert sheet.joint(before[1]) == sheet.joint(after[0])
            if rung.start is not None:
                assert ends[0][0] in rung.start
            if rung.end is not None:
                assert ends[-1][1] in rung.end


def test_the_ladder_read_aloud():
    lines = ladder_text(sheet_of(load_layout("old-quarry"), "clean")).splitlines()
    assert "Joint can H: can H, pr 2, comp S." in lines
    told = {line.partition(": ")[2] for line in lines if line.startswith("Rung ")}
    assert "contactor T1 – pr 5 to 2, coil – can H." in told
    assert (
        "can H – pr 2 to 1, contact, closed at rest – sc 1 to 2, start capacitor – contactor T2."
        in told
    )
    assert "contactor T1 – comp C to R, run winding – contactor T2." in told


def test_current_runs_from_left_to_right():
    whole = ladders(sheet_of(load_layout("larkspur-row"), "clean"))[0]
    first, last = whole.uprights[0], whole.uprights[-1]
    assert "service.L1" in first and "service.L2" in last
    for rung in whole.rungs:
        if rung.start is not None and rung.end is not None:
            assert whole.uprights.index(rung.start) < whole.uprights.index(rung.end)


def test_dirt_hides_every_third_line_and_says_how_many():
    layout = load_layout("larkspur-row")
    sheet = sheet_of(layout, "dirty")
    hidden = [w for n, w in enumerate(layout.wires) if n % HIDDEN == HIDDEN - 1]
    assert sheet.hidden == len(hidden) and not set(hidden) & set(sheet.wires)
    tags = {w.text for w in words(connection_drawing(sheet)) if w.size == TAG}
    assert not tags & {f"{w.tag} {w.colour}" for w in hidden}
    assert f"{len(hidden)} conductors cannot be read" in ladder_text(sheet)
    for wire in hidden:
        a, b = wire.begin.partition(":")[0], wire.end.partition(":")[0]
        others = [w for w in sheet.wires if a in (w.begin, w.end) or b in (w.begin, w.end)]
        if not others:
            assert b not in sheet.joint(a)


def test_an_older_sheet_has_neither_numbers_nor_colours():
    layout = load_layout("larkspur-row")
    drawing = connection_drawing(sheet_of(layout, "older"))
    assert not [w for w in words(drawing) if w.size == TAG]
    assert "older revision" in drawing.title


def test_a_missing_sheet_shows_nothing():
    sheet = sheet_of(load_layout("larkspur-row"), "missing")
    for drawing in (connection_drawing(sheet), ladder_drawing(sheet)):
        assert "no diagram" in drawing.title and not list(drawing.everything())
    assert "no diagram" in ladder_text(sheet)


def test_a_unit_without_a_state_given_has_its_own():
    assert sheet_of(load_layout("cinder-yard")).state == "dirty"


@pytest.mark.parametrize("draw", [connection_drawing, ladder_drawing])
@pytest.mark.parametrize(("name", "state"), SHEETS)
def test_no_word_lies_on_another_or_beyond_the_edge(draw, name, state):
    drawing = draw(sheet_of(load_layout(name), state))
    for one in words(drawing):
        left, top, right, low = one.bounds
        assert left >= 0 and top >= 0, one
        assert right <= drawing.size[0] and low <= drawing.size[1], one
    for one, other in combinations(words(drawing), 2):
        assert not overlap(one.bounds, other.bounds), (one.text, other.text)


@pytest.mark.parametrize("draw", [connection_drawing, ladder_drawing])
@pytest.mark.parametrize(("name", "state"), SHEETS)
def test_no_two_lines_lie_on_one_another(draw, name, state):
    """Lines that cross are plain; lines that share a stretch could not be told apart."""
    runs = [run for line in solid(draw(sheet_of(load_layout(name), state))) for run in pieces(line)]
    for (way, at, low, high), (other, where, least, most) in combinations(runs, 2):
        if way == other and abs(at - where) < 1.0:
            assert min(high, most) - max(low, least) < 0.5


@pytest.mark.parametrize(("name", "state"), SHEETS)
def test_no_upright_runs_through_a_symbol(name, state):
    drawing = ladder_drawing(sheet_of(load_layout(name), state))
    uprights = [line.points for line in solid(drawing) if line.points[0][0] == line.points[1][0]]
    for one in drawing.symbols:
        left, right = one.anchors["a"][0], one.anchors["b"][0]
        for (x, low), (_, high) in uprights:
            beside = not min(low, high) <= one.at[1] <= max(low, high)
            assert beside or not left < x < right, one.name


def test_the_same_sheet_is_drawn_the_same():
    layout = load_layout("mill-race")
    for draw in (connection_drawing, ladder_drawing):
        assert draw(sheet_of(layout, "clean")) == draw(sheet_of(layout, "clean"))


def test_every_symbol_that_a_part_may_have_is_drawn_and_meets_its_anchors():
    assert {one.symbol for rows in INSIDE.values() for one in rows} <= set(SYMBOLS)
    for name in SYMBOLS:
        one = symbol(name, (100.0, 50.0))
        points = {p for s in one.shapes if isinstance(s, Line) for p in s.points}
        assert one.anchors["a"] in points
        assert one.anchors["b"] in points or name == "earth"


def test_boxes_of_a_connection_diagram_keep_apart():
    for name in layout_names():
        drawing = connection_drawing(sheet_of(load_layout(name), "clean"))
        boxes = [
            (*s.corner, s.corner[0] + s.size[0], s.corner[1] + s.size[1])
            for s in drawing.shapes
            if isinstance(s, Box)
        ]
        assert not any(overlap(a, b) for a, b in combinations(boxes, 2))


def words(drawing: Drawing) -> list[Words]:
    return [s for s in drawing.everything() if isinstance(s, Words)]


def solid(drawing: Drawing) -> list[Line]:
    """Conductors: not the faint lines under a name, nor the thick bar of one terminal."""
    return [s for s in drawing.shapes if isinstance(s, Line) and s.ink == "ink" and s.width < 2.5]


def pieces(line: Line):
    """Level and upright stretches: which way, at what height, from, to."""
    for (x0, y0), (x1, y1) in zip(line.points, line.points[1:], strict=False):
        if y0 == y1:
            yield "level", y0, min(x0, x1), max(x0, x1)
        else:
            yield "upright", x0, min(y0, y1), max(y0, y1)


def overlap(one, other) -> bool:
    return (
        min(one[2], other[2]) - max(one[0], other[0]) > 0.01
        and min(one[3], other[3]) - max(one[1], other[1]) > 0.01
    )
