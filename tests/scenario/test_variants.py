"""Variants: the same from the same seed for ever, each dial by itself, constraints kept."""

import pytest

from tests.scenario.files import dialled, scenario
from trainer.base.errors import TrainerError
from trainer.nets.nets import partition
from trainer.scenario.load import load_scenario
from trainer.scenario.rng import Stream
from trainer.scenario.variants import draw, variant
from trainer.unit.charging import volts_after
from trainer.unit.layout import load_layout

PAPER = {"draw": "diagram", "states": ["clean", "dirty", "missing", "older"]}
METER = {"draw": "tool", "instrument": "meter", "conditions": ["good", "flat battery"]}
COLOURS = {"draw": "colours", "wires": ["4", "5", "6", "7"]}
HELD = {"draw": "charge", "on": "can.H", "between": ["200 V", "380 V"]}


def test_a_seed_draws_what_its_streams_give():
    # by hand from the generator's own definition: SHA-256 of the text in rng.py, first word
    draws = draw(scenario(variants={"dials": {"paper": PAPER}}), "job", 7)
    assert draws == {"paper": PAPER["states"][Stream(7, "job/paper").word() % 4]}


def test_the_shipped_drill_for_ever():
    # literal: a change of these is a change of every variant ever issued
    draws = draw(load_scenario("make-it-dead"), "make-it-dead", 2)
    assert draws == {
        "colours": ["4", "6", "9", "10", "5", "8", "7"],
        "arrangement": ["contactor", "can"],
        "dirt": ["can.F", "contactor.T2"],
        "paper": "clean",
        "supply": "235.254 V",
        "herm": "34.897 uF",
        "meter": "flat battery",
    }


def test_another_dial_leaves_the_others_as_they_were():
    few = draw(scenario(variants={"dials": {"paper": PAPER}}), "job", 3)
    more = draw(scenario(variants={"dials": {"meter": METER, "paper": PAPER}}), "job", 3)
    assert more["paper"] == few["paper"]


def test_the_name_is_part_of_the_draw():
    job = scenario(variants={"dials": {"colours": COLOURS}})
    ways = {tuple(draw(job, name, 0)["colours"]) for name in ("a", "b", "c", "d", "e", "f")}
    assert len(ways) > 1


def test_a_forbidden_draw_is_made_again():
    never = [{"never": {"paper": ["missing", "older"], "meter": "flat battery"}}]
    job = scenario(variants={"dials": {"paper": PAPER, "meter": METER}, "constraints": never})
    free = scenario(variants={"dials": {"paper": PAPER, "meter": METER}})
    pairs = {(d["paper"], d["meter"]) for d in (draw(job, "job", seed) for seed in range(60))}
    # six of eight pairs are allowed; all of them turn up in sixty seeds
    assert len(pairs) == 6
    assert not pairs & {("missing", "flat battery"), ("older", "flat battery")}
    changed = [s for s in range(60) if draw(job, "job", s) != draw(free, "job", s)]
    forbidden = [
        s
        for s in range(60)
        if (d := draw(free, "job", s))["meter"] == "flat battery"
        and d["paper"] in ("missing", "older")
    ]
    assert changed == forbidden


def test_constraints_that_leave_nothing_end():
    never = [{"never": {"paper": ["clean", "dirty", "missing", "older"]}}]
    job = scenario(variants={"dials": {"paper": PAPER}, "constraints": never})
    with pytest.raises(TrainerError, match="keeps its constraints"):
        draw(job, "job", 0)


def test_colours_are_dealt_among_the_same_wires():
    made = dialled(1, colours=COLOURS)
    factory = {w.tag: w.colour for w in load_layout("larkspur-row").wires}
    found = {t: c.colour for t, c in made.unit.conductors.items()}
    assert sorted(found[t] for t in "4567") == sorted(factory[t] for t in "4567")
    assert found != factory
    assert {t: c for t, c in found.items() if t not in "4567"} == {
        t: c for t, c in factory.items() if t not in "4567"
    }
    # colours are no evidence: the wiring is what it was
    assert partition(made.unit) == partition(made.target)


