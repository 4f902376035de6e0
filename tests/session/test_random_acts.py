"""Random acts on random layouts: no crash, no NaN, energy accounted for, the log replays.

A short run by default; with the outside tools (CONDENSER_BENCH_CI) ten thousand acts.
"""

import json
import math
import os
from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.session.jobs import do, on
from trainer.session.acts import Act, act_from
from trainer.session.events import from_line, to_line
from trainer.session.evolve import fold
from trainer.session.opening import opening
from trainer.session.plain import unit_to_plain
from trainer.unit import world
from trainer.unit.catalogue import type_of
from trainer.unit.layout import layout_names, load_layout
from trainer.unit.state import Unit

LONG = os.environ.get("CONDENSER_BENCH_CI") == "1"
ACTS_EACH = 25
EXAMPLES = 10_000 // ACTS_EACH if LONG else 12
SETTINGS = st.sampled_from(["V ac", "V dc", "ohms", "continuity", "farads", "off", "V ac min max"])
ENDS = st.sampled_from(["a", "b"])
#: What may be missing from the books, of all that was moved, and in joules.
SHARE, LEAST_J = 5e-3, 0.5


@cache
def found(layout: str) -> Unit:
    return opening(layout, 0)[0]


def made(act: str, **fields: st.SearchStrategy) -> st.SearchStrategy[Act]:
    return st.fixed_dictionaries({"act": st.just(act), **fields}).map(act_from)


@cache
def acts_on(layout: str) -> st.SearchStrategy[Act]:
    """Acts with names this layout has, and a few that it has not."""
    unit, site = found(layout), load_layout(layout)
    terminals = [f"{n}.{t}" for n, p in unit.parts.items() for t in type_of(p.type).terminals]
    tabs = [f"{place}:a" for place in terminals[::4]]
    wire_ends = [f"wire:{tag}.a" for tag in list(unit.conductors)[::3]]
    places = st.sampled_from([*terminals, *tabs, *wire_ends, "chassis", "nowhere.X"])
    wires = st.sampled_from([*unit.conductors, "99"])
    parts = st.sampled_from([*unit.parts, "nothing"])
    covers = st.sampled_from([*site.covers, "roof"])
    return st.one_of(
        made("take off", cover=covers),
        made("put back", cover=covers),
        made("open", part=parts),
        made("close", part=parts),
        made("lock", part=parts),
        made("unlock", part=parts),
        made("select", instrument=st.just("meter"), setting=SETTINGS),
        made("select", instrument=st.just("clamp"), setting=st.sampled_from(["A ac", "inrush"])),
        made("measure", red=places, black=places),
        made("scope", one=places, clip=places),
        made("sense", place=places),
        made("clamp", wires=wires),
        made("discharge", a=places, b=places),
        made("touch", place=places, other=places),
        made("short", a=places, b=places),
        made("lift", wire=wires, end=ENDS),
        made("cut", wire=wires, end=ENDS),
        made("strip", wire=wires, end=ENDS, mm=st.sampled_from([3.0, 8.0, 12.0])),
        made("crimp", wire=wires, end=ENDS, tool=st.sampled_from(["ratchet", "pliers"])),
        made("land", wire=wires, end=ENDS, place=places),
        made("land", wire=wires, end=ENDS, place=places),
        made("torque", wire=wires, end=ENDS, nm=st.sampled_from([0.5, 2.5, 9.0])),
        made("tug", wire=wires, end=ENDS),
        made("cap", wire=wires, end=ENDS),
        made("label", wire=wires, end=ENDS, text=st.just("x")),
        made("take wire", wire=st.sampled_from(["91", "92"])),
        made("take out", wire=wires),
        made("take down", part=parts),
        made("photograph", what=parts),
        made("thermostat", to=st.sampled_from(["call", "off"])),
        made("fit", part=parts, type=st.sampled_from(["dual-35-5", "nothing"])),
        made("wait", seconds=st.sampled_from([0.5, 20.0])),
    )


JOBS = st.sampled_from(layout_names()).flatmap(
    lambda name: st.tuples(
        st.just(name), st.lists(acts_on(name), min_size=ACTS_EACH, max_size=ACTS_EACH)
    )
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


def accounted(books: dict[str, float]) -> None:
    """Source energy went into heat, shaft, fields and damping, and none came from nowhere."""
    moved = sum(abs(v) for key, v in books.items() if key != "residual")
    assert abs(books["residual"]) <= SHARE * moved + LEAST_J, books


@pytest.fixture(scope="module", autouse=True)
def books():
    """Every transient that the world runs is kept to its energy."""
    with pytest.MonkeyPatch.context() as patch:
        inner = world.advance

        def watched(*given, **named):
            after = inner(*given, **named)
            for trace in after.traces:
                accounted(trace.energy_j)
            return after

        patch.setattr(world, "advance", watched)
        yield


@settings(
    max_examples=EXAMPLES, deadline=None, derandomize=True, database=None,
    suppress_health_check=list(HealthCheck),
)  # fmt: skip
@given(JOBS)
def test_random_acts(job):
    name, asked = job
    running = on(found(name))
    for cover in load_layout(name).covers:
        do(running, "take off", cover=cover)
    for act in asked:
        if running.bench.over:  # nobody goes on after a touch like that; another one does
            running = on(found(name))
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
