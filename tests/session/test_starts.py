"""A start event carries how the start is judged and enough to draw it; every case is energised."""

from __future__ import annotations

from typing import Any

import pytest

from tests.session.jobs import do, kinds, of_kind, on
from trainer.session.attempt import differs
from trainer.session.opening import opening
from trainer.starts.thinning import FULL, POINTS_MOST
from trainer.unit.faults import plant
from trainer.unit.state import Unit
from trainer.unit.world import remembering


def unit(layout: str, *faults: str) -> Unit:
    found = opening(layout, 0)[0]
    for fault in faults:
        found = remembering(plant(found, fault))
    return found


def started(found: Unit) -> dict[str, Any]:
    return of_kind(do(on(found), "thermostat", to="call"), "start")


@pytest.fixture(scope="module")
def plain() -> dict[str, Any]:
    return started(unit("larkspur-row"))


@pytest.fixture(scope="module")
def aided() -> dict[str, Any]:
    return started(unit("old-quarry"))


def test_a_plain_unit_starts_cleanly(plain: dict[str, Any]) -> None:
    assert plain["figures"]["outcome"] == "clean"
    assert plain["motors"] == {"comp": "runs", "fan": "runs"}
    assert plain["sensitive"] is False
    assert plain["figures"]["trips"] == []


def test_locked_rotor_amps_are_those_of_the_nameplate(plain: dict[str, Any]) -> None:
    """80 A is printed on the part (invented), and 240 V are there; the first cycles carry a
    decaying direct part too, and the fan's few amps: within a fifth of 80 x 240/230."""
    assert plain["figures"]["max_cycle_rms_line_a"] == pytest.approx(83.5, rel=0.2)


def test_lines_are_thin_whole_numbers_with_a_scale(plain: dict[str, Any]) -> None:
    for group in ("near", "far"):
        for line in plain[group].values():
            assert 2 <= len(line["points"]) <= POINTS_MOST
            assert all(isinstance(p, int) and abs(p) <= FULL for p in line["points"])
    peak = plain["figures"]["peak_line_a"]
    drawn = [p * plain["near"]["line_1"]["scale"] for p in plain["near"]["line_1"]["points"]]
    assert max(map(abs, drawn)) == pytest.approx(peak, rel=0.05)  # thinned to 1.5 ms


def test_the_start_capacitor_leaves(aided: dict[str, Any]) -> None:
    assert aided["figures"]["outcome"] == "clean"
    assert 0.6 < aided["figures"]["disengage_speed_ratio"] < 1.0
    assert "start_capacitor_v" in aided["near"]


def test_a_welded_relay_keeps_it_in() -> None:
    found = started(unit("old-quarry", "F28"))
    assert "never_disengages" in found["figures"]["also"]


def test_a_locked_rotor_hums_and_its_overload_opens() -> None:
    found = started(unit("larkspur-row", "F42"))
    assert found["motors"]["comp"] == "stands"
    assert found["motors"]["fan"] == "runs"
    assert found["figures"]["outcome"] in ("stalled", "tripped")


def test_a_hum_that_goes_on_is_no_second_start() -> None:
    running = on(unit("larkspur-row", "F42"))
    do(running, "thermostat", to="call")
    assert "start" not in kinds(do(running, "wait", seconds=3))


def test_drawn_points_may_differ_by_one_and_no_more() -> None:
    one, other = {"points": [1, 2]}, {"points": [2, 2]}
    assert differs({"x": one}, {"x": other}) == ""
    assert differs({"x": one}, {"x": {"points": [3, 2]}}) != ""


def test_a_job_hands_out_the_start_that_is_wanted() -> None:
    found = opening("dual-capacitor-unit", 3).found["reference"]
    assert found["figures"]["outcome"] == "clean"
    assert found["motors"] == {"comp": "runs", "fan": "runs"}
