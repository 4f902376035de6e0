"""Attempts written by hand, act by act, without a circuit: what a meter shows is said here.

A ``Script`` keeps just enough of a unit (contacts, ends, covers) to write the events that a bench
would write. Values are invented: 240 V where a closed source reaches, 0 V elsewhere.
"""

from __future__ import annotations

import copy
from collections.abc import Callable
from functools import cache
from typing import Any

from trainer.assess.finding_rubric import load_rubric, rubrics_dir
from trainer.assess.loading import job_for
from trainer.assess.marking import Marked, mark_attempt
from trainer.assess.rubric import Rubric
from trainer.session.attempt import begin
from trainer.session.events import Event
from trainer.session.log import Attempt
from trainer.session.opening import opening

JOB = "hum-and-no-turn"
CLEAN = {
    "outcome": "clean", "also": ["clean"], "over_torque": False, "over_torque_ratio": None,
    "peak_line_a": 120.0, "time_to_90pct_s": 0.3, "run_line_rms_a": 12.0, "recloses": 0,
    "max_cycle_rms_line_a": 80.0, "trips": [], "sag_pct": {"leg_to_leg": 2.0},
}  # fmt: skip


@cache
def beginning(job: str, seed: int) -> tuple[dict[str, Any], Event]:
    """The header and first event of a job."""
    opened = opening(job, seed)
    found = {k: v for k, v in opened.found.items() if k != "reference"}
    return dict(opened.header), begin(opened.unit, found=found)


