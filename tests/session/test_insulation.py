"""The insulation tester in use: it charges what it is put across and kills electronics."""

from __future__ import annotations

import math
from typing import Any

import pytest

from tests.session.jobs import do, kinds, of_kind, on
from trainer.session.opening import opening


def dead(layout: str) -> Any:
    """Open, with every cover off. The tester refuses live points."""
    running = on(opening(layout, 0)[0])
    for part in ("disconnect", "indoor"):
        do(running, "open", part=part)
    from trainer.session.doing import Doing

    for cover in Doing(running.bench).site.covers:
        do(running, "take off", cover=cover)
    return running


def probe(running: Any, red: str, black: str) -> list[Any]:
    do(running, "select", instrument="insulation", setting="500 V")
    return do(running, "measure", red=red, black=black)


def test_it_charges_a_capacitor_whose_leads_are_off() -> None:
    """500 V behind 500 kohm into 35 uF for 10 s: 500 (1 - exp(-10 / 17.5)) = 218 V."""
    running = dead("larkspur-row")
    for wire, end in (("7", "a"), ("6", "b"), ("10", "a")):
        do(running, "lift", wire=wire, end=end)
    probe(running, "can.H", "can.C")
    assert running.bench.charged
    do(running, "select", instrument="meter", setting="V dc")
    read = of_kind(do(running, "measure", red="can.H", black="can.C"), "read")
    assert read["shown"]["value"] == pytest.approx(500.0 * (1.0 - math.exp(-10.0 / 17.5)), rel=0.1)


def test_through_windings_it_leaves_next_to_nothing() -> None:
    running = dead("larkspur-row")
    probe(running, "comp.C", "chassis")
    assert not running.bench.charged


def off_its_wires() -> Any:
    """A soft starter with every lead off: nothing else takes the tester's volts."""
    running = dead("weavers-loft")
    for tag, conductor in running.bench.unit.conductors.items():
        for end in ("a", "b"):
            if str(conductor.end(end).on).startswith("sx."):
                do(running, "lift", wire=tag, end=end)
    return running


def test_across_a_bare_soft_starter_it_kills_the_electronics() -> None:
    running = off_its_wires()
    assert of_kind(probe(running, "sx.IN", "sx.OUT"), "killed") == {"part": "sx"}
    assert running.bench.unit.parts["sx"].set["gives_up"] == "0.001 s"


def test_in_circuit_the_board_takes_most_of_the_volts() -> None:
    assert "killed" not in kinds(probe(dead("weavers-loft"), "sx.IN", "sx.OUT"))


def test_a_dead_soft_starter_starts_nothing() -> None:
    running = off_its_wires()
    probe(running, "sx.IN", "sx.OUT")
    as_built = opening("weavers-loft", 0)[0].conductors
    for tag, conductor in as_built.items():
        for end in ("a", "b"):
            if str(conductor.end(end).on).startswith("sx."):
                do(running, "land", wire=tag, end=end, place=conductor.end(end).on)
    for part in ("indoor", "disconnect"):
        do(running, "close", part=part)
    events = do(running, "thermostat", to="call")
    assert not any(e.kind == "start" and e.data["course"]["outcome"] == "runs" for e in events)
    assert running.bench.unit.electrics.closed["contactor~1"]


def test_to_the_chassis_of_a_unit_without_electronics_it_kills_nothing() -> None:
    assert "killed" not in kinds(probe(dead("larkspur-row"), "contactor.T1", "chassis"))
