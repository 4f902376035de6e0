"""The shipped motors."""

import pytest
from pytest import approx

from tests.motor.build import line_of
from trainer.base.errors import Faults, NotFoundError
from trainer.motor import psc
from trainer.motor.load import mean_torque
from trainer.motor.machines import entry, machine, machine_load, machines


def test_ohms_become_henries_at_the_frequency_of_the_entry():
    # 1.75 ohm at 50 Hz
    assert machine("compressor-50hz").l_main == approx(1.75 / 314.159265, rel=1e-8)
    assert machine("condenser-fan").pole_pairs == 3


@pytest.mark.parametrize("name", sorted(machines()))
def test_every_motor_names_its_source(name):
    assert entry(name).source


@pytest.mark.parametrize("name", sorted(machines()))
def test_every_motor_carries_its_load_with_pressures_parted_and_equalised(name):
    params, load, line = machine(name), machine_load(name), line_of(name)
    sync = params.synchronous_rad_s(line.hz)
    for lift in (0.0, 1.0):
        slip = psc.running_slip(params, line, lambda w, lift=lift: mean_torque(load, w, sync, lift))
        assert slip is not None
        assert 0.0 < slip < 0.15


def test_feeder_compressor_ohms_follow_from_its_per_unit_data():
    base = 240.0**2 / 3500.0
    m, w = machine("feeder-compressor"), 376.991118
    shared = 2.28**2 / 2.33 - 2.28
    expected = {
        "r_main": 0.0365 * base,
        "r_aux": 0.0729 * base,
        "r_rotor": 2.33 / (w * 0.1212) * base,
        "l_main": (0.1033 + shared) * base / w,
        "l_aux": (0.1489 + 1.22**2 * shared) * base / w,
        "l_rotor": 0.05 * base / w,
        "l_mutual": 2.28 * base / w,
        "sat_gain": 5.6 * 0.7212**2,
        "sat_knee_wb": 0.7212 * 240.0 * 2**0.5 / w,
    }
    assert {name: getattr(m, name) for name in expected} == approx(expected, rel=1e-4)


def test_unknown_name_says_what_there_is():
    with pytest.raises(NotFoundError, match="anchor"):
        machine("ancor")


def test_a_faulty_file_is_refused_with_every_fault(tmp_path):
    bad = tmp_path / "machines.yaml"
    bad.write_text(
        "machines:\n  one:\n    about: x\n    source: invented\n    volts: 230 A\n"
        "    frequency: 60 Hz\n    poles: 3\n    run_capacitor: -35 uF\n"
    )
    with pytest.raises(Faults) as caught:
        machines(bad)
    text = str(caught.value)
    assert all(word in text for word in ("volts", "poles", "run_capacitor", "magnetising"))
