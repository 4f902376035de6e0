"""Nets: terminals joined by conductors, whatever way the conductors run."""

from tests.scenario.files import dialled
from trainer.nets.nets import Net, nets_of, partition
from trainer.scenario.change import Change, apply


def test_a_plain_unit_has_its_thirteen_nets():
    # the circuit of a cooling unit with a dual capacitor, written down by hand from its netlist
    nets = {net.terminals: net.wires for net in nets_of(dialled().target)}
    assert nets["can.C", "comp.R", "contactor.T2", "fan.2"] == ("5", "6", "9")
    assert nets["comp.C", "contactor.T1", "fan.1"] == ("4", "8")
    assert nets["can.H", "comp.S"] == ("7",)
    assert nets["can.F", "fan.3"] == ("10",)
    assert len(nets) == 13


def test_another_tab_is_the_same_net():
    unit = dialled().target
    moved = apply(unit, Change.model_validate({"land": {"7.a": "can.H:b", "6.a": "comp.R:a"}}))
    assert partition(moved) == partition(unit)


def test_another_terminal_is_another_net():
    unit = dialled().target
    moved = apply(unit, Change.model_validate({"land": {"7.a": "can.F"}}))
    assert partition(moved) != partition(unit)


def test_a_loose_end_joins_nothing():
    unit = apply(dialled().target, Change.model_validate({"lift": ["7.a"]}))
    assert Net(("can.H", "comp.S"), ("7",)) not in nets_of(unit)
    assert not any("can.H" in net.terminals for net in nets_of(unit))
