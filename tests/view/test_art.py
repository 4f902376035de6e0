"""Every part can be drawn, and its targets can be hit: the distances are measured here.

The distances are our own: a target is a square of 24 px, a marking one of 48 by 16.
"""

import math
import re
import xml.etree.ElementTree as ET
from itertools import combinations

import pytest
from pydantic import ValidationError

from trainer.base.errors import NotFoundError
from trainer.base.places import assets_dir
from trainer.unit.catalogue import catalogue
from trainer.view.art import Art, art_of, drawings, icon_file, part_file

ARTS = drawings()
TYPES = catalogue().types
APART, INSIDE, FIRST_APART = 26, 13, 48
TARGET, MARK, LINES = (12, 12), (24, 8), 17
SHAPES = {"svg", "g", "rect", "circle", "ellipse", "path", "line", "polyline", "polygon"}
SVG = "{http://www.w3.org/2000/svg}"
#: What the tray, the strips and the sheets show beside their words.
ICONS = re.findall(
    r"\w+",
    """
hand gloves lock tag try declare discharge meter tester pen clamp insulation scope strip crimp
torque tug look cut wipe screwdriver lead part cap park label dress call close wait stand note photo
record fault sign hint undo rewind play pause back home settings help leave search person plus minus
warning good cross sound mute shield zoom
""",
)

each_art = pytest.mark.parametrize("art", ARTS.values(), ids=lambda art: art.name)


def spots(art):
    """Every place as (terminal, id, spot)."""
    return [(t, i, at) for t, drawn in art.terminals.items() for i, at in drawn.places.items()]


def box(centre, half):
    (x, y), (w, h) = centre, half
    return x - w, y - h, x + w, y + h


def overlap(a, b):
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def within(inner, size):
    return inner[0] >= 0 and inner[1] >= 0 and inner[2] <= size[0] and inner[3] <= size[1]


def marks(art):
    return {t: box(drawn.mark, MARK) for t, drawn in art.terminals.items()}


def printed(art):
    x, y, wide = art.printed
    return box((x, y), (wide / 2, LINES))


def way_out(at, out, size):
    """What must be free between a place and the border on the side its conductor leaves to."""
    x, y = at
    w, h = size
    return {
        "up": (x - 12, 0, x + 12, y),
        "down": (x - 12, y, x + 12, h),
        "left": (0, y - 12, x, y + 12),
        "right": (x, y - 12, w, y + 12),
    }[out]


def root_of(path):
    return ET.parse(path).getroot()


def size_of(root):
    left, top, wide, high = map(float, root.get("viewBox").split())
    assert (left, top) == (0, 0)
    assert (float(root.get("width")), float(root.get("height"))) == (wide, high)
    return wide, high


@pytest.mark.parametrize("name", TYPES)
def test_every_type_has_one_art(name):
    best = sorted((art.stands_for(name) for art in ARTS.values()), reverse=True)
    assert best[0] > 0
    assert best[1] == 0, "two drawings claim it"


@pytest.mark.parametrize("name", TYPES)
def test_every_place_of_a_type_is_drawn_and_nothing_else(name):
    drawn = {(t, i) for t, i, _ in spots(art_of(name))}
    has = {(t, p.id) for t, terminal in TYPES[name].terminals.items() for p in terminal.places}
    assert drawn == has


@each_art
def test_every_art_stands_for_types_that_are_there(art):
    for pattern in art.types:
        stem = pattern.removesuffix("*")
        assert any(t == pattern or (stem != pattern and t.startswith(stem)) for t in TYPES), pattern


@each_art
def test_targets_keep_apart_and_inside(art):
    wide, high = art.size
    for (_, _, a), (_, _, b) in combinations(spots(art), 2):
        assert math.dist(a, b) >= APART, (a, b)
        assert not overlap(box(a, TARGET), box(b, TARGET)), (a, b)
    for terminal, tab, (x, y) in spots(art):
        assert INSIDE <= x <= wide - INSIDE, (terminal, tab)
        assert INSIDE <= y <= high - INSIDE, (terminal, tab)


@each_art
def test_terminals_keep_further_apart(art):
    firsts = {t: drawn.at for t, drawn in art.terminals.items()}
    for (s, a), (t, b) in combinations(firsts.items(), 2):
        assert math.dist(a, b) >= FIRST_APART, (s, t)


@each_art
def test_places_of_a_terminal_lie_along_the_border(art):
    for name, drawn in art.terminals.items():
        across = 1 if drawn.out in ("up", "down") else 0
        assert len({at[across] for at in drawn.places.values()}) == 1, name


@each_art
def test_nothing_lies_where_a_conductor_leaves(art):
    for terminal, tab, at in spots(art):
        way = way_out(at, art.terminals[terminal].out, art.size)
        others = [box(b, TARGET) for t, i, b in spots(art) if (t, i) != (terminal, tab)]
        others += marks(art).values()
        others += [printed(art)] if art.printed else []
        assert not any(overlap(way, other) for other in others), (terminal, tab)


