"""The first of a start drawn again for a slider: the numbers of a file with that value in it."""

import numpy as np
import pytest
import yaml

from tests.outside import share
from trainer.base.errors import Faults, UsageError
from trainer.demo.dials import dials_of
from trainer.demo.prepared import DRAWN, NEAR_S, STRIDE, Prepared, opened
from trainer.starts.recording import record
from trainer.starts.run import run_file
from trainer.study.load import find_study, load_study, study_names

#: What every slider of a study of this unit writes into its file; values invented.
RELAY_C_PICKUP, RELAY_C_DROPOUT, RELAY_C_STANDS = 205.0, 72.5, 370.0


def written(tmp_path, name, **parts):
    """A shipped study's file with keys of some parts written otherwise."""
    data = yaml.safe_load(find_study(name).read_text(encoding="utf-8"))
    for part, keys in parts.items():
        for key, value in keys.items():
            inner = data["parts"][part].get(key)
            both = {**inner, **value} if isinstance(inner, dict) else value
            data["parts"][part][key] = both
    path = tmp_path / "written.yaml"
    path.write_text(yaml.safe_dump(data, sort_keys=False), encoding="utf-8")
    return path


def of_file(path, lines):
    """The same instants of the ordinary way: file read, circuit built, every step recorded."""
    found = record(load_study(path), lines.record.end_s + 1e-9)
    at = slice(STRIDE - 1, None, STRIDE)
    first = lines.record.index(lines.energised_at_s or 0.0)
    values = {name: found[name][at][first : first + lines.t_s.size] for name in lines.values}
    return found, found.t_s[at][first : first + lines.t_s.size], values


def agree(path, lines):
    found, t, values = of_file(path, lines)
    assert lines.t_s + (lines.energised_at_s or 0.0) == pytest.approx(t, abs=1e-9)
    for name, line in values.items():
        most = max(float(np.max(np.abs(line))), 1e-6)
        assert np.max(np.abs(lines[name] - line)) < 1e-9 * most, name
    ours = [(e.kind, e.name) for e in lines.record.events]
    theirs = [(e.kind, e.name) for e in found.events]
    assert ours == theirs[: len(ours)] and len(theirs) - len(ours) <= 2


P = RELAY_C_PICKUP
TURNED = [
    ("potential-relay", {"start_uf": 64.0}, {"sc": {"capacitance": "64 uF"}}),
    ("potential-relay", {"start_uf": 324.0}, {"sc": {"capacitance": "324 uF"}}),
    ("potential-relay", {"line_v": 180.0}, {"service": {"volts": "180 V"}}),
    ("potential-relay", {"line_v": 276.0}, {"service": {"volts": "276 V"}}),
    ("potential-relay", {"load_nm": 5.5}, {"comp": {"load": {"torque": "5.5 N.m"}}}),
    ("potential-relay", {"standing": 0.0}, {"comp": {"load": {"pressures": "equalised"}}}),
    (
        "potential-relay",
        {"relay_v": 150.0},
        {
            "pr": {
                "pickup": "150 V",
                "dropout": f"{150.0 / P * RELAY_C_DROPOUT!r} V",
                "continuous": f"{150.0 / P * RELAY_C_STANDS!r} V",
            }
        },
    ),
    (
        "potential-relay",
        {"start_uf": 162.0, "line_v": 228.0, "load_nm": 5.0},
        {
            "sc": {"capacitance": "162 uF"},
            "service": {"volts": "228 V"},
            "comp": {"load": {"torque": "5 N.m"}},
        },
    ),
    ("relay-chatter", {"line_v": 230.0}, {"service": {"volts": "230 V"}}),
    ("generator", {"line_v": 216.0}, {"service": {"volts": "216 V"}}),
    ("inverter", {"line_v": 250.0}, {"service": {"volts": "250 V"}}),
    ("soft-starter", {"line_v": 216.0}, {"service": {"volts": "216 V"}}),
    ("ptc", {"line_v": 200.0}, {"service": {"volts": "200 V"}}),
    ("wye-208", {"line_v": 190.0}, {"service": {"volts": "190 V"}}),
    ("fifty-hertz", {"load_nm": 4.0}, {"comp": {"load": {"torque": "4 N.m"}}}),
    ("current-relay", {"start_uf": 120.0}, {"sc": {"capacitance": "120 uF"}}),
]


