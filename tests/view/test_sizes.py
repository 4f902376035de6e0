"""Everything can be reached in small windows: by the pointer, with what scrolls, and by keys."""

from dataclasses import replace
from itertools import pairwise

import pytest

from tests.outside import spread
from tests.view.hands import Hands
from trainer.view.frames import frame
from trainer.view.language import PSEUDO
from trainer.view.screens.bench import places
from trainer.view.shots import shots
from trainer.view.state import App, Settings
from trainer.view.tools import TOOLS

SIZES = [(1024.0, 640.0), (1280.0, 800.0), (683.0, 384.0), (640.0, 400.0)]
#: What a clipboard that lies over the board may cover.
BEHIND = ("place.", "end.", "part.", "cover.", "board.", "option.", "set.", "scroll")
SHEETS = ("job", "diagram", "meter", "trace", "note")


@pytest.fixture(scope="module")
def hands():
    found = Hands()
    found.begin("potential-relay-and-start-capacitor")
    return found


def sized(hands, size):
    hands.send(("form", ""))
    hands.send(("drop",))
    hands.resize(size)
    if hands.app.compact_sheet:
        hands.send(("sheet up",))
    return hands


def reachable(hands):
    """Names that a pointer can be brought to, each from what is scrolled now."""
    for name in [n.name for n in hands.frame.nodes if n.on and n.focus and n.enabled]:
        hands.reveal(name)


@pytest.mark.parametrize(
    ("tool", "size"), spread([t.name for t in TOOLS if t.name != "more"], SIZES), ids=str
)
def test_everything_on_the_bench_can_be_brought_into_sight(hands, size, tool):
    sized(hands, size).send(("tool", tool))
    reachable(hands)


@pytest.mark.parametrize("tool", [t.name for t in TOOLS])
def test_in_the_lowest_window_a_tool_leaves_half_of_it_to_the_board(hands, tool):
    """The torque driver's gauge is two lines high: a little less then. Shares are our own."""
    sized(hands, (683.0, 384.0)).send(("tool", tool))
    assert places(hands.app).board.h >= (0.45 if tool == "torque" else 0.55) * 384.0


def test_options_of_the_lowest_window_go_on_by_a_line(hands):
    sized(hands, (683.0, 384.0)).send(("tool", "lead"))
    hands.send(("scroll", "options", -1000.0))  # another test may have gone down
    seen = [{n.name for n in hands.frame.nodes if n.name.startswith("set.") and n.seen.h > 24.0}]
    while (on := hands.frame.node("page.options.on")) is not None and on.enabled:
        hands.click("page.options.on")
        seen.append({n.name for n in hands.frame.nodes
                     if n.name.startswith(("set.", "option.do")) and n.seen.h > 24.0})  # fmt: skip
    assert len(seen) > 2 and "option.do" in seen[-1]
    assert all(a.isdisjoint(b) for a, b in pairwise(seen))


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("sheet", SHEETS)
def test_everything_on_a_sheet_can_be_brought_into_sight(hands, size, sheet):
    sized(hands, size)
    if hands.frame.node("strip.sheets") is not None:
        hands.click("strip.sheets")
    hands.click(f"sheet.{sheet}")
    for name in [n.name for n in hands.frame.nodes if n.on and n.focus]:
        if not name.startswith(BEHIND):
            hands.reveal(name)


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("form", ["list", "finish", "record", "name fault", "take wire", "mount"])
def test_everything_in_a_form_can_be_brought_into_sight(hands, size, form):
    sized(hands, size).send(("form", form))
    for name in [n.name for n in hands.frame.nodes if n.name.startswith(("form.", "act.", "fin"))]:
        hands.reveal(name)


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_focus_is_seen_wherever_tab_leads(hands, size):
    sized(hands, size)
    for _ in [n for n in hands.frame.nodes if n.focus]:
        hands.key("tab")
        here = hands.node(hands.app.focus)
        assert here.seen.w > 1.0 and here.seen.h > 1.0, f"{here.name} has focus out of sight"


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_a_pause_can_be_answered(hands, size):
    sized(hands, size)
    lines = ["A line that is long enough to be broken in a narrow window, more than once."] * 6
    pause = {"kind": "harm", "title": "Invented", "lines": lines}
    hands.app = hands.app.with_job(pause=pause)
    hands._frame = None
    hands.reveal("pause.back")
    hands.reveal("pause.on")
    hands.send(("unpause",))


def test_the_bay_scrolls_where_plot_and_sliders_do_not_fit():
    for size in SIZES:
        found = Hands(size)
        found.app = replace(shots()["bay"](), size=size)
        plot = found.node("bay.plot").rect
        dials = [n for n in found.frame.nodes if n.name.startswith("dial.")]
        assert dials and all(d.rect.y >= plot.bottom for d in dials)
        for dial in dials:
            found.reveal(dial.name)


def test_the_ways_on_from_a_debrief_lie_side_by_side():
    app = shots()["debrief-poor"]()
    for size in SIZES:
        ways = [f"debrief.{name}" for name in ("home", "next", "bench", "save")]
        rows = [n.rect for n in frame(replace(app, size=size)).nodes if n.name in ways]
        assert len(rows) == 4
        assert all(a.right <= b.x for a, b in pairwise(sorted(rows)))


@pytest.mark.parametrize("language", ["en", "es", PSEUDO])
@pytest.mark.parametrize("size", SIZES, ids=str)
def test_every_way_from_home_is_there_in_every_language(size, language):
    found = frame(App(size=size, settings=Settings(language=language)))
    ways = [n.rect for n in found.nodes if n.name.startswith("home.") and n.rect.y < 60.0]
    assert len(ways) == 5
    assert all(w.x >= 0.0 for w in ways)
    assert all(a.right <= b.x for a, b in pairwise(ways))
