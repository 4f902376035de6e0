"""Pointer, wheel, keys and letters become messages; nothing else comes of them."""

from dataclasses import replace

import pytest

from tests.view.hands import Hands
from trainer.view.inputs import DRAGS, Inputs
from trainer.view.shapes import Frame, Node, Rect
from trainer.view.state import App

#: Invented: an end that can be dragged, a place to drop, a field, a slider, a region that scrolls.
FRAME = Frame(
    (400.0, 300.0), (),
    (
        Node("scroll.list", "scroll", Rect(0, 0, 200, 300), "list", value="500 0", focus=False),
        Node("end.1.a", "end", Rect(10, 10, 30, 30), "end", ("end", "1.a"), grab=True),
        Node("place.x", "place", Rect(100, 10, 30, 30), "x", ("place", "x"), accept=True),
        Node("plain", "button", Rect(100, 60, 30, 30), "plain", ("plain",)),
        Node("line", "field", Rect(10, 60, 80, 30), "line", ("focus", "line"), value="ab"),
        Node("slide", "slider", Rect(10, 100, 100, 20), "s", ("scrub", None), grab=True,
             keys={"left": ("scrub", 0.1)}),
    ),
)  # fmt: skip


def pressed(inputs, at):
    return inputs.pressed(App(), FRAME, at)


def test_a_click_is_a_press_and_a_release_on_one_node():
    inputs = Inputs()
    app, messages = pressed(inputs, (110, 70))
    assert app.focus == "plain" and messages == []
    assert inputs.released(App(), FRAME, (112, 72)) == [("plain",)]


def test_a_release_elsewhere_is_no_click():
    inputs = Inputs()
    pressed(inputs, (110, 70))
    assert inputs.released(App(), FRAME, (20, 20)) == []
    assert inputs.released(App(), FRAME, (20, 20)) == []


def test_a_drag_takes_up_and_drops():
    inputs = Inputs()
    pressed(inputs, (20, 20))
    assert inputs.moved(App(), FRAME, (20 + DRAGS / 2, 20))[1] == []
    assert inputs.moved(App(), FRAME, (60, 20))[1] == [("end", "1.a")]
    assert inputs.moved(App(), FRAME, (90, 20))[1] == []
    assert inputs.released(App(), FRAME, (110, 20)) == [("place", "x")]


def test_a_drag_dropped_on_nothing_or_on_what_takes_nothing_drops_nothing():
    for at in ((350, 250), (110, 70), (20, 20)):
        inputs = Inputs()
        pressed(inputs, (20, 20))
        inputs.moved(App(), FRAME, (60, 20))
        assert inputs.released(App(), FRAME, at) == []


def test_a_slider_follows_the_pointer_and_stops_at_its_ends():
    inputs = Inputs()
    assert pressed(inputs, (60, 110))[1] == [("scrub", 0.5)]
    assert inputs.moved(App(), FRAME, (300, 200))[1] == [("scrub", 1.0)]
    assert inputs.released(App(), FRAME, (300, 200)) == []


def test_letters_go_to_the_field_with_focus_alone():
    inputs, app = Inputs(), App(focus="line")
    assert inputs.text(app, FRAME, "c") == [("typed", "line", "abc")]
    assert inputs.text(app, FRAME, "\x00\x1b") == [("typed", "line", "ab")]
    assert inputs.text(App(focus="plain"), FRAME, "c") == []
    assert inputs.key(app, FRAME, "backspace", False, False)[1] == [("typed", "line", "a")]
    assert inputs.key(app, FRAME, "backspace", False, True)[1] == [("typed", "line", "")]
    assert inputs.key(app, FRAME, "delete", False, False)[1] == [("typed", "line", "")]
    assert inputs.key(app, FRAME, "escape", False, False)[0].focus == ""


def written(inputs, value, typed):
    """What a line holds after letters; "<" is Backspace."""
    for letter in typed:
        line = Node("line", "field", Rect(10, 60, 80, 30), "line", ("focus", "line"), value=value)
        frame, app = Frame((400.0, 300.0), (), (line,)), App(focus="line")
        key = "backspace" if letter == "<" else letter
        _, found = inputs.key(app, frame, key, False, False)
        found = found or inputs.text(app, frame, letter)
        value = found[0][2]
    return value


@pytest.mark.parametrize(
    ("value", "typed", "after"),
    [("2", "14", "14"), ("4.5", ".8", ".8"), ("-3", "12", "12"), ("", "14", "14"),
     ("25", "<4", "24"), ("2 ft", "1", "2 ft1"), ("relay", "2", "relay2"), ("12", " A", "12 A")],
)  # fmt: skip
def test_a_figure_that_stood_in_a_line_gives_way_to_the_one_typed(value, typed, after):
    assert written(Inputs(), value, typed) == after


