"""The gauge of the torque driver: what it shows, and that clicks and keys set the same."""

from dataclasses import replace

import pytest

from tests.view.hands import Hands
from trainer.unit.catalogue import place_in
from trainer.view.screens.gauge import SCALES, aim, compared, full_scale, in_unit, said
from trainer.view.shapes import Words, every
from trainer.view.update import update

SCREWS = ("lug", "screw", "stud")


@pytest.fixture(scope="module")
def begun():
    hands = Hands()
    hands.begin("larkspur-row")
    hands.send(("act", {"act": "take off", "cover": "control-panel"}))
    hands.send(("zoomed", 0.0))
    return hands.app


@pytest.fixture
def hands(begun):
    found = Hands()
    found._became(begun)
    return found


def end_on(app, *kinds):
    """An end on a place of some kind, and the place as the catalogue has it."""
    unit = app.job.bench.unit
    types = {n: p.type for n, p in unit.parts.items()}
    for tag, c in unit.conductors.items():
        for side, end in (("a", c.a), ("b", c.b)):
            place = place_in(types, end.on) if end.on and end.on.startswith("contactor") else None
            if place is not None and place.kind in kinds:
                return f"{tag}.{side}", end.on, place
    raise AssertionError(f"no end on {kinds}")


def told(hands):
    return hands.node("torque.gauge").label


def test_it_shows_what_is_printed_where_it_is_held(hands):
    end, place, spot = end_on(hands.app, *SCREWS)
    hands.send(("tool", "torque"))
    assert "printed" not in told(hands)
    hands.move(hands.reveal(f"end.{end}"))
    low, high = (f"{in_unit(v, 'US'):.0f}" for v in spot.torque)
    assert f"{place}: printed {low} to {high} lbf·in" in told(hands)
    si = replace(hands.app.settings, units="SI")
    hands._became(replace(hands.app, settings=si))
    assert f"printed {spot.torque[0]:g} to {spot.torque[1]:g} N·m" in told(hands)


def test_a_tab_has_no_print_and_a_dirty_terminal_hides_it(hands):
    hands.send(("tool", "torque"))
    tab, _, _ = end_on(hands.app, "tab_250")
    hands.send(("end", tab))
    assert aim(hands.app, hands.app.job).window is None
    end, place, _ = end_on(hands.app, *SCREWS)
    hands.send(("end", end))
    assert aim(hands.app, hands.app.job).window is not None
    bench = replace(hands.app.job.bench, dirty=frozenset({place.partition(":")[0]}))
    at = aim(hands.app, replace(hands.app.job, bench=bench))
    assert at.dirty and at.window is None
    assert "2" not in said(at, 2.5, "SI", False).removeprefix(at.place)


def test_only_guided_mode_compares(hands):
    end, _, spot = end_on(hands.app, *SCREWS)
    hands.send(("tool", "torque"))
    hands.send(("end", end))
    for nm in (0.5 * spot.torque[0], sum(spot.torque) / 2.0, 3.0 * spot.torque[1]):
        verdict = compared(nm, spot.torque)
        hands.send(("set", "torque", "nm", nm))
        for mode in ("practice", "graded"):
            shown = replace(hands.app.job, mode=mode)
            hands._became(replace(hands.app, job=shown))
            texts = [s.text for s in every(hands.frame.shapes) if isinstance(s, Words)]
            assert verdict not in told(hands) and not any(verdict in t for t in texts)
        hands._became(replace(hands.app, job=replace(hands.app.job, mode="guided")))
        assert verdict in told(hands)


def test_clicks_and_keys_ask_for_the_same_turn_of_the_screw(begun):
    end, _, _ = end_on(begun, *SCREWS)
    asked = []
    for by_keys in (False, True):
        hands = Hands()
        hands._became(begun)

        def press(name, hands=hands, by_keys=by_keys):
            if by_keys:
                hands.focus_on(name)
                hands.key("return")
            else:
                hands.click(name)

        press("tool.torque")
        for _ in range(3):
            press("set.torque.nm.more")
        press(f"end.{end}")
        effects = update(hands.app, hands.node("option.do").on)[1]
        asked.append(effects)
    assert asked[0] == asked[1]
    assert asked[0][0][1]["act"]["nm"] == 2.8  # 2.5 as taken up, three steps of 0.1


def test_it_can_be_set_far_over_the_print_and_the_scale_shows_it():
    assert full_scale(2.5, 2.8) >= 2.5 * 2.8
    assert full_scale(9.0, 2.8) >= 9.0
    assert full_scale(2.5, None) >= 2.5
    assert full_scale(60.0 * 8.85, 25.0) in SCALES


def test_nothing_is_turned_before_something_is_picked(hands):
    hands.send(("tool", "torque"))
    assert not hands.node("option.do").enabled
    app, effects = update(hands.app, ("carry out",))
    assert effects == [] and "Click" in app.job.said[0]


def test_another_end_can_be_picked_instead(hands):
    hands.send(("tool", "torque"))
    ends = [n.on[1] for n in hands.frame.nodes if n.role == "end"][:2]
    for end in ends:
        hands.send(("end", end))
        assert hands.app.job.picks == (end,)


def test_pound_inches_are_exact():
    assert in_unit(1.0, "US") == pytest.approx(8.850745767)  # NIST SP 811, appendix B
