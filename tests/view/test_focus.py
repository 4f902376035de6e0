"""Where Tab, arrows and F6 lead among the nodes of a frame, and what follows a change."""

from itertools import pairwise

import pytest

from tests.view.hands import Hands, way_to
from trainer.view import focus
from trainer.view.shapes import Frame, Node, Rect


def node(name, x, y, **more):
    return Node(name, "button", Rect(x, y, 20.0, 20.0), name, ("nothing",), **more)


#: Two rows of three; the middle of the upper row is disabled. Invented.
GRID = Frame(
    (200.0, 100.0), (),
    (node("strip.a", 0, 0), node("strip.b", 50, 0, enabled=False), node("strip.c", 100, 0),
     node("tool.a", 0, 50), node("tool.b", 50, 50), node("tool.c", 100, 50)),
)  # fmt: skip


def test_tab_goes_round_and_leaves_out_what_does_not_answer():
    ways = ["strip.a", "strip.c", "tool.a", "tool.b", "tool.c", "strip.a"]
    for here, there in pairwise(ways):
        assert focus.along(GRID, here, 1) == there
        assert focus.along(GRID, there, -1) == here
    assert focus.along(GRID, "", 1) == "strip.a"
    assert focus.along(GRID, "gone", -1) == "tool.c"
    assert focus.along(Frame((1.0, 1.0), (), ()), "x", 1) == ""


@pytest.mark.parametrize(
    ("here", "way", "there"),
    [("tool.a", "right", "tool.b"), ("tool.b", "up", "strip.a"), ("strip.c", "down", "tool.c"),
     ("strip.a", "right", "strip.c"), ("tool.a", "left", "tool.a"), ("strip.a", "up", "strip.a")],
)  # fmt: skip
def test_arrows_lead_to_the_nearest_in_their_way(here, way, there):
    assert focus.towards(GRID, here, way) == there


def test_a_wide_button_below_in_the_same_column_comes_before_a_narrow_one_further_down():
    wide = Node("wide", "button", Rect(0.0, 40.0, 170.0, 30.0), "wide", ("nothing",))
    found = Frame((200.0, 200.0), (), (node("tab", 10, 0), wide, node("narrow", 12, 90)))
    assert focus.towards(found, "tab", "down") == "wide"
    assert focus.towards(found, "wide", "down") == "narrow"


def test_what_stands_beside_comes_before_what_is_nearer_in_the_next_row():
    """As the rows of buttons on the Job sheet."""
    rows = [
        ("read", 0, 0, 170),
        ("plate", 176, 0, 150),
        ("look", 0, 38, 136),
        ("area", 142, 38, 130),
    ]
    nodes = tuple(Node(n, "button", Rect(x, y, w, 32.0), n, ("nothing",)) for n, x, y, w in rows)
    found = Frame((400.0, 100.0), (), nodes)
    assert focus.towards(found, "read", "right") == "plate"
    assert focus.towards(found, "look", "right") == "area"
    assert focus.towards(found, "area", "left") == "look"


#: A sheet laid over a row of the screen whose last node lies behind it. Invented.
LAID = Frame(
    (200.0, 200.0), (),
    (node("cover.a", 100, 40), node("place.a", 20, 40), node("place.far", 180, 70),
     Node("clipboard", "group", Rect(90.0, 0.0, 110.0, 120.0), "", ("nothing",), focus=False),
     node("sheet.job", 100, 0), node("job.read", 100, 90), node("tool.a", 100, 150)),
)  # fmt: skip


@pytest.mark.parametrize(
    ("here", "way", "there"),
    [("sheet.job", "down", "job.read"), ("job.read", "up", "sheet.job"),
     ("job.read", "down", "tool.a"), ("sheet.job", "left", "place.a"),
     ("place.a", "right", "cover.a")],
)  # fmt: skip
def test_arrows_stay_on_a_panel_while_it_has_something_that_way(here, way, there):
    assert focus.towards(LAID, here, way) == there


def test_down_from_a_tab_goes_into_the_sheet_and_not_to_the_board_behind(hands):
    """The board scrolled so that its covers and places lie under the clipboard's columns."""
    frame = hands.frame
    on = focus.panels(frame)
    for name in (n.name for n in frame.nodes if n.name.startswith("sheet.")):
        there = focus.towards(frame, name, "down")
        assert on[name] == on[there] == "clipboard", f"down from {name} leads to {there}"


def test_an_arrow_from_nowhere_begins():
    assert focus.towards(GRID, "gone", "down") == "strip.a"


def test_f6_jumps_between_areas_both_ways():
    assert focus.area_after(GRID, "strip.c", 1) == "tool.a"
    assert focus.area_after(GRID, "tool.c", 1) == "strip.a"
    assert focus.area_after(GRID, "strip.a", -1) == "tool.a"
    assert focus.area_after(GRID, "", 1) == "strip.a"


