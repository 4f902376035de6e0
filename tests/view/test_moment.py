"""One instant of a start: phasors, lamp and shaft from made waves with known answers."""

import cmath
import math
from itertools import pairwise

import numpy as np
import pytest

from trainer.starts.contacts import closed_spans
from trainer.starts.run import run_file
from trainer.starts.thinning import NEAR_S, near
from trainer.starts.watching import start_contact
from trainer.study.load import find_study
from trainer.view.moment import (
    CHANGES_S,
    LIGHT_POWER,
    SLOW,
    Kept,
    capacitor_out,
    contactor_closed,
    kept_of,
    moment,
    phasors,
)
from trainer.view.shots import TRACES

HZ = 60.0


def packed(values):
    values = np.asarray(values, dtype=float)
    scale = max(float(np.max(np.abs(values))), 1e-9) / 30000
    return {"scale": scale, "points": np.round(values / scale).astype(int).tolist()}


def made(volts=120.0, lags_deg=90.0, dips_at=0.3, dip=0.9):
    """Invented: a leg that dips, V(S-C) twice as large that lags, a shaft at 100 rad/s."""
    t = np.linspace(0.0, 0.6, 400)
    size = np.where(t < dips_at, 1.0, dip) * volts * math.sqrt(2.0)
    turn = 2.0 * math.pi * HZ * t
    return {
        "figures": {"disengage_s": 0.2},
        "near": {
            "t_s": packed(t), "leg_1": packed(size * np.cos(turn)),
            "v_sc": packed(2.0 * size * np.cos(turn - math.radians(lags_deg))),
            "start_capacitor_v": packed(np.zeros(t.size)),
            "speed_rad_s": packed(np.full(t.size, 100.0)),
        },
    }  # fmt: skip


@pytest.mark.parametrize("lags", [0.0, 40.0, 90.0, -135.0])
def test_phasors_are_rms_and_angle_from_leg_1(lags):
    rows = {name: p for name, _, p in phasors(made(lags_deg=lags), 0.25)}
    assert abs(rows["leg_1"]) == pytest.approx(120.0, rel=2e-3)
    assert cmath.phase(rows["leg_1"]) == pytest.approx(0.0, abs=1e-6)
    assert abs(rows["v_sc"]) == pytest.approx(240.0, rel=2e-3)
    assert math.degrees(cmath.phase(rows["v_sc"])) == pytest.approx(-lags, abs=0.2)


def test_the_lamp_follows_the_volts_of_the_leg():
    bright, dim = moment(made(), 0.2, 200.0), moment(made(), 0.5, 200.0)
    assert bright.light == pytest.approx(1.0, abs=0.01)
    assert dim.light == pytest.approx(0.9**LIGHT_POWER, abs=0.01)


def test_the_lamp_steps_no_oftener_than_may_be():
    slowed = 10.0
    seen = [moment(made(), t, slowed).light for t in np.arange(0.0, 0.6, 0.001)]
    steps = sum(a != b for a, b in pairwise(seen))
    assert steps <= 0.6 * slowed * CHANGES_S + 1


def test_shaft_and_relay():
    before, after = moment(made(), 0.1), moment(made(), 0.3)
    assert before.angle == pytest.approx(10.0, rel=1e-3)
    assert (before.relay_open, after.relay_open) == (False, True)
    assert after.turns_per_s == pytest.approx(100.0 / (2.0 * math.pi), rel=1e-3)


def test_a_start_without_lines_is_no_fault():
    assert phasors({}, 0.1) == []
    assert moment({}, 0.1).light == 0.0
    assert Kept({}).phasor("leg_1", 0.1) is None


def test_after_a_trip_the_lamp_is_as_bright_as_before():
    """Invented: a dip too short for a cycle to show all of it, and a breaker that ends it."""
    data = made(dips_at=0.0, dip=1.0)
    data["figures"] |= {"sag_pct": {"leg_1": 30.0}, "trips": [{"part": "breaker", "t_s": 0.03}]}
    assert moment(data, 0.5, 200.0).light == pytest.approx(1.0, abs=0.01)


# contacts of a replay against those of the very run


