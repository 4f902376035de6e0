"""A start as samples: pitches and instants are the computed ones, and nothing clips."""

import numpy as np
import pytest

from trainer.session.judging import judged
from trainer.starts.thinning import packed
from trainer.unit.layout import load_layout
from trainer.unit.world import at_rest, contacts_of
from trainer.view.sound import LONGEST_S, RATE_HZ, captions, heard_of, sound

HZ, SYNC = 60.0, 377.0
#: 3 dB below full scale of 16 bits.
LEAST_ROOM = 32768.0 * 10.0 ** (-3.0 / 20.0)


def made(amps=80.0, torque=8.0, speed=0.0, until_s=0.6, hz=HZ, **figures):
    """A start event's data with steady sines; all values invented."""
    t = np.linspace(0.0, until_s, 400)
    w = 2.0 * np.pi * hz
    near = {
        "t_s": packed(t + 0.076),
        "line_1": packed(amps * np.sqrt(2.0) * np.sin(w * t)),
        "torque_nm": packed(1.0 + torque * np.sin(2.0 * w * t)),
        "speed_rad_s": packed(np.full(t.size, speed) if np.isscalar(speed) else speed),
    }
    return {"near": near, "figures": figures}


def spectrum(samples, low_hz, high_hz):
    """(loudest frequency, its size) between two frequencies, left and right together."""
    wave = samples.sum(axis=1) * np.hanning(len(samples))
    size, at = np.abs(np.fft.rfft(wave)), np.fft.rfftfreq(len(wave), 1.0 / RATE_HZ)
    there = (at >= low_hz) & (at <= high_hz)
    k = int(np.argmax(np.where(there, size, 0.0)))
    return float(at[k]), float(size[k])


def energy(samples, t0_s, t1_s):
    part = samples[round(t0_s * RATE_HZ) : round(t1_s * RATE_HZ)].astype(float)
    return float(np.mean(part**2)) if part.size else 0.0


@pytest.mark.parametrize("hz", [60.0, 50.0])
@pytest.mark.parametrize("slowed", [1.0, 20.0])
def test_hum_is_at_twice_the_line_however_slowed(hz, slowed):
    samples = sound(heard_of(made(hz=hz), (), hz=hz), slowed)
    whole = samples[: round(0.5 * slowed * RATE_HZ)]
    assert spectrum(whole, 30.0, 5000.0)[0] == pytest.approx(2.0 * hz, abs=2.0)


def test_hum_grows_with_pulsation_and_with_current():
    sizes = [
        spectrum(sound(heard_of(made(amps=a, torque=m, speed=SYNC), ())), 100, 140)[1]
        for a, m in ((10.0, 0.5), (10.0, 5.0), (60.0, 5.0))
    ]  # fmt: skip
    assert sizes[0] < sizes[1] < sizes[2]


def test_a_standing_shaft_growls_and_a_running_one_does_not():
    stands, runs = (sound(heard_of(made(speed=s), ())) for s in (0.0, SYNC))
    third = [spectrum(samples, 470.0, 490.0)[1] for samples in (stands, runs)]
    assert third[0] > 20.0 * third[1]


def test_the_whirr_follows_the_shaft():
    """Six pulses a turn: 6 x 30 rev/s at half speed, 6 x 60 at full (two poles, 60 Hz)."""
    for share in (0.5, 1.0):
        samples = sound(heard_of(made(torque=0.0, amps=5.0, speed=share * SYNC), ()))
        assert spectrum(samples, 150.0, 450.0)[0] == pytest.approx(360.0 * share, abs=3.0)


@pytest.mark.parametrize("slowed", [1.0, 10.0])
def test_a_click_is_where_the_relay_moves(slowed):
    moves = ((0.2, "picked_up", "pr"),)
    with_it, without = (sound(heard_of(made(amps=0.0, torque=0.0), m), slowed) for m in (moves, ()))
    at = 0.2 * slowed
    assert energy(with_it, at, at + 0.003) > 1e4
    assert energy(with_it, 0.0, at - 1e-3) == 0.0 and energy(without, at, at + 0.01) == 0.0


def test_a_contactor_clunks_at_every_move_and_chatter_is_told():
    moves = tuple((0.05 * k, ("picked_up", "dropped_out")[k % 2], "contactor") for k in range(8))
    heard = heard_of(made(amps=0.0, torque=0.0), moves)
    samples = sound(heard)
    assert all(energy(samples, 0.05 * k, 0.05 * k + 0.01) > 1e4 for k in range(8))
    assert [words for _, words in captions(heard)] == ["Clatter: the contactor chatters"]


def test_no_current_is_silence():
    heard = heard_of(made(amps=0.0, torque=3.0), ())
    assert not sound(heard).any() and captions(heard) == []
    nothing = heard_of({})
    assert not sound(nothing).any() and captions(nothing) == []


def test_the_loudest_start_has_room_above_it():
    moves = tuple((0.01 * k, ("picked_up", "tripped")[k % 2], "contactor") for k in range(60))
    samples = sound(heard_of(made(amps=900.0, torque=90.0, speed=0.09 * SYNC), moves))
    assert samples.dtype == np.int16 and samples.shape[1] == 2
    assert np.max(np.abs(samples.astype(int))) < LEAST_ROOM


def test_length_and_sameness():
    heard = heard_of(made(), ())
    once, again, slow = sound(heard), sound(heard), sound(heard, 200.0)
    assert np.array_equal(once, again)
    assert len(once) / RATE_HZ == pytest.approx(0.75, abs=0.01)
    assert len(slow) / RATE_HZ == pytest.approx(0.6 * 200.0, rel=0.02) and LONGEST_S > 120.0


@pytest.fixture(scope="module")
def real():
    unit = at_rest(load_layout("larkspur-row"), "larkspur-row")
    return judged(unit, contacts_of(unit, "indoor", "call"), 4.0)


def test_a_start_of_the_bench(real):
    heard = heard_of(real)
    told = captions(heard)
    full = real["figures"]["time_to_90pct_s"]
    assert told[0][0] == 0.0
    words = {w: t for t, w in told}
    assert words["Whirr steady: full speed"] == pytest.approx(full, abs=0.02)
    assert "Hum at 120 Hz: current flows" in words
    assert not any("Growl" in w for w in words)
    samples = sound(heard)
    start, later = samples[: round(0.2 * RATE_HZ)], samples[round(1.2 * RATE_HZ) :]
    assert spectrum(start, 60.0, 200.0)[0] == pytest.approx(120.0, abs=6.0)
    assert energy(start, 0.0, 0.2) > 2.0 * energy(later, 0.0, 0.4) > 0.0


def test_a_motor_that_stands_growls():
    told = captions(heard_of(made(speed=0.0), ()))
    assert (0.0, "Growl: the motor is fed and its shaft stands") in told


def test_figures_do_where_nothing_else_was_kept():
    data = made(disengage_s=0.31, trips=[{"t_s": 0.576, "part": "breaker"}])
    told = captions(heard_of(data))
    assert (0.31, "Click: the start relay opens") in told
    assert (pytest.approx(0.5, abs=1e-4), "Snap: breaker trips") in told