def test_a_figure_gives_way_again_once_the_focus_has_been_elsewhere():
    inputs = Inputs()
    assert written(inputs, "2", "14") == "14"
    assert written(inputs, "14", "5") == "145"
    inputs.key(App(focus="plain"), FRAME, "tab", False, False)
    assert written(inputs, "145", "7") == "7"
    inputs.pressed(App(), FRAME, (20, 70))
    assert written(inputs, "7", "30") == "30"


@pytest.mark.parametrize("key", ["return", "space"])
def test_return_and_space_do_what_a_click_does(key):
    assert Inputs().key(App(focus="plain"), FRAME, key, False, False)[1] == [("plain",)]
    assert Inputs().key(App(focus=""), FRAME, key, False, False)[1] == []


def test_a_key_still_held_presses_nothing_that_came_under_the_focus_since():
    inputs = Inputs()
    assert inputs.key(App(focus="plain"), FRAME, "return", False, False)[1] == [("plain",)]
    assert inputs.key(App(focus="plain"), FRAME, "return", False, False)[1] == [("plain",)]
    assert inputs.key(App(focus="place.x"), FRAME, "return", False, False)[1] == []
    assert inputs.text(App(focus="line"), FRAME, " ") == []
    inputs.let_go()
    assert inputs.key(App(focus="place.x"), FRAME, "return", False, False)[1] == [("place", "x")]


def test_from_a_line_enter_presses_the_one_button_that_stands_out_and_arrows_lead_off():
    main = Node("do", "button", Rect(100, 100, 30, 30), "do", ("do",), main=True)
    framed = replace(FRAME, nodes=(*FRAME.nodes, main))
    assert Inputs().key(App(focus="line"), framed, "return", False, False)[1] == [("do",)]
    assert Inputs().key(App(focus="line"), FRAME, "return", False, False)[1] == []
    assert Inputs().key(App(focus="line"), FRAME, "down", False, False)[0].focus == "slide"
    assert Inputs().key(App(focus="line"), FRAME, "right", False, False)[0].focus == "plain"


def test_with_keys_a_form_begins_at_its_first_field_and_escape_leads_back():
    hands = Hands()
    hands.begin("make-it-dead")
    hands.focus_on("job.source")
    hands.key("return")
    assert hands.node(hands.app.focus).role == "field"
    hands.key("escape")
    assert hands.app.focus == "job.source" and not hands.app.job.form


def test_with_keys_a_tool_leads_to_what_is_to_be_set_on_it():
    hands = Hands()
    hands.begin("make-it-dead")
    hands.focus_on("tool.thermostat")
    hands.key("return")
    hands.node("option.do")
    assert hands.app.focus == "set.thermostat.to.call"
    hands.focus_on("tool.hand")
    hands.key("return")
    hands.node("tool.hand")
    assert hands.app.focus == "tool.hand"


def test_with_keys_a_part_leads_to_what_can_be_done_to_it_and_back():
    hands = Hands()
    hands.begin("make-it-dead")
    hands.focus_on("cover.disconnect")
    hands.key("return")
    assert hands.node(hands.app.focus).name.startswith("option.cover.")
    hands.key("escape")
    assert hands.node("cover.disconnect").name == hands.app.focus
    hands.key("return")
    hands.focus_on("option.look")
    hands.key("return")
    assert hands.node("cover.disconnect").name == hands.app.focus


def test_with_keys_the_end_of_a_job_does_not_begin_at_what_ends_it():
    hands = Hands()
    hands.begin("make-it-dead")
    hands.focus_on("strip.finish")
    hands.key("return")
    assert hands.node(hands.app.focus).name == "finish.second"


def test_an_arrow_that_leads_nowhere_reads_on_in_a_page_but_not_on_the_bench():
    foot = Node("next", "button", Rect(10, 260, 80, 30), "next", ("next",))
    page = Node("scroll.page", "scroll", Rect(0, 0, 400, 250), "page", value="500 100", focus=False)
    framed = Frame((400.0, 300.0), (), (page, foot))
    app, messages = Inputs().key(App(screen="debrief", focus="next"), framed, "down", False, False)
    assert app.focus == "next" and messages[0][:2] == ("scroll", "page") and messages[0][2] > 0
    assert (
        Inputs().key(App(screen="debrief", focus="next"), framed, "up", False, False)[1][0][2] < 0
    )
    assert Inputs().key(App(screen="bench", focus="next"), framed, "down", False, False)[1] == []


