"""A unit written as a study is the same circuit: both are energised and compared."""

from dataclasses import replace

import pytest
import yaml
from pytest import approx

from tests.outside import share
from tests.unit.units import plain
from trainer.base.errors import TrainerError
from trainer.starts import watching as w
from trainer.starts.recording import record_circuit
from trainer.starts.report import report
from trainer.starts.run import run_file, run_start
from trainer.starts.thresholds import thresholds
from trainer.study.build import Move
from trainer.study.model import Study
from trainer.unit.as_study import study_of, text_of
from trainer.unit.changes import add, alter, join, lift, remake
from trainer.unit.charging import with_charge
from trainer.unit.circuit import elements_of
from trainer.unit.conductor import Conductor, End
from trainer.unit.faults import FAULTS, plant
from trainer.unit.layout import layout_names
from trainer.unit.roles import roles_of
from trainer.unit.state import Placed
from trainer.unit.untold import untold
from trainer.unit.world import at_rest_in, contacts_of, remembering

UNTIL_S = 0.5
SAME = ("outcome", "also", "recloses", "contactor_recloses")
NUMBERS = (
    "peak_line_a", "time_to_90pct_s", "disengage_s", "disengage_speed_ratio", "end_speed_ratio",
    "standing_torque_nm", "start_winding_peak_v", "start_capacitor_peak_v",
)  # fmt: skip


def bench_start(unit, acts):
    """The unit's own circuit from rest, its acts at the first instant."""
    elements, _ = elements_of(unit)
    moves = tuple(Move(0.0, *m) for part, verb in acts for m in contacts_of(unit, part, verb))
    return report("", record_circuit(elements, roles_of(unit), moves, UNTIL_S), thresholds())


def compare(unit, hands=()):
    acts = [("indoor", "call")]
    ours = bench_start(unit, [*hands, *acts])
    given = at_rest_in(unit, dict(hands)) if hands else unit
    theirs = run_start(Study.model_validate(study_of(given, "x", acts, 0.0)), until_s=UNTIL_S)
    a, b = ours.as_data(), theirs.as_data()
    assert [a[key] for key in SAME] == [b[key] for key in SAME]
    for key in NUMBERS:
        assert b[key] == (None if a[key] is None else approx(a[key], rel=1e-6, abs=1e-6)), key
    for name in (w.LINE[0], w.SPEED):
        if ours.record.has(name):
            most = max(float(abs(ours.record[name]).max()), 0.1)
            assert abs(ours.record[name] - theirs.record[name]).max() < 1e-5 * most, name
    return ours


def awake(name):
    """The unit of a layout; a timer that would wait for minutes waits for a tenth of a second."""
    unit = plain(name)
    return remembering(alter(unit, "td", delay="0.1 s")) if "td" in unit.parts else unit


@pytest.mark.parametrize("name", layout_names())
def test_every_layout_starts_as_at_the_bench(name):
    found = compare(awake(name))
    assert found.evidence.energised_at_s is not None


@pytest.mark.parametrize("name", share(layout_names(), 3))
def test_a_half_seated_spade_a_lifted_end_and_a_conductor_more(name):
    unit = awake(name)
    spades = [
        end.on.partition(":")[0]
        for c in unit.conductors.values()
        for end in (c.a, c.b)
        if end.fitting == "female_250"
    ]
    half = remake(unit, spades[0], seated=0.5)
    assert any("joint" in row for row in study_of(half)["wires"])
    compare(half)
    off = lift(unit, "fan.1")
    assert len(study_of(off)["wires"]) < len(study_of(unit)["wires"])
    compare(off)
    more = Conductor(tag="X", gauge="14 AWG", a=End(on="comp.R"), b=End(on="fan.2"))
    compare(remembering(unit.with_conductor(more)))


def planted(fault):
    """The condition in the first layout that has what it needs."""
    for name in ("larkspur-row", *layout_names()):
        try:
            return plant(awake(name), fault)
        except TrainerError:
            continue
    raise AssertionError(f"no layout takes {fault}")


@pytest.mark.parametrize("fault", share(FAULTS, 3))
def test_planted_conditions_are_in_the_study_too(fault):
    compare(planted(fault))


def test_hands_are_in_the_parts_or_in_acts():
    hands = (("disconnect", "open"),)
    found = compare(plain(), hands)
    assert found.outcome == "no_power"
    parts = study_of(at_rest_in(plain(), dict(hands)))["parts"]
    assert parts["disconnect"]["closed"] is False


def test_a_unit_that_calls_already_is_not_called_again():
    calling = at_rest_in(plain(), {"indoor": "call"})
    data = study_of(calling)
    assert data["parts"]["indoor"]["calling"] is True and data["acts"] == []
    assert study_of(plain())["acts"] == [{"at": "0.05 s", "call": "indoor"}]


def test_a_charge_is_written_where_a_study_has_a_key_for_it():
    data = study_of(with_charge(plain(), "can.H", 120.0))
    assert data["parts"]["can"]["herm_charge"] == "120.0 V"
    assert Study.model_validate(data).parts["can"].herm_charge == 120.0


def test_a_strip_becomes_a_splice():
    unit = add(plain(), "strip", "splice-strip", ("J1", "strip.1", "comp.R"))
    unit = add(unit, "strip2", "splice-strip", ("J2", "strip.1", "fan.2"))
    assert study_of(unit)["parts"]["strip"] == {"kind": "splice", "ways": 4}
    compare(remembering(unit))


def test_a_loose_end_that_touches_something_conducts():
    unit = plain()
    conductor = unit.conductors["4"].with_end("b", on=None)
    unit = join(unit.with_conductor(conductor), "wire:4.b", "chassis", 0.5)
    found = compare(remembering(unit))
    # 120 V over half an ohm and the way back: at most 340 A at its peak
    assert 150.0 < found.as_data()["peak_line_a"] < 340.0


def test_what_a_study_cannot_say_is_told_in_comments(tmp_path):
    unit = lift(plain(), "can.H")
    unit = replace(unit, parts={**unit.parts, "spare": Placed(type="dual-35-5", where="tray")})
    text = text_of(unit, "One end off: the herm lead")
    told = [line for line in text.splitlines() if line.startswith("# Not in this study: ")]
    assert told == [f"# Not in this study: {sentence}" for sentence in untold(unit)]
    assert "conductor 7, landed on comp.S, its other end loose and perhaps live" in told[0]
    assert "spare, on the tray" in told[1]
    path = tmp_path / "unit.yaml"
    path.write_text(text, encoding="utf-8")
    assert yaml.safe_load(text) == study_of(unit, "One end off: the herm lead")
    assert run_file(path, until_s=UNTIL_S).outcome == "stalled"


def test_a_running_unit_tells_what_it_remembers():
    unit = plain()
    state = unit.electrics
    comp = replace(state.machines["comp"], speed_rad_s=370.0, main_c=60.0)
    warm = replace(state, machines={**state.machines, "comp": comp}, welded=frozenset({"pr~x"}))
    told = untold(replace(unit, electrics=warm))
    assert told == [
        "the shaft of comp turns",
        "the windings of comp are at 60 degC",
        "the contact pr~x is welded shut",
    ]
