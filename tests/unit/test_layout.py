"""Layouts that ship: they build, start and differ; and one broken in many ways at once."""

import pytest
import yaml

from tests.unit.units import plain
from trainer.base.errors import Faults
from trainer.unit.layout import layout_names, layouts_dir, load_layout
from trainer.unit.world import advance

NAMES = layout_names()


def test_ten_circuits_are_covered():
    circuits = {load_layout(name).circuit for name in NAMES}
    assert len(NAMES) >= 10
    assert circuits == {f"K{n}" for n in range(1, 11)}


@pytest.mark.parametrize("name", NAMES)
def test_each_unit_runs_as_the_factory_left_it(name):
    unit = plain(name)
    # a series timer of 300 s (common practice 3 to 5 min, no source) delays the one that has it
    wait_ms = 301_500 if "td" in unit.parts else 1500
    later = advance(unit, wait_ms, [("indoor", "call")])
    machines = later.unit.electrics.machines
    assert machines["comp"].speed_rad_s > 0.9 * 377.0  # two poles at 60 Hz
    assert machines["fan"].speed_rad_s > 20.0
    assert not [e for e in later.events if e.kind in ("tripped", "welded", "gave_up")]


@pytest.mark.parametrize("name", ["ferry-steps", "signal-house"])
def test_no_protector_opens_within_twenty_minutes(name):
    # a healthy unit runs through: a fan on the capacitor that is printed on it does not overheat
    later = advance(plain(name), 1_200_000 + 301_000, [("indoor", "call")])
    assert not [e for e in later.events if e.kind in ("tripped", "welded", "gave_up")]
    assert later.unit.electrics.machines["fan"].speed_rad_s > 100.0  # 1075 rpm printed: 112.6


def test_no_two_are_arranged_alike():
    spots = {name: load_layout(name) for name in NAMES}
    seen = {(s.parts["contactor"].at, s.parts["comp"].at, s.enclosure) for s in spots.values()}
    assert len(seen) == len(NAMES)


def test_the_same_file_has_the_same_digest():
    assert load_layout("larkspur-row").digest == load_layout("larkspur-row").digest
    assert len({load_layout(name).digest for name in NAMES}) == len(NAMES)


def test_every_fault_is_told_at_once(tmp_path):
    data = yaml.safe_load((layouts_dir() / "larkspur-row.yaml").read_text(encoding="utf-8"))
    data["parts"]["can"]["type"] = "dual-35-6"
    data["parts"]["breaker"]["set"] = {"rating": "thirty"}
    data["wires"][5]["to"] = "contactor.L9"
    data["wires"][6]["tag"] = "1"
    data["wires"][7]["to"] = "lugs.1"
    data["wires"][8]["gauge"] = "4 AWG"
    data["wires"][12]["from"] = "contactor.T1:a"
    data["feeds"][0]["isolated_by"] = "disconect"
    data["must_prove"][0][0] = "contactor.Q1"
    data["colour"] = "green"
    path = tmp_path / "broken.yaml"
    path.write_text(yaml.safe_dump(data), encoding="utf-8")
    with pytest.raises(Faults) as caught:
        load_layout(path)
    told = str(caught.value)
    for piece in (
        "dual-35-5", "rating", "contactor.L9", "two wires have the tag", "there is no part 'lugs'",
        "4 AWG does not go on", "which holds 1", "'disconect'", "contactor.Q1", "colour",
    ):  # fmt: skip
        assert piece in told, piece
    assert len(caught.value.faults) >= 10
    assert all("broken.yaml:" in fault.where for fault in caught.value.faults)


def test_a_hostile_count_is_refused_cheaply(tmp_path):
    data = yaml.safe_load((layouts_dir() / "larkspur-row.yaml").read_text(encoding="utf-8"))
    data["parts"] = {f"p{k}": {"type": "fan-3"} for k in range(3000)}
    path = tmp_path / "crowd.yaml"
    path.write_text(yaml.safe_dump(data), encoding="utf-8")
    with pytest.raises(Faults, match="too many"):
        load_layout(path)