def test_in_a_debrief_an_arrow_reads_on_to_a_button_and_does_not_jump_to_it():
    page = Rect(0, 0, 400, 250)
    foot = Node("next", "button", Rect(10, 260, 80, 30), "next", ("next",))
    region = Node("scroll.page", "scroll", page, "page", value="900 0", focus=False)
    below = Node("steps", "button", Rect(10, 900, 80, 30), "steps", ("steps",), clip=page)
    framed = Frame((400.0, 300.0), (), (region, below, foot))
    app, messages = Inputs().key(App(screen="debrief", focus="next"), framed, "down", False, False)
    assert app.focus == "next" and messages[0][:2] == ("scroll", "page")
    seen = replace(below, rect=Rect(10, 200, 80, 30))
    framed = replace(framed, nodes=(region, seen, foot))
    assert (
        Inputs().key(App(screen="debrief", focus="next"), framed, "up", False, False)[0].focus
        == "steps"
    )


def test_a_node_s_own_keys_come_before_the_way_of_focus():
    app, messages = Inputs().key(App(focus="slide"), FRAME, "left", False, False)
    assert messages == [("scrub", 0.1)] and app.focus == "slide"


def test_the_wheel_scrolls_what_lies_under_it():
    inputs = Inputs()
    down = inputs.wheel(App(), FRAME, (50, 200), 0.0, -1.0)
    assert down[0][:2] == ("scroll", "list") and down[0][2] > 0
    assert inputs.wheel(App(), FRAME, (50, 200), 0.0, 1.0)[0][2] < 0
    assert inputs.wheel(App(), FRAME, (350, 200), 0.0, -1.0) == []


def test_escape_closes_what_is_said_first():
    assert Inputs().key(App(trouble="x"), FRAME, "escape", False, False)[1] == [("trouble", "")]
    assert Inputs().key(App(screen="settings"), FRAME, "escape", False, False)[1] == [("back",)]


def test_nothing_pressed_is_no_fault():
    inputs = Inputs()
    pressed(inputs, (390, 290))
    assert inputs.moved(replace(App(), hover="x"), FRAME, (391, 291))[0].hover == ""
    assert inputs.released(App(), FRAME, (390, 290)) == []


@pytest.fixture(scope="module")
def wide():
    hands = Hands((683.0, 384.0))
    hands.begin("make-it-dead")
    return hands


def test_a_bare_spot_of_the_board_can_be_dragged_to_look_elsewhere(wide):
    region = wide.node("scroll.board.x").rect
    spots = [(region.x + dx, region.y + dy) for dx in range(20, 600, 9) for dy in range(9, 60, 7)]
    at = next(p for p in spots if wide.frame.at(p) is None)
    before = wide.app.scrolls.get("board.x", wide.node("scroll.board.x").value)
    wide.down(at)
    wide.move((at[0] - 40.0, at[1]))
    wide.up((at[0] - 40.0, at[1]))
    assert wide.app.scrolls["board.x"] != before


def test_with_keys_a_form_begins_at_its_field_whatever_is_in_hand():
    hands = Hands()
    hands.begin("make-it-dead")
    hands.focus_on("tool.protect")
    hands.key("return")
    hands.focus_on("job.source")
    hands.key("return")
    assert hands.node(hands.app.focus).role == "field"
    # what is offered above the tray meanwhile is gone on with all the same
    hands.focus_on("tool.hand")
    hands.key("return")
    hands.focus_on("job.source")
    hands.key("return")
    hands.focus_on("cover.disconnect")
    hands.key("return")
    assert hands.node(hands.app.focus).name.startswith("option.cover.")


def test_with_keys_a_stop_leads_back_to_what_was_pressed():
    for leave in ("pause.other", "pause.anyway"):
        hands = Hands()
        hands.begin("make-it-dead", "guided")
        hands.focus_on("place.breaker.1i")
        hands.key("return")
        assert hands.node("pause.other").name == hands.app.focus
        assert not any("wire:" in line for line in hands.app.job.pause["lines"])
        hands.focus_on(leave)
        hands.key("return")
        if leave == "pause.anyway":
            assert hands.node("pause.back").name == hands.app.focus
            hands.key("return")
        assert hands.node(hands.app.focus).name == "place.breaker.1i"


def test_with_keys_escape_in_the_line_of_a_tool_lays_it_down():
    hands = Hands()
    hands.begin("make-it-dead")
    hands.focus_on("tool.label")
    hands.key("return")
    assert hands.node("set.label.text").name == hands.app.focus
    hands.key("escape")
    assert hands.app.job.tool == "hand"
    assert hands.node(hands.app.focus).name == "tool.label"


def test_f6_leads_from_anything_on_the_board_to_the_tools_and_back_to_it():
    hands = Hands()
    hands.begin("make-it-dead")
    for name in ("cover.disconnect", "place.breaker.1o", "part.indoor", "far.service"):
        if hands.frame.node(name) is None:
            continue
        hands.focus_on(name)
        hands.key("f6")
        assert hands.app.focus == "tool.hand"
        hands.key("f6", shift=True)
        assert hands.app.focus == name
