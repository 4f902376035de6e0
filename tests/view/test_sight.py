"""The first sight of a board, going closer, and what makes way in a narrow window."""

import os

import pytest

from tests.view.hands import Hands
from trainer.unit.layout import layout_names
from trainer.view.board.seen import layout_of
from trainer.view.pen import Pen
from trainer.view.shapes import Rect
from trainer.view.theme import TARGET
from trainer.view.widgets import field

PINS = {"comp.C", "comp.S", "comp.R"}
#: The board that is highest for its width and the one of the first job; all where all is checked.
LAYOUTS = layout_names() if os.environ.get("CONDENSER_BENCH_CI") else ("weir-cottage",)
NARROW = (700.0, 480.0)


def opened(name, size=(1280.0, 800.0)):
    """A unit with every cover off that comes off."""
    hands = Hands(size)
    hands.begin(name)
    for cover in layout_of(hands.app.job.bench).covers:
        hands.send(("act", {"act": "take off", "cover": cover}))
    return hands


@pytest.mark.parametrize("name", LAYOUTS)
def test_the_first_sight_shows_the_compressors_pins_large_enough_to_click(name):
    hands = opened(name)
    cover = layout_of(hands.app.job.bench).covers.get("moulded-plug")
    assert not [n for n in hands.frame.nodes if n.name.startswith("scroll.board")]
    if cover is not None:  # its pins are under a plug that does not come off
        assert hands.bare("cover.comp") is not None
        return
    for pin in PINS:
        node = hands.node(f"place.{pin}")
        assert min(node.seen.w, node.seen.h) >= TARGET - 1e-9
        assert hands.bare(node.name) is not None


def test_from_afar_a_terminal_answers_only_where_it_is_clear_which_is_meant():
    """Two wires on one terminal: which of them is meant is told from closer."""
    hands = opened("larkspur-row")
    ends = hands.app.job.bench.unit.conductors.values()
    on = [e.on for c in ends for e in (c.a, c.b) if e.on]
    by_terminal = {}
    for place in on:
        by_terminal.setdefault(place.partition(":")[0], set()).add(place)
    crowded = [t for t, places in by_terminal.items() if len(places) > 1]
    offered = {n.on[1].partition(":")[0] for n in hands.frame.nodes if n.role == "place"}
    assert crowded and not offered & set(crowded)
    taken = {n.on[1] for n in hands.frame.nodes if n.role == "place"}
    hands.send(("end", "7.a"))
    held = {n.on[1] for n in hands.frame.nodes if n.role == "place"}
    assert held - taken, "with an end in the hand free places answer"


def test_a_part_leads_closer_and_the_focus_goes_with_it():
    hands = opened("larkspur-row")
    hands.click("far.contactor")
    assert hands.app.focus.startswith("place.contactor.")
    assert hands.bare(hands.app.focus) is not None
    hands.click("board.change")
    assert hands.frame.node("far.contactor") is not None
    hands.focus_on("far.contactor")
    hands.key("return")
    assert hands.frame.node("part.contactor") is not None


def test_free_ends_that_crowd_lead_closer_together():
    hands = Hands()
    hands.begin("potential-relay-and-start-capacitor")
    for part in ("pr-e", "sc"):  # with both mounted the whole board is seen from further off
        hands.send(("act", {"act": "mount", "part": part}))
    for tag in ("31", "32", "33", "34"):
        hands.send(("act", {"act": "take wire", "wire": tag, "length": "1 ft"}))
    bundles = [n for n in hands.frame.nodes if n.name.startswith("far.ends.")]
    assert bundles and "end.31.a" not in {n.name for n in hands.frame.nodes}
    hands.click(bundles[0].name)
    assert hands.bare("end.31.a") is not None
    assert hands.app.focus == "end.31.a"


def test_the_board_stays_whole_when_a_tool_has_much_to_set():
    hands = opened("larkspur-row")
    for tool in ("hand", "part", "lead", "crimp"):
        hands.send(("tool", tool))
        assert hands.frame.node("far.contactor") is not None


def test_in_a_narrow_window_board_and_clipboard_take_turns():
    hands = Hands(NARROW)
    hands.begin("larkspur-row")

    def seen():
        kinds = {n.name.partition(".")[0] for n in hands.frame.nodes}
        return "cover" in kinds or "place" in kinds, "sheet" in kinds

    assert seen() == (True, False)
    board = max(n.rect.h for n in hands.frame.nodes if n.name == "scroll.board")
    assert board > NARROW[1] / 2.0
    hands.click("strip.sheets")
    assert seen() == (False, True)
    hands.click("tool.wipe")  # taking a tool folds the clipboard away
    assert seen() == (True, False)
    hands.click("tool.meter")  # which has to be set on its sheet first
    assert seen() == (False, True)
    hands.click("select.meter.V ac")
    assert seen() == (True, False)
    hands.click("strip.sheets")
    hands.key("escape")
    assert seen() == (True, False)


#: 1366 x 768 at an interface scale of 200 %, and the longest title of a shipped exercise.
DOUBLED, LONGEST = (683.0, 384.0), "choose-the-relay"


def top_words(hands):
    """Words in the strip above the bench, from the top."""
    words = [s for s in hands.frame.shapes if hasattr(s, "text") and s.at[1] < 46.0]
    return [s.text for s in sorted(words, key=lambda s: s.at[1])]


@pytest.mark.parametrize("mode", ["guided", "practice", "graded"])
def test_the_longest_title_is_whole_at_twice_the_scale(mode):
    hands = Hands(DOUBLED)
    hands.begin(LONGEST, mode)
    title = hands.app.job.told["title"]
    top = [t for t in top_words(hands) if t in title]
    assert " ".join(top).split() == title.split()
    ways = [n for n in hands.frame.nodes if n.name.startswith("strip.")]
    assert all(n.label in top_words(hands) for n in ways)


def test_at_twice_the_scale_a_clipboard_that_is_up_has_most_of_the_window():
    hands = Hands(DOUBLED)
    hands.begin("larkspur-row")
    hands.click("strip.sheets")
    assert hands.node("clipboard").rect.h > 0.75 * DOUBLED[1]
    assert hands.frame.node("tool.hand") is None  # no tool works on paper
    hands.click("strip.sheets")
    assert hands.frame.node("tool.hand") is not None


def test_a_line_that_is_not_typed_into_is_read_from_its_beginning():
    """A tag that says not to close must not read as something else."""
    words = "do not close, working on the unit"
    for room in (120.0, 400.0):
        pen = Pen(DOUBLED)
        field(pen, "line", Rect(0.0, 0.0, room, 28.0), "Words", words)
        (shown,) = (s.text for s in pen.shapes if hasattr(s, "text"))
        assert words.startswith(shown.rstrip("…")) and shown.startswith("do not")
