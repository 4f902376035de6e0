"""Random acts never crash, give no NaN, and the log replays to the same bench."""

import json
import math

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.session.jobs import do, on, plain
from trainer.session.acts import Act, act_from
from trainer.session.events import from_line, to_line
from trainer.session.evolve import fold
from trainer.session.plain import unit_to_plain

UNIT = plain()
PLACES = st.sampled_from([
    "contactor.L1", "contactor.T1", "contactor.T2", "contactor.A1", "can.C", "can.H", "can.F",
    "comp.C", "comp.S", "comp.R", "disconnect.L1", "disconnect.T1", "lug.1", "chassis",
    "wire:7.a", "nowhere.X", "contactor.T1:a",
])  # fmt: skip
WIRES = st.sampled_from(["1", "4", "5", "6", "7", "8", "10", "11", "3", "99"])
ENDS = st.sampled_from(["a", "b"])
PARTS = st.sampled_from(["disconnect", "breaker", "indoor", "contactor", "can", "nothing"])
COVERS = st.sampled_from(["control-panel", "disconnect-front", "terminal-cap", "roof"])
SETTINGS = st.sampled_from(["V ac", "V dc", "ohms", "continuity", "farads", "off"])


def made(act: str, **fields):
    return st.fixed_dictionaries({"act": st.just(act), **fields}).map(act_from)


CHEAP: st.SearchStrategy[Act] = st.one_of(
    made("take off", cover=COVERS),
    made("take off", cover=COVERS),
    made("put back", cover=COVERS),
    made("open", part=PARTS),
    made("close", part=PARTS),
    made("lock", part=PARTS),
    made("unlock", part=PARTS),
    made("select", instrument=st.just("meter"), setting=SETTINGS),
    made("measure", red=PLACES, black=PLACES),
    made("sense", place=PLACES),
    made("clamp", wires=WIRES),
    made("discharge", a=PLACES, b=PLACES),
    made("touch", place=PLACES, other=PLACES),
    made("short", a=PLACES, b=PLACES),
    made("lift", wire=WIRES, end=ENDS),
    made("cut", wire=WIRES, end=ENDS),
    made("strip", wire=WIRES, end=ENDS, mm=st.sampled_from([3.0, 8.0, 12.0])),
    made("crimp", wire=WIRES, end=ENDS, tool=st.sampled_from(["ratchet", "pliers"])),
    made("land", wire=WIRES, end=ENDS, place=PLACES),
    made("torque", wire=WIRES, end=ENDS, nm=st.sampled_from([0.5, 2.5, 9.0])),
    made("tug", wire=WIRES, end=ENDS),
    made("cap", wire=WIRES, end=ENDS),
    made("label", wire=WIRES, end=ENDS, text=st.just("x")),
    made("thermostat", to=st.sampled_from(["call", "off"])),
    made("fit", part=PARTS, type=st.sampled_from(["dual-35-5", "nothing"])),
    made("wait", seconds=st.sampled_from([0.5, 20.0])),
)


def no_nan(data) -> None:
    if isinstance(data, dict):
        for value in data.values():
            no_nan(value)
    elif isinstance(data, list | tuple):
        for value in data:
            no_nan(value)
    elif isinstance(data, float):
        assert not math.isnan(data)


@settings(
    max_examples=10, deadline=None, derandomize=True, database=None,
    suppress_health_check=list(HealthCheck),
)  # fmt: skip
@given(st.lists(CHEAP, min_size=20, max_size=30))
def test_random_acts(asked):
    running = on(UNIT)
    for cover in ("control-panel", "disconnect-front", "terminal-cap"):
        do(running, "take off", cover=cover)
    for act in asked:
        events = running.do(act)
        assert events[-1].kind == "done"
        for event in events:
            no_nan(event.data)
    lines = [to_line(e) for e in running.events]
    again = fold(from_line(line) for line in lines)
    assert again.at_ms == running.bench.at_ms
    assert unit_to_plain(again.unit) == unit_to_plain(running.bench.unit)
    assert json.dumps([dict(r) for r in again.readings]) == json.dumps(
        [dict(r) for r in running.bench.readings]
    )