def test_f6_enters_tools_and_sheets_at_what_is_chosen_and_options_at_the_first():
    found = Frame(
        (400.0, 100.0), (),
        (node("set.a", 0, 0), node("set.b", 50, 0, chosen=True), node("option.do", 100, 0),
         node("tool.a", 0, 50), node("tool.b", 50, 50, chosen=True), node("sheet.a", 300, 0),
         node("sheet.b", 330, 0, chosen=True)),
    )  # fmt: skip
    assert focus.area_after(found, "tool.a", -1) == "set.a"
    assert (
        focus.area_after(found, "option.do", 1) == focus.area_after(found, "set.b", 1) == "tool.b"
    )
    assert focus.area_after(found, "tool.a", 1) == "sheet.b"


def test_f6_from_anything_on_the_clipboard_leaves_the_clipboard():
    assert focus.area_after(LAID, "job.read", 1) == "place.a"
    assert focus.area_after(LAID, "job.read", -1) == "tool.a"


def test_with_keys_the_first_words_say_how_to_get_about():
    hands = Hands()
    hands.begin("make-it-dead")
    assert "F6" not in hands.app.job.said[0]
    hands.key("tab")
    hands.begin("make-it-dead")
    assert "F6" in hands.app.job.said[0]


def test_focus_stays_or_goes_to_what_is_nearest_to_where_it_was():
    before = GRID.nodes
    less = Frame(GRID.size, (), tuple(n for n in before if n.name != "tool.c"))
    assert focus.kept(less, "tool.b", before) == "tool.b"
    assert focus.kept(less, "tool.c", before) in ("tool.b", "strip.c")
    assert focus.kept(less, "", before) == ""
    assert focus.kept(Frame((1.0, 1.0), (), ()), "tool.c", before) == ""


def test_with_keys_a_new_screen_begins_at_the_button_that_stands_out():
    """Never at one that only comes first; with the pointer at none."""
    main = Frame(GRID.size, (), (*GRID.nodes, node("x.main", 150, 0, main=True)))
    assert focus.kept(main, "", GRID.nodes, True) == "x.main"
    assert focus.kept(main, "", GRID.nodes) == ""
    assert focus.kept(main, "tool.a", GRID.nodes, True) == "tool.a"
    assert focus.kept(GRID, "", GRID.nodes, True) == ""


def test_the_tour_is_walked_by_enter_alone():
    hands = Hands()
    hands.send(("tour", 0))
    hands.key("tab")
    pages = []
    while hands.app.screen == "tour":
        pages.append(hands.app.tour)
        assert hands.app.focus == "tour.next"
        hands.key("return")
    assert pages == list(range(6)) and hands.app.screen == "home"


def test_tab_from_nowhere_does_not_begin_at_the_way_out():
    """Along the strip of the bench and of home as they are read, the way out last."""
    for name in ("home", "bench"):
        hands = Hands()
        if name == "bench":
            hands.begin("make-it-dead")
        top = [n for n in focus.stops(hands.frame) if n.rect.y < 20.0]
        assert focus.along(hands.frame, "", 1) == top[0].name
        assert [n.rect.x for n in top] == sorted(n.rect.x for n in top)
        assert top[-1].name in ("home.quit", "strip.leave")


def test_with_keys_the_bench_begins_at_the_sheet_that_is_up():
    hands = Hands()
    hands.key("tab")
    hands.begin("make-it-dead", "guided")
    assert hands.node("sheet.job").chosen
    assert hands.app.focus == "sheet.job"


@pytest.fixture(scope="module")
def hands():
    found = Hands()
    found.begin("make-it-dead")
    return found


def test_keys_lead_from_anything_on_the_bench_to_anything(hands):
    """From the first stop to each, and from each back to it."""
    names = [n.name for n in focus.stops(hands.frame)]
    for name in names:
        assert len(way_to(hands.frame, names[0], name)) <= len(names) / 2
        way_to(hands.frame, name, names[0])


def test_tab_visits_everything_on_the_bench_and_shows_it(hands):
    names = [n.name for n in focus.stops(hands.frame)]
    visited = set()
    for _ in names:
        hands.key("tab")
        here = hands.node(hands.app.focus)
        assert here.seen.w > 1.0 and here.seen.h > 1.0, f"{here.name} has focus out of sight"
        visited.add(here.name)
    assert visited == set(names)


def test_the_node_with_focus_is_named_in_the_frame(hands):
    for _ in range(12):
        hands.key("f6")
        assert hands.frame.node(hands.app.focus) is not None