@each_art
def test_markings_stand_clear_and_inwards(art):
    found = marks(art)
    for name, mark in found.items():
        assert within(mark, art.size), name
        assert not any(overlap(mark, box(at, TARGET)) for _, _, at in spots(art)), name
        assert not (art.printed and overlap(mark, printed(art))), name
        drawn = art.terminals[name]
        at, (dx, dy) = drawn.at, {
            "up": (0, 1), "down": (0, -1), "left": (1, 0), "right": (-1, 0),
        }[drawn.out]  # fmt: skip
        assert dx * (drawn.mark[0] - at[0]) + dy * (drawn.mark[1] - at[1]) > 0, name
    for (s, a), (t, b) in combinations(found.items(), 2):
        assert not overlap(a, b), (s, t)


@each_art
def test_what_is_printed_has_room(art):
    if art.printed is None:
        return
    assert within(printed(art), art.size)
    assert not any(overlap(printed(art), box(at, TARGET)) for _, _, at in spots(art))


@each_art
def test_what_moves_stays_on_the_part_and_hides_nothing(art):
    for moving in art.moving:
        wide, high = size_of(root_of(part_file(moving.svg)))
        assert moving.corner(True) != moving.corner(False)
        for closed in (False, True):
            x, y = moving.corner(closed)
            covers = (x, y, x + wide, y + high)
            assert within(covers, art.size)
            hidden = [box(at, TARGET) for _, _, at in spots(art)] + list(marks(art).values())
            hidden += [printed(art)] if art.printed else []
            assert not any(overlap(covers, other) for other in hidden), (moving.svg, closed)


@each_art
def test_a_hasp_is_free(art):
    if art.hasp:
        shackle = box(art.hasp, (5, 5))
        assert within(shackle, art.size)
        assert not any(overlap(shackle, box(at, TARGET)) for _, _, at in spots(art))
        assert not any(overlap(shackle, mark) for mark in marks(art).values())


def drawn_files():
    return sorted((assets_dir() / "parts").glob("*")) + sorted((assets_dir() / "icons").glob("*"))


@pytest.mark.parametrize("path", drawn_files(), ids=lambda path: f"{path.parent.name}/{path.name}")
def test_files_are_plain_shapes_without_words(path):
    root = root_of(path)
    assert {el.tag.removeprefix(SVG) for el in root.iter()} <= SHAPES
    assert not [el.tag for el in root.iter() if (el.text or "").strip() or (el.tail or "").strip()]
    named = {key for el in root.iter() for key in el.attrib}
    assert not named & {"style", "class", "href", "filter", "mask", "clip-path", "transform"}
    size_of(root)


@pytest.mark.parametrize("path", drawn_files(), ids=lambda path: f"{path.parent.name}/{path.name}")
def test_colours_are_flat(path):
    for el in root_of(path).iter():
        for key in ("fill", "stroke"):
            assert re.fullmatch(r"none|#[0-9A-Fa-f]{6}", el.get(key, "none")), el.attrib


@each_art
def test_a_drawing_has_the_size_of_its_entry(art):
    assert size_of(root_of(part_file(art.name))) == art.size


def test_every_drawing_is_used():
    used = set(ARTS) | {moving.svg for art in ARTS.values() for moving in art.moving}
    assert {path.stem for path in (assets_dir() / "parts").iterdir()} == used


def test_every_icon_is_there_and_no_other():
    assert {path.stem for path in (assets_dir() / "icons").iterdir()} == set(ICONS)


@pytest.mark.parametrize("name", ICONS)
def test_icons_are_white_lines_on_one_grid(name):
    root = root_of(icon_file(name))
    assert size_of(root) == (24, 24)
    shapes = list(root)
    assert shapes
    for el in shapes:
        drawn = [el.get(k) for k in ("fill", "stroke", "stroke-width", "stroke-linecap")]
        assert drawn == ["none", "#FFFFFF", "1.8", "round"]


def test_a_type_without_a_drawing_is_told():
    with pytest.raises(NotFoundError, match="no drawing stands for the type 'steam-engine'"):
        art_of("steam-engine")
    with pytest.raises(NotFoundError, match=r"icons/steam\.svg"):
        icon_file("steam")


def test_a_whole_name_beats_a_beginning():
    plain = {"size": [100, 80], "called": "thing", "face": "dark"}
    start = Art(types=["start-*"], **plain)
    one = Art(types=["start-88"], **plain)
    assert one.stands_for("start-88") > start.stands_for("start-88") > 0
    assert one.stands_for("start-881") == 0 < start.stands_for("start-881")


def test_a_place_outside_its_drawing_is_refused():
    terminal = {"at": [20, 20], "more": {"a": [120, 20]}, "out": "up", "mark": [50, 50]}
    with pytest.raises(ValidationError, match="outside"):
        Art(
            types=["x"], size=[100, 80], called="thing", face="dark", terminals={"1": terminal}
        )  # fmt: skip