@pytest.mark.parametrize(("name", "values", "parts"), TURNED, ids=lambda x: str(x)[:40])
def test_a_slider_gives_what_the_file_with_its_value_gives(tmp_path, name, values, parts):
    study = opened(name)
    study.near({dial.name: dial.high for dial in study.dials[:1]})
    agree(written(tmp_path, name, **parts), study.near(values))


@pytest.mark.parametrize("name", share(study_names(), 3))
def test_at_its_own_values_a_study_gives_its_own_start(name):
    study = opened(name)
    for dial in study.dials:
        study.near({dial.name: dial.low})
    agree(find_study(name), study.near({dial.name: dial.value for dial in study.dials}))


def test_a_slider_moves_the_lines():
    study = opened("potential-relay")
    own = study.near({})
    for dial in study.dials:
        other = study.near({dial.name: dial.low})
        n = min(own.t_s.size, other.t_s.size)
        assert np.max(np.abs(own["line_1"][:n] - other["line_1"][:n])) > 1.0, dial.name


def test_lines_run_from_energising_for_six_tenths():
    lines = opened("potential-relay").near({})
    assert set(lines.values) == set(DRAWN)
    assert abs(lines.t_s[0]) < 1e-3 and lines.t_s[-1] == pytest.approx(NEAR_S, abs=1e-3)
    assert [mark.words for mark in lines.marks][:1] == ["energised"]
    assert lines.record.end_s < lines.energised_at_s + NEAR_S + 0.01


def test_what_is_energised_later_is_drawn_as_long():
    """A call that comes later in the file (invented) moves the picture, not its length."""
    study = load_study("potential-relay")
    late = study.acts[0].model_copy(update={"at": 0.3})
    ours, own = Prepared(study.model_copy(update={"acts": [late]})), opened("potential-relay")
    lines = ours.near({"line_v": 200.0})
    assert lines.energised_at_s > 0.3
    assert lines.t_s[-1] == pytest.approx(own.near({}).t_s[-1], abs=1e-3)


def test_a_compressor_that_is_never_fed_has_lines_all_the_same():
    lines = opened("leg-lost").near({})
    assert lines.energised_at_s is None and lines.t_s.size > 100


def test_the_whole_is_the_report(tmp_path):
    start = opened("potential-relay").whole({"start_uf": 43.0})
    path = written(tmp_path, "potential-relay", sc={"capacitance": "43 uF"})
    assert start.data == run_file(path).as_data()
    assert set(start.near["t_s"]) == {"scale", "points"} and "speed_rad_s" in start.far


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ({"start_uf": 4000.0}, "start capacitor cannot be 4000 uF; give 40 to 330 uF"),
        ({"line_v": float("nan")}, "cannot be nan V"),
        ({"run_uf": 35.0}, "no slider 'run_uf'; turn one of start_uf, relay_v, line_v"),
    ],
)
def test_values_that_cannot_be_are_told(values, message):
    with pytest.raises(UsageError, match=message):
        opened("potential-relay").near(values)


def test_a_file_with_faults_is_told_in_sentences(tmp_path):
    path = written(tmp_path, "potential-relay", sc={"capacitance": "98 F"}, pr={"dropout": "300 V"})
    with pytest.raises(Faults) as found:
        opened(path)
    assert "is beyond anything on this bench" in str(found.value)
    assert "the contact would close again" in str(found.value)


def test_only_what_a_study_has_can_be_turned():
    names = {n: [d.name for d in dials_of(load_study(n))] for n in ("psc", "line-short", "ptc")}
    assert names["psc"] == ["line_v", "load_nm", "standing"]
    assert "relay_v" not in names["ptc"] and "start_uf" not in names["line-short"]


def test_a_slider_reaches_around_its_own_value():
    for name in study_names():
        for dial in dials_of(load_study(name)):
            assert dial.low <= dial.value <= dial.high and dial.low < dial.high, (name, dial)
            assert dial.words and dial.step > 0.0
