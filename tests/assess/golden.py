"""Golden attempts: each shipped job done right, in another legal order, and wrong in several ways.

A way is a small change of the job's model acts, so that it stays beside them. ``python -m
tests.assess.golden --write [JOB ...]`` plays every way anew and stores the attempt and what is
said of it. Jobs, places and numbers of conductors are of invented units.
"""

from __future__ import annotations

import gzip
import json
import re
import sys
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from tests.assess.ways import Step
from tests.assess.ways_of_jobs import WAYS
from tests.session.once import judged_once
from trainer.assess.finding_rubric import rubric_for
from trainer.assess.loading import job_for
from trainer.assess.marking import Marked, mark_attempt
from trainer.base.places import scenarios_dir
from trainer.report.page import debrief
from trainer.report.shelf import offers
from trainer.report.text import lines_of
from trainer.session.acts import act_from
from trainer.session.attempt import start
from trainer.session.events import Event, from_line, to_line
from trainer.session.log import Attempt
from trainer.session.opening import opening

HERE = Path(__file__).parent / "goldens"
#: The digest of a rubric, which any change of its wording changes.
_DIGEST = re.compile(r", [0-9a-f]{12}$", re.M)
GOLDENS = [(job, way) for job, ways in sorted(WAYS.items()) for way in ways]


def said(marked: Marked) -> str:
    """The whole text of a debrief as it is compared, without the digest of its rubric."""
    page = debrief(marked.mark, marked.attempt, marked.scenario, offers())
    return _DIGEST.sub(", DIGEST", "\n".join(lines_of(page, every=True))) + "\n"


def told_again() -> None:
    """Every text written anew from the stored attempts."""
    for job, way in GOLDENS:
        text = said(marked(job, stored(job, way)))
        (HERE / job / f"{way}.txt").write_text(text, encoding="utf-8")


def marked(job: str, attempt: Attempt) -> Marked:
    found = job_for(job, int(attempt.header["seed"]))
    return mark_attempt(attempt, found, rubric_for(found.scenario, job))


def stored(job: str, way: str) -> Attempt:
    with gzip.open(HERE / job / f"{way}.jsonl.gz", "rt", encoding="ascii") as file:
        header, *lines = file.read().splitlines()
    return Attempt(json.loads(header), tuple(from_line(line) for line in lines))


def text_of(job: str, way: str) -> str:
    return (HERE / job / f"{way}.txt").read_text(encoding="utf-8")


def write(job: str, way: str) -> None:
    attempt = played(job, way)
    folder = HERE / job
    folder.mkdir(parents=True, exist_ok=True)
    lines = [json.dumps(dict(attempt.header)), *(to_line(e) for e in attempt.events)]
    data = gzip.compress("\n".join(lines).encode("ascii"), 9, mtime=0)
    (folder / f"{way}.jsonl.gz").write_bytes(data)
    (folder / f"{way}.txt").write_text(said(marked(job, attempt)), encoding="utf-8")


def played(job: str, way: str) -> Attempt:
    """The attempt of a way, done on the bench. An act that is refused is part of it."""
    with judged_once():
        return _play(job, WAYS[job][way]([step.copy() for step in model(job)]))


@cache
def model(job: str) -> tuple[Step, ...]:
    """The model acts, with the steps that they cite instead of numbers of events."""
    file = scenarios_dir() / "moves" / f"{job}.yaml"
    acts = yaml.safe_load(file.read_text(encoding="utf-8"))["acts"]
    steps = [Step(dict(act), name=n) for n, act in enumerate(acts)]
    with judged_once():
        shown = _readings(_play(job, steps, numbered=True).events)
    for step in steps:
        cited = step.act.get("evidence") or [step.act[k] for k in ("reading",) if k in step.act]
        step.cites = [shown[number][0] for number in cited]
        step.shows = bool(cited) and step.act.get("value") == shown[cited[0]][1]
    return tuple(steps)


def _readings(events: tuple[Event, ...]) -> dict[int, tuple[int, str]]:
    """Number of a reading's event -> which act it was, and the display."""
    found, act = {}, -1
    for event in events:
        act += event.kind == "asked"
        if event.kind == "read":
            found[event.seq] = (act, event.data["shown"]["text"])
    return found


def _play(job: str, steps: list[Step], numbered: bool = False) -> Attempt:
    opened = opening(job, 0)
    running = start(opened.unit, None, opened.header, found=opened.found)
    read: dict[int, tuple[int, str]] = {}
    for step in steps:
        if running.bench.over:
            break
        act = dict(step.act) if numbered else _citing(step, read)
        if act is None:
            continue
        events = running.do(act_from(act))
        for event in events:
            if event.kind == "read":
                read[step.name] = (event.seq, event.data["shown"]["text"])
    return Attempt(opened.header, tuple(running.events))


def _citing(step: Step, read: dict[int, tuple[int, str]]) -> dict[str, Any] | None:
    """The act with this attempt's numbers; None for a value whose reading was not taken."""
    here = [read[name] for name in step.cites if name in read]
    act = dict(step.act)
    if act["act"] == "record" and step.cites:
        if not here:
            return None
        act["reading"] = here[0][0]
        act["value"] = here[0][1] if step.shows else act["value"]
    elif act["act"] == "name fault":
        act["evidence"] = [number for number, _ in here]
    return act


def main(arguments: list[str]) -> None:
    if arguments == ["--texts"]:
        told_again()
        return
    if "--write" not in arguments:
        sys.exit("python -m tests.assess.golden --texts | --write [JOB ...] [JOB/WAY ...]")
    wanted = [a for a in arguments if a != "--write"]
    for job, way in GOLDENS:
        if not wanted or job in wanted or f"{job}/{way}" in wanted:
            write(job, way)
            print(job, way, text_of(job, way).splitlines()[1], flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
