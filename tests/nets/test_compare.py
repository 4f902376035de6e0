"""Five levels at which two wirings are equal, on real layouts, and what is said of differences."""

import pytest

from tests.nets.boards import SWAPPED, chain, unit, wires, with_end
from trainer.nets.compare import compare
from trainer.nets.dangers import dangers
from trainer.nets.function import works_alike
from trainer.nets.wires import Wire, wires_of
from trainer.nets.words import places, sentences

ROW = "larkspur-row"


def types(of):
    return {name: placed.type for name, placed in of.parts.items()}


def test_level_1_the_same_nets_by_another_way():
    target = unit(ROW)
    other = with_end(target, "6", "a", "comp.R")
    found = compare(wires_of(other), wires_of(target))
    assert (found.level, found.text) == (1, "same circuit as the diagram")
    assert found.join_f == 1


def test_level_2_a_coil_turned_round():
    target = unit(ROW)
    turned = with_end(with_end(target, "11", "b", "contactor.A2"), "12", "b", "contactor.A1")
    pair = [("contactor.A1", "contactor.A2")]
    assert compare(wires_of(turned), wires_of(target), symmetries=pair).level == 2
    assert compare(wires_of(turned), wires_of(target)).level == 5


def test_level_2_an_alternate_by_name():
    target = unit(ROW)
    legs = with_end(with_end(target, "1", "a", "disconnect.T2"), "2", "a", "disconnect.T1")
    found = compare(wires_of(legs), wires_of(target), {"legs exchanged": wires_of(legs)})
    assert (found.level, found.image) == (2, "legs exchanged")


SAFETIES = "Y hp.1;hp.2 lp.1;lp.2 coil.1;coil.2 COM"
SWITCHES = {"hp": ("hp.1", "hp.2"), "lp": ("lp.1", "lp.2")}


def test_level_3_two_switches_in_the_other_order():
    found = wires("Y lp.1;lp.2 hp.1;hp.2 coil.1;coil.2 COM")
    assert compare(found, wires(SAFETIES), switches=SWITCHES).level == 3
    assert compare(found, wires(SAFETIES)).level == 5


def test_level_3_not_when_one_is_left_out():
    found = wires("Y hp.1;hp.2 coil.1;coil.2 COM")
    assert compare(found, wires(SAFETIES), switches=SWITCHES).level == 5


def test_level_4_works_and_is_not_to_the_diagram():
    """A heater whose two leads are exchanged sees the same volts."""
    heater = unit("gable-end")
    ends = [with_end(with_end(heater, "11", "a", "cch.2"), "12", "a", "cch.1")]
    assert works_alike(ends[0], heater)
    found = compare(wires_of(ends[0]), wires_of(heater), works=lambda: works_alike(ends[0], heater))
    assert found.level == 4


@pytest.mark.parametrize(
    ("tag", "side", "on"), [("4", "b", "comp.S"), ("6", "a", "contactor.T1"), ("7", "a", None)]
)
def test_level_5_does_not_work_alike(tag, side, on):
    target = unit(ROW)
    assert not works_alike(with_end(target, tag, side, on), target)


def test_relay_1_and_2_exchanged_is_found_though_the_motor_runs():
    target = unit("old-quarry")
    on = {(w.tag, s): w.end(s) for w in wires_of(target) for s in "ab"}
    two = [key for key, place in on.items() if place == "pr.2"]
    one = [key for key, place in on.items() if place == "pr.1"]
    other = target
    for (tag, side), goal in [*((k, "pr.1") for k in two), *((k, "pr.2") for k in one)]:
        other = with_end(other, tag, side, goal)
    found = compare(wires_of(other), wires_of(target), works=lambda: works_alike(other, target))
    assert found.level == 5
    assert len(found.moves) == 1
    assert found.moves[0].kind == "swap"


def test_start_and_common_exchanged_is_one_sentence():
    found = compare(wires(SWAPPED), chain())
    kinds = [move.kind for move in found.moves]
    assert kinds.count("swap") == 1
    assert set(kinds) == {"swap", "extra"}


def test_a_swap_in_trade_words():
    target = unit(ROW)
    other = with_end(with_end(target, "4", "b", "comp.S"), "7", "b", "comp.C")
    found = compare(wires_of(other), wires_of(target))
    (told,) = sentences(found.moves, places(types(target)))
    assert told == (
        "S and C of the compressor are exchanged: The black wire 4 from T1 of the contactor is on "
        "S of the compressor; it belongs on C of the compressor. The red wire 7 from HERM of the "
        "dual capacitor is on C of the compressor; it belongs on S of the compressor."
    )


def test_a_loose_wire_is_not_landed():
    target = unit(ROW)
    other = with_end(target, "7", "b", None)
    (told,) = sentences(compare(wires_of(other), wires_of(target)).moves, places(types(target)))
    assert told.startswith("The red wire 7 is not landed: it belongs from ")


def test_no_word_of_graphs_reaches_a_tradesman():
    target = unit(ROW)
    other = with_end(with_end(target, "4", "b", "comp.S"), "8", "b", None)
    told = " ".join(
        sentences(compare(wires_of(other), wires_of(target)).moves, places(types(target)))
    )
    assert told
    for word in ("net", "graph", "partition", "node", "edge"):
        assert f" {word}" not in told


KINDS = {"disconnect": "disconnect", "contactor": "contactor", "indoor": "thermostat_supply"}
SUPPLY = [("disconnect.L1", "disconnect.L2")]
CONTROL = frozenset(("contactor.A1", "contactor.A2", "indoor.Y"))
GROUND = frozenset(("service.G",))


def told_of(text: str, bonded=()):
    rows = [Wire(str(n), *row.split()) for n, row in enumerate(text.split(";"))]
    return list(dangers(rows, KINDS, SUPPLY, CONTROL, GROUND, bonded))


def test_dangers():
    fine = "disconnect.T1 contactor.L1;disconnect.T2 contactor.L2;indoor.Y contactor.A1"
    assert told_of(fine) == []
    assert told_of(f"{fine};contactor.T1 contactor.T2") == [
        "joins the two legs (disconnect.L1 and disconnect.L2)"
    ]
    assert told_of(f"{fine};contactor.T2 service.G") == ["puts disconnect.L2 on the ground"]
    (line,) = told_of(f"{fine};contactor.L1 contactor.A2")
    assert line == "puts line volts on the 24 V at contactor.A2"
    assert told_of(fine, ["lug.1"]) == ["leaves lug.1 without a ground"]
    assert told_of(f"{fine};service.G lug.1", ["lug.1"]) == []