def test_values_are_within_and_in_the_wanted_unit_too():
    spec = {"draw": "value", "part": "can", "field": "herm", "between": ["34 uF", "37 uF"]}
    for seed in range(20):
        made = dialled(seed, herm=spec)
        drawn = made.unit.parts["can"].set["herm"]
        assert 34.0 <= float(drawn.split()[0]) <= 37.0
        assert made.target.parts["can"].set["herm"] == drawn


def test_a_planted_value_is_not_wanted():
    spec = {"draw": "value", "part": "can", "field": "herm", "between": ["20 uF", "25 uF"]}
    made = dialled(0, weak={**spec, "target_too": False})
    assert "herm" in made.unit.parts["can"].set
    assert made.target.parts["can"].set == {}


def test_one_of_several_changes():
    choices = {"as built": {}, "four leads": {"parts": {"fan": {"type": "fan-4"}}}}
    spec = {"draw": "one of", "choices": choices, "target_too": True}
    types = {dialled(seed, fan=spec).target.parts["fan"].type for seed in range(12)}
    assert types == {"fan-3", "fan-4"}


def test_a_fault_dial_plants_what_it_drew():
    shown = [{"name": "x", "setting": "farads", "at": ["can.C", "can.H"], "lifted": ["can.H"],
              "between": ["0 uF", "1 uF"]}]  # fmt: skip
    spec = {"draw": "fault", "choices": ["F21", "none"]}
    job = scenario(symptoms={"F21": shown}, variants={"dials": {"which": spec}})
    made = [variant(job, "job", seed) for seed in range(12)]
    assert {v.faults for v in made} == {("F21",), ()}
    for v in made:
        open_section = v.unit.parts["can"].set.get("herm_condition") == "open"
        assert open_section == (v.faults == ("F21",))
        assert "herm_condition" not in v.target.parts["can"].set


def test_a_charge_is_there_and_stays():
    job = scenario(
        start={"wiring": {"lift": ["7.a"]}}, variants={"dials": {"held": HELD}}
    )  # fmt: skip
    made = variant(job, "job", 4)
    volts = made.charges["can.H"]
    assert 200.0 <= volts <= 380.0
    assert made.unit.electrics.capacitor_v["can~H"] == volts
    assert volts_after(made.unit, 1.0)["can~H"] == pytest.approx(volts, rel=0.01)


def test_a_wired_run_capacitor_is_empty_at_once():
    # through the windings, some ohms and 35 uF: tens of milliseconds
    made = dialled(4, held=HELD)
    assert abs(volts_after(made.unit, 1.0)["can~H"]) < 5.0


def test_dirt_paper_and_spots_belong_to_the_place():
    dirt = {"draw": "dirt", "places": ["can.C", "can.H", "can.F"], "count": 2}
    spots = {"draw": "arrangement", "parts": ["contactor", "can", "comp"]}
    base = load_layout("larkspur-row")
    seen = [dialled(seed, dirt=dirt, paper=PAPER, spots=spots) for seed in range(12)]
    assert all(len(v.layout.dirty) == 2 for v in seen)
    assert len({v.layout.diagram.state for v in seen}) == 4
    names = ("contactor", "can", "comp")
    places = {tuple(v.layout.parts[n].at for n in names) for v in seen}
    assert len(places) > 2
    assert {frozenset(p) for p in places} == {frozenset(base.parts[n].at for n in names)}
    # what hangs in the place is no other circuit: the unit is the same and says the same layout
    assert all(v.unit.digest == base.digest and v.unit.conductors for v in seen)


def test_running_for_a_while_really_ran():
    job = scenario(start={"hands": {"indoor": "call"}, "running_for": "1 s"})
    unit = variant(job, "job", 0).unit
    assert unit.electrics.machines["comp"].speed_rad_s > 0.9 * 377.0  # two poles at 60 Hz
    assert unit.at_ms == 0


def test_hands_at_rest():
    unit = variant(scenario(start={"hands": {"disconnect": "open"}}), "job", 0).unit
    assert not unit.electrics.closed["disconnect~1"]
    assert unit.hands == {"disconnect": "open"}