class Script:
    """Writes an attempt."""

    def __init__(self, job: str = JOB, seed: int = 0, **found: Any) -> None:
        header, first = beginning(job, seed)
        data = copy.deepcopy(dict(first.data))
        data["found"].update(found)
        self.header, self.job = header, job
        self.events: list[Event] = [Event(1, 0, "begun", data)]
        self.at_ms = 0
        self.wires = {c["tag"]: c for c in data["unit"]["conductors"]}
        self.closed = dict(data["unit"]["electrics"]["closed"])
        self.setting = ("meter", "V ac")
        self.hums: list[str] = []
        self.moving = False

    # -- events ----------------------------------------------------------------------------

    def emit(self, kind: str, /, **data: Any) -> Event:
        event = Event(len(self.events) + 1, self.at_ms, kind, data)
        self.events.append(event)
        return event

    def act(self, name: str, /, *more: Callable[[], Any], ms: int = 5000, **fields: Any) -> Script:
        """An act with the events that it gives."""
        self.emit("asked", act=name, **fields)
        self.at_ms += ms
        for write in more:
            write()
        self.emit("done")
        return self

    def refused(self, name: str, /, **fields: Any) -> Script:
        return self.act(name, lambda: self.emit("refused", why="No."), **fields)

    def _electrics(self) -> None:
        self.emit(
            "electrics", state={"closed": dict(self.closed)}, moving=self.moving, charged=False,
            hums=list(self.hums), happenings=[], hands={}, slow={}, settled=False,
            unit_ms=self.at_ms,
        )  # fmt: skip

    def _contacts(self, part: str, closed: bool) -> None:
        for name in self.closed:
            if name.startswith(f"{part}~") and name not in ("indoor~Y", "indoor~O", "indoor~W"):
                self.closed[name] = closed
        self._electrics()

    # -- acts with what they do --------------------------------------------------------------

    def open(self, part: str) -> Script:
        return self.act("open", lambda: self._contacts(part, False), part=part)

    def close(self, part: str) -> Script:
        return self.act("close", lambda: self._contacts(part, True), part=part)

    def lock(self, part: str = "disconnect", tag: bool = True) -> Script:
        self.act("lock", lambda: self.emit("locked", part=part, owner="learner"), part=part)
        if tag:
            self.act(
                "tag", lambda: self.emit("tagged", part=part, text="mine"), part=part, text="mine"
            )
        return self

    def unlock(self, part: str = "disconnect") -> Script:
        return self.act("unlock", lambda: self.emit("unlocked", part=part), part=part, by="key")

    def select(self, instrument: str, setting: str) -> Script:
        self.setting = (instrument, setting)
        return self.act(
            "select", lambda: self.emit("selected", instrument=instrument, setting=setting),
            instrument=instrument, setting=setting,
        )  # fmt: skip

    def read(
        self, red: str, black: str, value: float | None = None, unit: str = "V", why: str = "",
        text: str = "",
    ) -> int:  # fmt: skip
        """A reading; without a value the volts that a closed or open source gives. Its number."""
        instrument, setting = self.setting
        shown = self._volts(red, black) if value is None and unit == "V" else value
        words = text or ("OL" if shown is None else f"{shown:g} {unit}")
        seqs: list[int] = []

        def write() -> None:
            data = {"text": words, "value": shown, "unit": unit, "note": "", "harm": ""}
            leads = {"red": red, "black": black}
            event = self.emit(
                "read", instrument=instrument, setting=setting, leads=leads, shown=data, why=why
            )
            seqs.append(event.seq)

        self.act("measure", write, red=red, black=black, why=why)
        return seqs[0]

    def clamp(self, wires: str, value: float, text: str = "") -> int:
        seqs: list[int] = []

        def write() -> None:
            self.emit("jaws", jaws=wires)
            shown = {
                "text": text or f"{value:g} A",
                "value": value,
                "unit": "A",
                "note": "",
                "harm": "",
            }
            setting = self.setting[1] if self.setting[0] == "clamp" else "A ac"
            event = self.emit(
                "read",
                instrument="clamp",
                setting=setting,
                leads={"jaws": wires},
                shown=shown,
                why="",
            )
            seqs.append(event.seq)

        self.act("clamp", write, wires=wires)
        return seqs[0]

    def _volts(self, red: str, black: str) -> float:
        if self.setting[1] == "V dc":
            return 0.0
        live = {"disconnect.L1", "disconnect.L2"}
        fed = self.closed.get("disconnect~1", False)
        reached = {red, black} & live or (fed and {red, black} != {"contactor.A1", "contactor.A2"})
        if not reached:
            return 0.0
        return 120.0 if {red, black} & {"chassis", "disconnect.PE", "lug.1"} else 240.0

    def end(self, name: str, /, wire: str, end: str, ms: int = 5000, **changed: Any) -> Script:
        """An act on an end of a wire that changes facts of it; other fields belong to the act."""
        facts = {k: changed.pop(k) for k in list(changed) if k in self.wires[wire][end]}
        made = {**self.wires[wire], end: {**self.wires[wire][end], **facts}}
        self.wires[wire] = made
        return self.act(
            name,
            lambda: self.emit("conductor", conductor=made),
            ms=ms,
            wire=wire,
            end=end,
            **changed,
        )

    def lift(self, wire: str, end: str, by: str = "terminal") -> Script:
        return self.end("lift", wire, end, on=None, torque_nm=None, by=by)

    def land(self, wire: str, end: str, place: str, **facts: Any) -> Script:
        more = {"seated": 1.0, "tug": "no", "capped": False, "parked": False, **facts}
        return self.end("land", wire, end, on=place, place=place, push="fully", **more)

    def tug(self, wire: str, end: str) -> Script:
        return self.end("tug", wire, end, tug="held")

    def label(self, wire: str, end: str) -> Script:
        return self.end("label", wire, end, label="x", text="x")

    def cover(self, name: str, off: bool) -> Script:
        verb = "take off" if off else "put back"
        return self.act(verb, lambda: self.emit("cover", cover=name, off=off), cover=name)

    def tell(self, who: str) -> Script:
        return self.act("tell", lambda: self.emit("told", who=who), who=who)

    def source(self, name: str) -> Script:
        return self.act("list source", lambda: self.emit("source", name=name), name=name)

    def ppe(self, *items: str) -> Script:
        return self.act("put on", lambda: self.emit("ppe", items=list(items)), items=list(items))

    def stand(self, where: str) -> Script:
        return self.act("stand", lambda: self.emit("stance", stance=where), where=where)

    def did(self, name: str, /, **fields: Any) -> Script:
        return self.act(name, lambda: self.emit("did", what=name, to=""), **fields)

    def touch(self, place: str = "contactor.T1", *more: Callable[[], Any]) -> Script:
        return self.act("touch", *more, place=place, other="chassis")

    def record(self, what: str, value: str, reading: int = 0, verdict: str = "") -> Script:
        return self.did("record", what=what, value=value, reading=reading, verdict=verdict)

    def name_fault(self, fault: str, *evidence: int, meanings: tuple[str, ...] = ()) -> Script:
        return self.did("name fault", fault=fault, evidence=list(evidence), meanings=list(meanings))

    def call(self, ms: int = 3000, **figures: Any) -> Script:
        """A call that starts the compressor."""

        def start() -> None:
            self.moving = True
            self._electrics()
            course = {"outcome": "runs", "peak_a": 100.0, "to_speed_ms": 300, "tripped": []}
            figured = {**CLEAN, **figures}
            self.emit("start", course=course, began_ms=0, figures=figured, sensitive=False)

        return self.act("thermostat", start, to="call", part="indoor", ms=ms)

    def uncall(self, ms: int = 5000) -> Script:
        def stop() -> None:
            self.moving = False
            self._electrics()

        return self.act("thermostat", stop, to="off", part="indoor", ms=ms)

    def hand_over(self) -> Script:
        return self.act("hand over", lambda: self.emit("over", why="handed over"), words="done")

    # -- the mark ------------------------------------------------------------------------------

    @property
    def attempt(self) -> Attempt:
        return Attempt({**self.header, "learner": "learner", "mode": "moves"}, tuple(self.events))

    def marked(self, rubric: Rubric | str = "standard") -> Marked:
        found = load_rubric(rubrics_dir() / f"{rubric}.yaml") if isinstance(rubric, str) else rubric
        return mark_attempt(self.attempt, job_for(self.job, int(self.header["seed"])), found)


