"""The nameplate file: what it takes and what it says about a bad one."""

import pytest

from trainer.base.errors import Faults
from trainer.base.places import scenarios_dir
from trainer.sizing import nameplate_file

GOOD = """\
nameplate: 1
title: invented
volts: 230 V
hz: 60 Hz
compressor: scroll
rla: 13.9 A
lra: 79 A
run_capacitor: 35 uF
"""


def read(tmp_path, text):
    path = tmp_path / "plate.yaml"
    path.write_text(text, encoding="utf-8")
    return nameplate_file.read(path)


def faults(tmp_path, text):
    with pytest.raises(Faults) as caught:
        read(tmp_path, text)
    return [str(fault) for fault in caught.value.faults]


def test_the_least_a_plate_needs(tmp_path):
    plate = read(tmp_path, GOOD)
    assert (plate.volts, plate.rla, plate.lra, plate.run_capacitor) == (230.0, 13.9, 79.0, 35e-6)
    assert plate.others_a == ()
    assert plate.takes_start_gear


def test_loads_that_are_not_there_do_not_count(tmp_path):
    plate = read(tmp_path, GOOD + "fan_fla: 0 A\nother_loads: [0.5 A, 0 A]\n")
    assert plate.others_a == (0.5,)


@pytest.mark.parametrize(
    "kind, metering, equal",
    [
        ("scroll", "hard_shutoff_valve", True),
        ("reciprocating", "hard_shutoff_valve", False),
        ("rotary", "bleeding_valve", True),
    ],
)
def test_when_pressures_equalise(tmp_path, kind, metering, equal):
    text = GOOD.replace("scroll", kind) + f"metering: {metering}\n"
    assert read(tmp_path, text).pressures_equalise is equal


def test_every_fault_is_told_at_once(tmp_path):
    text = GOOD.replace("13.9 A", "13.9").replace("79 A", "-79 A").replace("volts", "vlots")
    found = faults(tmp_path, text)
    assert len(found) == 4
    assert any("vlots" in fault and "volts" in fault for fault in found)
    assert any("13.9" in fault and "no unit" in fault for fault in found)
    assert any("-79 A" in fault and "above zero" in fault for fault in found)


def test_a_single_phase_plate_without_lra_and_capacitor(tmp_path):
    text = GOOD.replace("lra: 79 A\n", "").replace("run_capacitor: 35 uF\n", "")
    found = faults(tmp_path, text)
    assert ["lra" in found[0], "run_capacitor" in found[1]] == [True, True]
    assert not read(tmp_path, text + "phases: 3\n").takes_start_gear


def test_locked_amps_under_rated_amps(tmp_path):
    assert "not above" in faults(tmp_path, GOOD.replace("79 A", "13.9 A"))[0]


def test_a_gauge_the_tables_do_not_have(tmp_path):
    text = GOOD + "supply: {branch: {length: 50 ft, gauge: 11 AWG}}\n"
    found = faults(tmp_path, text)
    assert len(found) == 1
    assert "supply.branch.gauge" in found[0]


@pytest.mark.parametrize(
    "row, fault",
    [
        ("start_capacitor: [108 uF, 88 uF]", "backwards"),
        ("relay: {pickup: [190 V, 160 V], dropout_most: 90 V, continuous: 340 V}", "do not rise"),
        ("relay: {pickup: [160 V, 190 V], dropout_most: 165 V, continuous: 340 V}", "do not rise"),
    ],
)
def test_a_makers_table_out_of_order(tmp_path, row, fault):
    text = GOOD + f"maker_table:\n  sheet: invented\n  {row}\n"
    assert fault in faults(tmp_path, text)[0]


@pytest.mark.parametrize("path", sorted((scenarios_dir() / "nameplates").glob("*.yaml")))
def test_shipped_nameplates_read_and_say_they_are_invented(path):
    plate = nameplate_file.read(path)
    assert "nvented" in plate.about
