"""Instruments that watch while time passes: least and most, and a scope whose clip is earthed."""

from __future__ import annotations

from typing import Any

import pytest

from tests.session.jobs import do, kinds, of_kind, on, plain


@pytest.fixture
def running() -> Any:
    made = on(plain())
    do(made, "take off", cover="control-panel")
    return made


def test_a_meter_keeps_the_least_of_a_start(running: Any) -> None:
    """The start takes locked-rotor amps through the service: it dips a few percent and recovers."""
    do(running, "select", instrument="meter", setting="V ac min max")
    do(running, "measure", red="contactor.L1", black="contactor.L2")
    kept = of_kind(do(running, "thermostat", to="call"), "read")
    least = kept["shown"]["value"]
    assert kept["setting"] == "V ac min max"
    assert 200.0 < least < 236.0
    most = float(str(kept["shown"]["text"]).split("max ")[1].removesuffix(" V"))
    assert most - least > 3.0


def test_it_stops_when_the_setting_is_changed(running: Any) -> None:
    do(running, "select", instrument="meter", setting="V ac min max")
    do(running, "measure", red="contactor.L1", black="contactor.L2")
    do(running, "select", instrument="meter", setting="V ac")
    assert "read" not in kinds(do(running, "thermostat", to="call"))


def test_a_scope_shows_the_wave_of_one_leg(running: Any) -> None:
    """Leg to ground of a 120/240 V service: peak is root two times the rms."""
    seen = of_kind(do(running, "scope", one="contactor.L1", clip="chassis"), "trace")
    line = seen["lines"]["contactor.L1"]
    assert max(line["points"]) * line["scale"] == pytest.approx(120.0 * 2**0.5, rel=0.03)
    assert len(line["points"]) <= 400


def test_two_channels_share_the_clip(running: Any) -> None:
    asked = {"one": "contactor.L1", "two": "contactor.L2", "clip": "chassis"}
    lines = of_kind(do(running, "scope", **asked), "trace")["lines"]
    one, two = (lines[tip] for tip in ("contactor.L1", "contactor.L2"))
    pairs = zip(one["points"], two["points"], strict=True)
    both = [a * one["scale"] + b * two["scale"] for a, b in pairs]
    assert max(map(abs, both)) < 5.0  # the legs are opposite: their sum is next to nothing


def test_an_earthed_clip_on_a_live_leg_is_a_short(running: Any) -> None:
    events = do(running, "scope", one="contactor.L2", clip="contactor.L1")
    arc = of_kind(events, "arc")
    assert arc["fed"] is True
    assert arc["volts_ac"] == pytest.approx(120.0, abs=3.0)
    # a 25 kVA transformer behind fifty feet of 10 AWG gives more than a breaker's magnet needs
    assert arc["peak_a"] > 300.0
    rows = [h for e in events if e.kind == "electrics" for h in e.data["happenings"]]
    assert any(kind == "tripped" and name.startswith("breaker") for _, kind, name in rows)


def test_on_a_dead_unit_the_clip_harms_nothing(running: Any) -> None:
    do(running, "open", part="disconnect")
    do(running, "open", part="indoor")
    events = do(running, "scope", one="contactor.T2", clip="contactor.T1")
    assert "arc" not in kinds(events)


def test_it_keeps_the_least_since_the_leads_went_on(running: Any) -> None:
    do(running, "select", instrument="meter", setting="V ac min max")
    do(running, "measure", red="contactor.L1", black="contactor.L2")
    rows = [e.data for e in do(running, "thermostat", to="call") if e.kind == "read"]
    rows += [e.data for e in do(running, "thermostat", to="off") if e.kind == "read"]
    least = [row["kept"][0] for row in rows]
    assert least == sorted(least, reverse=True)
    assert least[-1] < 236.0  # the dip of the start, long after it
