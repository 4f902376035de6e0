"""Parts put in and taken out, conductors off the reel, photographs, hints, the diagram in words."""

import pytest

from tests.session.jobs import do, kinds, of_kind, on, plain
from trainer.session.attempt import Running, start
from trainer.session.diagram import diagram
from trainer.unit.layout import load_layout
from trainer.unit.world import at_rest

TRAY = {
    "pr": {"type": "potential-relay-C", "where": "unit", "set": {}},
    "sc": {"type": "start-88-108", "where": "unit", "set": {}},
}


def job(**found: object) -> Running:
    running = start(plain(), None, {}, found={"tray": TRAY, **found})
    do(running, "open", part="disconnect")
    do(running, "take off", cover="control-panel")
    return running


def why(running: Running, act: str, **fields: object) -> str:
    return str(of_kind(do(running, act, **fields), "refused")["why"])


def test_a_part_comes_from_the_tray() -> None:
    running = job()
    assert "part" in kinds(do(running, "mount", part="pr"))
    assert running.bench.unit.parts["pr"].type == "potential-relay-C"
    assert "no horn" in why(running, "mount", part="horn")


def test_only_what_lies_ready_is_fitted() -> None:
    running = job()
    for wire, end in (("6", "b"), ("7", "a"), ("10", "a")):
        do(running, "lift", wire=wire, end=end)
    assert "tray" in why(running, "fit", part="can", type="dual-40-5")


def test_a_conductor_off_the_reel_is_stripped_crimped_and_landed() -> None:
    running = job()
    do(running, "mount", part="sc")
    do(running, "take wire", wire="21", gauge="14 AWG", colour="BU", length="0.5 m")
    assert "bare copper" in why(running, "crimp", wire="21", end="a")
    for act in ("strip", "crimp"):
        do(running, act, wire="21", end="a")
    do(running, "land", wire="21", end="a", place="sc.1")
    assert running.bench.unit.conductors["21"].a.on == "sc.1"
    assert "sc.1" in why(running, "take out", wire="21")
    do(running, "lift", wire="21", end="a")
    do(running, "take out", wire="21")
    assert "21" not in running.bench.unit.conductors


def test_a_part_comes_out_when_its_wires_are_off() -> None:
    running = job()
    do(running, "mount", part="sc")
    assert "part out" in kinds(do(running, "take down", part="sc"))
    assert "sc" not in running.bench.unit.parts
    assert "still on can" in why(running, "take down", part="can")


def test_a_photograph_shows_what_was() -> None:
    running = job()
    do(running, "photograph", what="can")
    do(running, "lift", wire="7", end="a")
    seen = of_kind(do(running, "see photograph", what="can"), "seen")["text"]
    assert "wire 7 a" in seen
    assert "no photograph" in why(running, "see photograph", what="fan")


def test_hints_only_where_the_job_gives_them() -> None:
    assert "nobody to ask" in why(job(), "hint", tier=1)
    given = of_kind(do(job(hints=["a", "b", "c"]), "hint", tier=2), "hint")
    assert given == {"tier": 2, "text": "b"}


@pytest.mark.parametrize(
    ("state", "has", "lacks"),
    [
        ("clean", "contactor.T1:a - comp.C  wire 4", "under dirt"),
        ("older", "contactor.T1:a - comp.C", "wire 4"),
        ("missing", "no diagram", "comp.C"),
        ("dirty", "(under dirt)", "older"),
    ],
)
def test_what_can_be_read_of_the_diagram(state: str, has: str, lacks: str) -> None:
    text = diagram(load_layout("larkspur-row"), state)
    assert has in text
    assert lacks not in text


def test_a_unit_handed_over_dead_carries_ones_own_lock() -> None:
    running = start(plain(), None, {}, found={"declared": True, "locks": {"disconnect": "learner"}})
    assert running.bench.declared
    assert "lock is on it" in why(running, "close", part="disconnect")
    assert "unlocked" in kinds(do(running, "unlock", part="disconnect"))


def test_the_ladder_can_be_read_as_the_sheet_is() -> None:
    running = start(plain(), None, {}, found={"diagram": "older"})
    said = " ".join(str(e.data) for e in do(running, "read", what="ladder"))
    assert "older revision" in said and "comp C to R, run winding" in said


def test_a_moulded_plug_stays_on_and_shows_nothing() -> None:
    # it is part of its leads: whoever pulls it has no pins with leads on them to look at
    running = on(at_rest(load_layout("quillby-bench"), "quillby-bench"))
    assert "moulded onto its leads" in why(running, "take off", cover="moulded-plug")
    assert "moulded-plug" not in running.bench.unit.covers_off
    for act in ({"act": "look", "at": "comp"}, {"act": "read", "what": "marking", "at": "comp.C"}):
        assert "moulded-plug" in why(running, **act)