# -- a whole job, piece by piece ----------------------------------------------------------------

PAIRS = [
    ("contactor.L1", "contactor.L2"), ("contactor.L1", "chassis"), ("contactor.L2", "chassis"),
    ("contactor.T1", "contactor.T2"), ("contactor.T1", "chassis"), ("contactor.T2", "chassis"),
]  # fmt: skip
KNOWN = ("disconnect.L1", "disconnect.L2")


def known(s: Script) -> None:
    s.select("meter", "V ac")
    s.read(*KNOWN, why="known source")
    s.read("disconnect.L1", "chassis", why="known source")


def dead_tests(s: Script) -> None:
    s.select("meter", "V ac")
    for pair in PAIRS:
        s.read(*pair, why="test")


def empties(s: Script) -> None:
    s.select("meter", "V dc")
    s.read("can.C", "can.H")
    s.read("can.C", "can.F")


def discharges(s: Script) -> None:
    for other in ("can.H", "can.F"):
        s.did("discharge", a="can.C", b=other, seconds=10.0)


def control(s: Script) -> None:
    s.select("meter", "V ac")
    s.read("contactor.A1", "contactor.A2")


def ground(s: Script) -> None:
    s.select("meter", "continuity")
    s.read("chassis", "disconnect.PE", 0.2, "ohm")


def again(s: Script) -> None:
    s.select("meter", "V ac")
    s.read(*KNOWN, why="re-prove")


def work(s: Script) -> None:
    s.label("6", "b").lift("6", "b").land("6", "b", "can.C").tug("6", "b")


def covers_on(s: Script) -> None:
    s.cover("control-panel", False)


def cap_on(s: Script) -> None:
    s.cover("terminal-cap", False)


#: A careful job in pieces, in an order; the name is the step that a piece shows.
PIECES: list[tuple[str, Callable[[Script], Any]]] = [
    ("P01", lambda s: s.did("read", what="job sheet", at="")),
    ("P02", lambda s: s.did("read", what="nameplate", at="")),
    ("PPE", lambda s: s.ppe("safety glasses", "insulating gloves")),
    ("LEADS", lambda s: s.did("inspect leads", instrument="meter")),
    ("P04", lambda s: s.source("branch circuit").source("24 V from indoors")),
    ("P05", lambda s: s.tell("people here")),
    ("P06", lambda s: s.did("set zone")),
    ("P09", lambda s: s.open("disconnect")),
    ("P11", lambda s: s.did("look", at="disconnect")),
    ("P12", lambda s: s.lock()),
    ("P13", lambda s: s.did("try start", part="indoor")),
    ("P10", lambda s: s.open("indoor")),
    ("P14", lambda s: s.cover("control-panel", True)),
    ("cap off", lambda s: s.cover("terminal-cap", True)),
    ("P15", known),
    ("P16", dead_tests),
    ("P17", control),
    ("P18", discharges),
    ("P19", empties),
    ("P20", again),
    ("P21", lambda s: s.act("declare dead", lambda: s.emit("declared"))),
    ("P22", lambda s: s.did("photograph", what="can")),
    ("WORK", work),
    ("P34", ground),
    ("P35", lambda s: s.did("second look")),
    ("P38", covers_on),
    ("P36", cap_on),
    ("P39", lambda s: s.tell("everybody").did("look", at="unit")),
    ("unlock", lambda s: s.unlock()),
    ("P10 back", lambda s: s.close("indoor")),
    ("P41", lambda s: s.stand("aside")),
    ("RESTORE", lambda s: s.close("disconnect")),
    ("START", lambda s: s.call().uncall()),
    ("P55", lambda s: s.did("clean up")),
    ("SIGN", lambda s: s.did("sign off")),
    ("P54", lambda s: s.hand_over()),
]


def scripted(
    without: tuple[str, ...] = (), upto: str = "", order: list[str] | None = None, job: str = JOB,
    **instead: Callable[[Script], Any],
) -> Script:  # fmt: skip
    """The careful job without some pieces, up to one, in another order, or with others instead."""
    script, by_name = Script(job), dict(PIECES)
    for name in order or [name for name, _ in PIECES]:
        if name == upto:
            break
        if name not in without:
            instead.get(name.replace(" ", "_"), by_name[name])(script)
    return script


def findings(marked: Marked) -> dict[str, Any]:
    """Every finding by its rule."""
    return {f.rule: f for d in marked.mark.domains for f in d.findings}
