"""From study to elements, roles and moves."""

import pytest

from tests.study.text import written
from trainer.circuit.dead import Dead, ohms
from trainer.circuit.phasor import solve
from trainer.parts import PARTS
from trainer.study.build import build, moves
from trainer.study.load import load_study
from trainer.study.model import Study


def study(parts: dict, wires=(), **more) -> Study:
    rows = [{"from": a, "to": b, **rest} for a, b, rest in wires]
    return Study.model_validate({"study": 1, "title": "t", "parts": parts, "wires": rows, **more})


def test_roles_of_a_small_study(tmp_path):
    elements, roles = build(load_study(written(tmp_path)))
    assert dict(roles.watch) == {"supply": "service", "compressor": "comp", "run_capacitor": "can"}
    assert roles.element("compressor", "machine") == "comp"
    assert roles.element("run_capacitor", "capacitor") == "can"
    assert roles.element("relay", "relay") is None
    assert (roles.hz, roles.volts_rms) == (60.0, 240.0)
    assert roles.legs == (elements.node("service.L1"), elements.node("service.L2"))
    assert roles.neutral == elements.node("service.N")
    assert roles.at("compressor", "S") == elements.node("comp.S") == roles.node("comp.S")
    assert roles.node("chassis") == 0
    assert roles.start_capacitor is None and roles.start_contact is None


def test_line_amps_come_out_of_the_first_leg():
    parts = {
        "s": {"kind": "split_phase_service"},
        "r": {"kind": "resistive_load", "power": "1200 W"},
    }
    made, roles = build(study(parts, [("s.L1", "r.1", {}), ("s.N", "r.2", {})]))
    assert roles.line is not None
    ((branch, sign),) = roles.line.amps
    amps = sign * solve(made).amps(branch)
    assert abs(amps) == pytest.approx(10.0, rel=0.01)
    into_load = solve(made).amps("s.L1>r.1")
    assert abs(amps - into_load) < 1e-5  # the same current, the same direction


def test_moves_are_in_order_of_time(tmp_path):
    path = written(
        tmp_path, ("  - {at: 100 ms, close: ds}", "  - {at: 1 s, open: ds}\n  - {close: ds}")
    )
    assert [tuple(move) for move in moves(load_study(path))] == [
        (0.0, "ds~1", True),
        (0.0, "ds~2", True),
        (1.0, "ds~1", False),
        (1.0, "ds~2", False),
    ]


def test_two_wires_between_the_same_terminals_are_two():
    parts = {"a": {"kind": "disconnect"}, "b": {"kind": "disconnect"}}
    wire = ("a.L1", "b.L1", {"ohms": "1 ohm"})
    elements, roles = build(study(parts, [wire, wire]))
    assert roles.wires == ("a.L1>b.L1", "a.L1>b.L1#2")
    between = ohms(Dead(elements), elements.node("a.L1"), elements.node("b.L1")).value
    assert between == pytest.approx(0.5 + 0.2, abs=0.06)  # 0.2 ohm of leads


def test_loose_wire_drops_volts():
    parts = {
        "s": {"kind": "split_phase_service"},
        "r": {"kind": "resistive_load", "power": "1200 W"},
    }
    wires = [("s.L1", "r.1", {"workmanship": "loose"}), ("s.N", "r.2", {})]
    elements, _ = build(study(parts, wires))
    assert solve(elements).power("s.L1>r.1") == pytest.approx(10.0**2 * 0.1, rel=0.05)


def test_every_terminal_has_its_node_even_alone():
    elements, roles = build(study({"pr": {"kind": "potential_relay"}}))
    assert set(roles.nodes) == {f"pr.{t}" for t in "52146"}
    assert elements.has_node("pr.4")


def test_start_gear_is_found_wherever_it_sits():
    box = {"kind": "timed_starter", "capacitance": "88 uF"}
    assert build(study({"tx": box}))[1].start_capacitor == "tx~capacitor"
    soft = {"kind": "soft_starter"}
    found = build(study({"sx": soft}))[1]
    assert (found.start_capacitor, found.start_contact) == ("sx~boost", "sx~boost-contact")
    alone = {"pr": {"kind": "potential_relay"}, "sc": {**box, "kind": "start_capacitor"}}
    found = build(study(alone))[1]
    assert (found.start_capacitor, found.start_contact) == ("sc", "pr~contact")


def test_watch_decides_between_two():
    parts = {
        "utility": {"kind": "split_phase_service"},
        "gen": {"kind": "generator", "volts": "230 V"},
    }
    _, roles = build(study(parts, watch={"supply": "gen"}))
    assert (roles.watch["supply"], roles.volts_rms) == ("gen", 230.0)


LEAST = {
    "breaker": {"rating": "20 A"},
    "fuse": {"rating": "20 A"},
    "resistive_load": {"power": "60 W"},
    "compressor": {"machine": "anchor"},
    "run_capacitor": {"capacitance": "35 uF"},
    "dual_capacitor": {"herm": "35 uF", "fan": "5 uF"},
    "start_capacitor": {"capacitance": "98 uF"},
    "current_relay": {"pickup": "20 A", "dropout": "12 A"},
    "timed_starter": {"capacitance": "88 uF"},
}


@pytest.mark.parametrize("kind", PARTS)
def test_every_kind_writes_what_it_promises(kind):
    """Names are unique, moves and marks name what is there, an idle circuit has an answer."""
    one = study({"p": {"kind": kind, **LEAST.get(kind, {})}})
    elements, roles = build(one)
    part = one.parts["p"]
    assert part.kind == kind
    switches = {s.name for s in elements.switches}
    assert {c for moves in part.hand("p").values() for c, _ in moves} <= switches
    rows = [
        *elements.resistors, *elements.switches, *elements.inductives, *elements.capacitives,
        *elements.sources,
    ]  # fmt: skip
    names = [x.name for x in rows]
    assert len(names) == len(set(names))
    known = {*names, *(m.name for m in elements.machines), *(d.name for d in elements.devices)}
    assert set(roles.marks["p"].values()) <= known
    assert all(x.part == "p" for x in rows if hasattr(x, "part"))
    assert all(abs(v) < 1e3 for v in solve(elements).node_volts)


@pytest.mark.parametrize("kind", PARTS)
def test_every_kind_says_what_it_is(kind):
    assert PARTS[kind].role
    assert PARTS[kind].__doc__
