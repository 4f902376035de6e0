"""Every shipped job played the right way and wrong ways; what came of it is written beside each.

The acts of the right way are the job's model acts in scenarios/moves; wrong ways lie in
moves/JOB/wrong-WAY.yaml and what is wanted of each in moves/JOB/wanted.yaml. Every interval there
carries its reason: physics, a table, a rating or a printed value.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.outside import CI, share
from tests.session.once import judged_once
from trainer.base import units
from trainer.base.places import scenarios_dir
from trainer.scenario.load import scenario_names
from trainer.session.acts import load_moves
from trainer.session.attempt import Running, start
from trainer.session.opening import Opening, opening
from trainer.session.text import tell
from trainer.unit.layout import load_layout

HERE = Path(__file__).parent / "moves"
#: Kinds of event that are trouble: a way has exactly as many of each as it says.
TROUBLE = ("refused", "shock", "arc", "harmed")
#: Acts that energise.
STARTING = ("thermostat call", "close", "try start")
WANTED = {path.parent.name: yaml.safe_load(path.read_text()) for path in HERE.glob("*/wanted.yaml")}
WAYS = [(job, way) for job, ways in sorted(WANTED.items()) for way in ways]
#: In every run half of the jobs are played the right way, the others by a wrong one.
JOBS = share(sorted(WANTED), 2)
PLAYED = (
    WAYS
    if CI
    else [
        (job, "right" if job in JOBS else min(set(WANTED[job]) - {"right"}))
        for job in sorted(WANTED)
    ]
)


@pytest.fixture(autouse=True, scope="module")
def quickly() -> Iterator[None]:
    with judged_once():
        yield


@cache
def opened(job: str, seed: int) -> Opening:
    return opening(job, seed)


def moves_of(job: str, way: str) -> Path:
    right = scenarios_dir() / "moves" / f"{job}.yaml"
    return right if way == "right" else HERE / job / f"wrong-{way}.yaml"


@cache
def played(job: str, way: str) -> Running:
    found = opened(job, WANTED[job][way].get("seed", 0))
    running = start(found.unit, None, found.header, found=found.found)
    for act in load_moves(moves_of(job, way)).acts:
        if not running.bench.over:
            running.do(act)
    return running


def shown(running: Running, of: dict[str, Any]) -> list[dict[str, Any]]:
    """What a display showed of one reading, in order of time."""
    wanted = (of["with"], of["setting"], of["at"])
    return [
        row["shown"]
        for row in running.bench.readings
        if (row["instrument"], row["setting"], list(row["leads"].values())) == wanted
    ]


def within(value: float, between: list[Any], unit: str) -> bool:
    """Between two quantities written with their unit; a sign shows only how leads were held."""
    least, most = (units.parse(str(text), unit) for text in between)
    return least <= abs(value) <= most


def events_of(running: Running, kind: str) -> list[Any]:
    return [e.data for e in running.events if e.kind == kind]


def starts(running: Running) -> list[Any]:
    """Every energising from rest; a hum that goes on through a later act is no new one."""
    found, asked = [], ""
    for event in running.events:
        if event.kind == "asked":
            asked = f"{event.data['act']} {event.data.get('to', '')}".strip()
        if event.kind == "start" and asked in STARTING:
            found.append(event.data)
    return found


@pytest.mark.parametrize(("job", "way"), PLAYED)
def test_a_way_comes_to_what_is_wanted(job: str, way: str) -> None:
    running, wanted = played(job, way), WANTED[job][way]
    assert [d["course"]["outcome"] for d in starts(running)] == wanted.get("starts", [])
    judged = [d["figures"]["outcome"] for d in starts(running)]
    assert judged == wanted.get("judged", judged)
    trouble = Counter(e.kind for e in running.events if e.kind in TROUBLE)
    assert dict(trouble) == wanted.get("trouble", {})
    went = [n for d in events_of(running, "electrics") for _, kind, n in d["happenings"]
            if kind == "tripped"]  # fmt: skip
    assert went == wanted.get("tripped", [])
    told = "\n".join(tell(running.events))
    for words in wanted.get("says", []):
        assert words in told
    assert running.bench.ended == wanted.get("ends", "handed over" if way == "right" else "")


@pytest.mark.parametrize(("job", "way"), PLAYED)
def test_a_way_reads_what_physics_gives(job: str, way: str) -> None:
    running, wanted = played(job, way), WANTED[job][way]
    for of in wanted.get("readings", []):
        display = shown(running, of)[of.get("nth", -1)]
        assert of["why"]
        if "shows" in of:
            assert display["text"] == of["shows"], of
        else:
            assert within(display["value"], of["between"], display["unit"]), (of, display["text"])
    for of in wanted.get("figures", []):
        data = starts(running) if of["of"] == "start" else events_of(running, of["of"])
        value = (row := data[of.get("nth", -1)]).get("figures", row)[of["field"]]
        assert of["why"]
        assert of["between"][0] <= abs(value) <= of["between"][1], (of, value)


@pytest.mark.parametrize("job", JOBS)
def test_the_right_way_tests_every_pair_before_it_says_dead(job: str) -> None:
    """Live, dead, live: every pair of the layout between two readings of the known source."""
    bench = played(job, "right").bench
    why = [r["why"] for r in bench.readings]
    volts = [abs(r["shown"]["value"] or 0.0) for r in bench.readings]
    leads = [frozenset(r["leads"].values()) for r in bench.readings]
    tested = {pair for pair, reason in zip(leads, why, strict=True) if reason == "test"}
    assert {frozenset(pair) for pair in load_layout(bench.unit.layout).must_prove} <= tested
    assert why.index("known source") < why.index("test") < why.index("re-prove")
    known = [n for n, reason in enumerate(why) if reason in ("known source", "re-prove")]
    # 208/230 V nameplates, plus and minus ten percent, maker's usual window, from memory; one leg
    # to ground is half of it
    assert all(197.0 <= volts[n] * (2 if "chassis" in leads[n] else 1) <= 253.0 for n in known)
    dead = [v for v, reason in zip(volts, why, strict=True) if reason == "test"]
    # an open contact's 1 Gohm and the meter's 10 Mohm leave a ghost of about a volt
    assert all(v < 2.0 for v in dead)


@pytest.mark.parametrize("job", JOBS)
def test_a_recorded_value_is_one_that_was_read(job: str) -> None:
    read = {e.seq: e.data["shown"]["text"] for e in played(job, "right").events if e.kind == "read"}
    acts = load_moves(moves_of(job, "right")).acts
    cited = [a for a in acts if a.act == "record" and a.reading]
    assert cited
    for record in cited:
        assert record.reading in read
        if record.value[0].isdigit():
            assert record.value == read[record.reading]


def test_every_job_has_a_right_way_and_three_wrong_ones() -> None:
    assert sorted(WANTED) == sorted(scenario_names())
    assert all("right" in ways and len(ways) >= 4 for ways in WANTED.values())


def test_of_every_way_it_is_said_what_it_comes_to() -> None:
    lying = {
        (path.parent.name, path.stem.removeprefix("wrong-")) for path in HERE.glob("*/wrong-*")
    }
    assert lying == {(job, way) for job, way in WAYS if way != "right"}
