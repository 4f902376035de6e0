"""The debrief in the window: the lines of the start, and the wiring that differs, on the board."""

from dataclasses import replace

import pytest

from trainer.view.frames import frame
from trainer.view.mishaps import hasty
from trainer.view.posing import debriefed, more
from trainer.view.screens import differing
from trainer.view.shapes import Layer, Line, Ring, Words, every


@pytest.fixture(scope="module")
def crossed():
    """S and R of a compressor exchanged, and energised."""
    return debriefed(hasty("dual-capacitor-unit", (("5.b", "comp.S"), ("7.b", "comp.R"))))


def scrolled_to(app, name):
    """The page with the top of a node in sight."""
    node = frame(app).node(name)
    return replace(app, scrolls={"debrief": max(node.rect.y - node.clip.y, 0.0)})


def test_the_lines_of_the_start_stand_above_its_numbers(crossed):
    app = scrolled_to(crossed, "debrief.plot")
    seen = frame(app)
    node = seen.node("debrief.plot")
    assert node.label.startswith("Ran backwards")
    layer = next(s for s in every(seen.shapes) if isinstance(s, Layer))
    inks = {s.colour for s in layer.shapes if isinstance(s, Line)}
    assert {"action", "ink", "ghost"} <= inks  # the start, its rms, the start as wanted
    titles = [s.text for s in layer.shapes if isinstance(s, Words) and s.bold]
    assert titles == ["Supply, A", "Winding S to C, V", "Speed, rpm"]
    outcome = next(s for s in every(seen.shapes) if isinstance(s, Words) and s.text == "Outcome")
    assert outcome.at[1] > node.rect.bottom


def test_an_attempt_without_a_start_has_no_plot(crossed):
    page = {**crossed.page, "numbers": [], "shown_start": None}
    assert frame(replace(crossed, page=page)).node("debrief.plot") is None


def test_ends_that_are_off_their_place_are_told_with_where_they_belong(crossed):
    found = differing.marks(differing.differing(crossed.page))
    assert set(found) == {("5", "comp.S", "comp.R"), ("7", "comp.R", "comp.S")}


def test_the_board_shows_where_the_wiring_differs(crossed):
    button = frame(scrolled_to(crossed, "debrief.wiring")).node("debrief.wiring")
    seen = frame(more(crossed, button.on))
    rings = [s for s in every(seen.shapes) if isinstance(s, Ring) and s.edge == "danger"]
    assert len(rings) == 3  # two ends and the sign beneath
    tags = [s.text for s in every(seen.shapes) if isinstance(s, Words) and s.colour == "good"]
    assert sorted(tags) == ["5", "7"]


def test_before_the_end_nothing_is_marked(crossed):
    first = crossed.page["timeline"][0]["event"]
    seen = frame(more(crossed, ("step at", int(first))))
    assert not [s for s in every(seen.shapes) if isinstance(s, Ring) and s.edge == "danger"]


def test_wires_of_his_own_that_make_the_same_circuit_are_not_marked():
    row = {"wire": "30", "colour": "BK", "from": "", "to": "", "wanted_from": "pr.5",
           "wanted_to": "rc.2", "same": False}  # fmt: skip
    own = {"wire": "41", "colour": "RD", "from": "rc.2", "to": "pr.5", "wanted_from": "",
           "wanted_to": "", "same": False}  # fmt: skip
    for level in (1, 4):  # stands in, whatever the rest comes to
        page = {"mark": {"wiring": {"level": level, "rows": [row, own]}}}
        assert differing.differing(page) == []


def test_a_wire_that_is_not_there_and_one_that_is_too_many():
    missing = {"wire": "30", "from": "", "to": "", "wanted_from": "pr.5", "wanted_to": "rc.2"}
    extra = {"wire": "41", "from": "sc.1", "to": "rc.1", "wanted_from": "", "wanted_to": ""}
    assert set(differing.marks([missing, extra])) == {
        ("30", "", "pr.5"), ("30", "", "rc.2"), ("41", "sc.1", ""), ("41", "rc.1", ""),
    }  # fmt: skip