#: A branch circuit so long and thin that the volts at the coil fall with the first amps. Invented.
THIN = (
    ("10 AWG, length: 50 ft", "14 AWG, length: 900 ft"), ("until: 3 s", "until: 1 s"),
    ("{kind: thermostat_supply}", "{kind: thermostat_supply, fed: wires}"),
    ("acts:", "  - {from: disconnect.T1, to: indoor.H1, gauge: 18 AWG, length: 6 ft}\n"
              "  - {from: disconnect.T2, to: indoor.H2, gauge: 18 AWG, length: 6 ft}\nacts:"),
)  # fmt: skip


def kept_start(path):
    """A start's record, its data as an event carries them, and when it was energised."""
    found = run_file(path)
    zero = found.evidence.energised_at_s
    return found.record, {"figures": found.as_data(), "near": near(found.record, zero)}, zero


def inside(spans, t):
    return any(a <= t < b for a, b in spans)


def mistaken(shown, true, span=NEAR_S):
    """Seconds of the replay in which a contact is shown otherwise than it was."""
    times = np.arange(0.0, span, 1e-3)
    return 1e-3 * sum(shown(t) != true(t) for t in times)


def test_a_contactor_that_chatters_is_shown_as_it_was(tmp_path):
    text = find_study("psc").read_text(encoding="utf-8")
    for old, new in THIN:
        assert old in text
        text = text.replace(old, new)
    (tmp_path / "thin.yaml").write_text(text, encoding="utf-8")
    record, data, zero = kept_start(tmp_path / "thin.yaml")
    assert data["figures"]["contactor_recloses"] > 5
    spans = closed_spans(record, record.roles.element("contactor", "contact"))
    kept = kept_of(data["near"])
    off = mistaken(lambda t: contactor_closed(data, kept, t), lambda t: inside(spans, t + zero))
    assert off < 0.05 * NEAR_S
    assert mistaken(lambda t: True, lambda t: inside(spans, t + zero)) > 0.3 * NEAR_S


def test_a_relay_that_chatters_is_shown_as_it_was():
    record, data, zero = kept_start("relay-chatter")
    assert data["figures"]["recloses"] > 5
    spans = closed_spans(record, start_contact(record.elements, record.roles).name)
    kept = kept_of(data["near"])
    off = mistaken(lambda t: capacitor_out(data, kept, t), lambda t: not inside(spans, t + zero))
    assert off < 0.08 * NEAR_S
    late = data["figures"]["disengage_s"]
    assert mistaken(lambda t: t >= late, lambda t: not inside(spans, t + zero)) > 0.3 * NEAR_S


def test_a_clean_start_keeps_its_contactor_closed_and_a_thermistor_lets_go_once():
    _, data, _ = kept_start("ptc")
    seen = [moment(data, t, 100.0) for t in np.arange(0.0, NEAR_S, 0.01)]
    assert all(m.contactor and m.relay_open is None for m in seen)
    hot = [m.pill_hot for m in seen]
    assert hot == sorted(hot) and len(set(hot)) == 2
    assert hot.index(True) * 0.01 == pytest.approx(data["figures"]["disengage_s"], abs=0.011)


def test_at_full_speed_a_chattering_contact_changes_no_oftener_than_may_flash(tmp_path):
    _, data, _ = kept_start("relay-chatter")
    kept = kept_of(data["near"])
    kept.no_amps = [(0.02 * n, 0.02 * n + 0.01) for n in range(1, 29)]  # invented: 50 a second
    for slowed in (1.0, 20.0, SLOW, 200.0):
        times = np.arange(0.0, NEAR_S, 1.0 / (60.0 * slowed))  # frames of the window
        moves = [moment(data, float(t), slowed).contactor for t in times]
        changes = sum(a != b for a, b in pairwise(moves))
        assert changes <= 2.0 * CHANGES_S * NEAR_S * slowed + 2


def test_once_something_has_tripped_no_contactor_is_claimed():
    data = TRACES["trace-short"]().job
    start = next(e for e in reversed(data.events) if e.kind == "start").data
    first = min(trip["t_s"] for trip in start["figures"]["trips"])
    assert moment(start, first - 1e-3, 100.0).contactor is True
    assert moment(start, first + 0.1, 100.0).contactor is None
