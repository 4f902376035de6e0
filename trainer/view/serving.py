"""What the worker does for the window: runs attempts, marks them, tells what could come next.

Requests and answers are plain data, one at a time. All physics, reading and marking happen here,
in another process than the window's. Knows the session and the assessor; must know no screen.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from trainer.base.errors import TrainerError
from trainer.session.acts import act_from
from trainer.session.attempt import Running, complete, resume, start
from trainer.session.events import Event, to_line
from trainer.session.log import Log, cut_back, read
from trainer.session.opening import opening
from trainer.session.sealing import lock_in
from trainer.view.language import speaking, spoken

Data = dict[str, Any]


#: A graded attempt that a person set for himself.
SELF_GRADED = "self-graded"


class Serving:
    """One person's worker: at most one attempt under way."""

    def __init__(self) -> None:
        self.running: Running | None = None
        self.header: Mapping[str, Any] = {}
        self.path: Path | None = None
        self.bay: Any = None
        self.assigned: Any = None
        self.language = spoken()

    def answer(self, request: Mapping[str, Any]) -> Data:
        """What comes of a request; what went wrong is told in a sentence, never raised."""
        self.language = str(request.get("language", self.language))
        with speaking(self.language):
            return self._answer(request)

    def _answer(self, request: Mapping[str, Any]) -> Data:
        ask = ASKS.get(str(request.get("ask")))
        if ask is None:
            return {"error": f"there is no request {request.get('ask')}"}
        try:
            return ask(self, request)
        except TrainerError as error:
            return {"error": str(error)}
        except OSError as error:
            return {"error": f"{error.strerror or error}: {error.filename or 'a file'}"}
        except ValidationError as error:
            first = error.errors(include_url=False)[0]
            where = " ".join(str(x) for x in first["loc"])
            return {"error": f"{where}: {first['msg']}"}

    def begin(self, request: Mapping[str, Any]) -> Data:
        name, mode = str(request["name"]), str(request.get("mode", "practice"))
        graded = mode == "graded"
        unit, header, found = opening(name, int(request.get("seed", 0)), graded)
        if graded:
            found = {**found, "hints": _allowed(name, found)}
        found = {**found, "accommodation": float(request.get("accommodation", 1.0))}
        path = Path(request["path"]) if request.get("path") else None
        # nobody set this one: it is no instructor's graded attempt and tests no level out
        header = {**header, "mode": SELF_GRADED if graded else mode}
        if path is not None:
            path.parent.mkdir(parents=True, exist_ok=True)
        self.close()
        self.running = start(unit, path, header, str(request.get("who", "learner")), found)
        self.header, self.path = header, path
        return self._whole()

    def resume(self, request: Mapping[str, Any]) -> Data:
        path = Path(request["path"])
        resumed = resume(path)
        self.close()
        self.running, self.header, self.path = resumed.running, resumed.header, path
        return {**self._whole(), "lost": resumed.lost}

    def close(self) -> None:
        if self.running is not None and self.running.log is not None:
            self.running.log.close()
        self.running = None

    def _whole(self) -> Data:
        assert self.running is not None
        return {
            "header": dict(self.header), "events": rows(self.running.events),
            "job": job_told(str(self.header["scenario"]), int(self.header["seed"])),
        }  # fmt: skip

    def do(self, request: Mapping[str, Any]) -> Data:
        from trainer.view.slips import slip_of

        running = self._on()
        before = len(running.events)
        running.do(act_from(dict(request["act"])))
        events = running.events[before:]  # with what was asked, as the file and a resume have it
        if self.path is not None and request.get("wall"):
            with open(f"{self.path}.wall", "a", encoding="ascii") as target:
                target.write(f"{events[-1].seq} {request['wall']}\n")
        slip = slip_of(self.header, running.events, before) if self._practises() else None
        return {"events": rows(events), "slip": slip}

    def _practises(self) -> bool:
        return self.header.get("mode", "practice") == "practice"

    def card(self, request: Mapping[str, Any]) -> Data:
        from trainer.view.cards import card_of

        return {"card": card_of(str(request["name"]))}

    def put_away(self, request: Mapping[str, Any]) -> Data:
        self.close()
        if self.assigned is not None:
            self.assigned.up(request)
        return {}

    def take(self, request: Mapping[str, Any]) -> Data:
        return dict(self._assignments().take(request))

    def sit(self, request: Mapping[str, Any]) -> Data:
        """A graded attempt at an assignment, begun or gone on with."""
        self.close()
        sat = self._assignments().sit(request)
        self.running, self.header, self.path = sat.running, sat.header, sat.path
        job = self._assignments().told()
        told = {"header": dict(self.header), "events": rows(sat.running.events), "job": job}
        return {**told, "lost": sat.lost, "path": str(sat.path)}

    def seal(self, request: Mapping[str, Any]) -> Data:
        self.close()
        return dict(self._assignments().seal(request))

    def give(self, request: Mapping[str, Any]) -> Data:
        return dict(self._assignments().give(request))

    def receive(self, request: Mapping[str, Any]) -> Data:
        return dict(self._assignments().receive(request))

    def marks(self, request: Mapping[str, Any]) -> Data:
        return dict(self._assignments().marks(request))

    def released(self, request: Mapping[str, Any]) -> Data:
        return dict(self._assignments().released(request))

    def look_back(self, request: Mapping[str, Any]) -> Data:
        """A finished attempt with its debrief; nothing can be added to it."""
        path = Path(str(request["path"]))
        attempt = read(path)
        self.close()
        self.running, self.header, self.path = Running(None, attempt.events), attempt.header, path
        page = self.debrief(request)
        return {**self._whole(), **page, "path": str(path)}

    def _assignments(self) -> Any:
        if self.assigned is None:
            from trainer.view.assigned import Assigned

            self.assigned = Assigned()
        return self.assigned

    def save_page(self, request: Mapping[str, Any]) -> Data:
        from trainer.view.afterwards import html_of

        self._on()
        folder = Path(request["folder"])
        folder.mkdir(parents=True, exist_ok=True)
        name = self.path.stem if self.path else "debrief"
        path = folder / f"{name}.html"
        path.write_text(
            html_of(self.header, self._on().events, self.path), encoding="utf-8", newline="\n"
        )
        return {"saved": str(path)}

    def undo(self, request: Mapping[str, Any]) -> Data:
        """Back to before the last ``acts`` acts; what was written of them goes to a side file."""
        running = self._on()
        ends = [n for n, e in enumerate(running.events) if e.kind == "done"]
        back = int(request.get("acts", 1))
        kept = ends[-1 - back] + 1 if back < len(ends) else 1
        kept = complete(running.events[:kept]) if kept > 1 else 1
        return self._cut(kept)

    def _cut(self, kept: int) -> Data:
        running = self._on()
        events = running.events[:kept]
        log = None
        if self.path is not None and running.log is not None:
            running.log.close()
            cut_back(self.path, kept)
            log = Log(self.path, last=kept, link=read(self.path).links[kept])
        self.running = Running(log, events)
        return {"events": rows(events), "again": True}

    def foresee(self, request: Mapping[str, Any]) -> Data:
        """What would come of an act, without doing it."""
        from trainer.session.attempt import answer
        from trainer.view.forestalling import mistake
        from trainer.view.guiding import is_suggested

        running, act = self._on(), act_from(dict(request["act"]))
        found = answer(running.bench, act)
        guided = self.header.get("mode") == "guided"  # nowhere else is told where an end belongs
        asked = act.model_dump(mode="json")
        led = guided and is_suggested(self.header, running, asked)
        wrong = mistake(self.header, running, asked, found) if guided and not led else None
        rows = [{"kind": h.kind, "data": dict(h.data)} for h in found]
        return {"foreseen": rows, "wrong": wrong, "led": led}

    def debrief(self, request: Mapping[str, Any]) -> Data:
        from trainer.view.afterwards import debrief_of

        running = self._on()
        if lock_in(self.header):
            self._released()
        if self.header.get("mode") == SELF_GRADED and not running.bench.over:
            raise TrainerError(
                "a graded attempt is debriefed once it is handed over", hint="hand over"
            )
        return {"page": debrief_of(self.header, running.events, self.path)}

    def _released(self) -> None:
        """An instructor's attempt is debriefed once he released it. Raises SealedError."""
        from trainer.session.sealing import open_up

        assert self.path is not None
        open_up(self.path, self.header, None)

    def home(self, request: Mapping[str, Any]) -> Data:
        from trainer.view.assigned import listed
        from trainer.view.shelf import home_of

        found = home_of(Path(request["folder"]), int(request["today"]))
        return {"home": {**found, "assignments": listed(Path(request["folder"]).parent)}}

    def suggest(self, request: Mapping[str, Any]) -> Data:
        from trainer.view.guiding import suggestion

        return {"step": suggestion(self.header, self._on())}

    def studies(self, request: Mapping[str, Any]) -> Data:
        from trainer.view.demonstrating import studies

        return {"studies": studies(Path(request["folder"]))}

    def save_study(self, request: Mapping[str, Any]) -> Data:
        """The unit as it is now, as a study that the demonstration bay opens."""
        from trainer.unit.as_study import text_of

        bench = self._on().bench
        folder = Path(request["folder"])
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / f"{self.path.stem if self.path else 'bench'}.yaml"
        path.write_text(text_of(bench.unit, str(request["title"])), encoding="utf-8", newline="\n")
        return {"saved": str(path)}

    def layouts(self, request: Mapping[str, Any]) -> Data:
        from trainer.unit.layout import layout_names, load_layout

        found = [(name, load_layout(name)) for name in layout_names()]
        return {"layouts": [{"name": n, "title": x.title, "about": x.about} for n, x in found]}

    def study(self, request: Mapping[str, Any]) -> Data:
        from trainer.view.demonstrating import Demonstrating

        self.bay = Demonstrating()
        return self.bay.open(str(request["name"]))

    def turn(self, request: Mapping[str, Any]) -> Data:
        return self._bay_on().near(request["values"])

    def whole(self, request: Mapping[str, Any]) -> Data:
        return self._bay_on().whole(request["values"])

    def _bay_on(self) -> Any:
        if self.bay is None:
            raise TrainerError("no study is open", hint="choose one")
        return self.bay

    def warm(self, request: Mapping[str, Any]) -> Data:
        """Compiles the solver, or finds it compiled, by one short start."""
        from trainer.circuit.compiled import helper

        helper()  # begins while this process fetches the rest
        from trainer.circuit.transient import Transient
        from trainer.study.build import build
        from trainer.study.load import load_study

        elements, _ = build(load_study("psc"))
        Transient(elements, []).run(0.05)
        return {"warm": True}

    def _on(self) -> Running:
        if self.running is None:
            raise TrainerError("no attempt is under way", hint="choose an exercise")
        return self.running


def rows(events: Sequence[Event]) -> list[str]:
    """Events as the lines they are on disk."""
    return [to_line(e) for e in events]


def _allowed(name: str, found: Mapping[str, Any]) -> list[str]:
    """Hints that the rubric of a graded attempt allows; the others are empty."""
    from trainer.assess.finding_rubric import rubric_for
    from trainer.assess.rubric import TIERS
    from trainer.scenario.load import load_scenario

    allowed = rubric_for(load_scenario(name), name).hints.allowed
    hints = zip(TIERS, found.get("hints", ()), strict=False)
    return [text if tier in allowed else "" for tier, text in hints]


def job_told(name: str, seed: int) -> Data:
    """What the clipboard says of a job; nothing that is planted or wanted."""
    from trainer.assess.finding_rubric import rubric_for
    from trainer.scenario.load import load_scenario, scenario_names

    if name not in scenario_names() and not name.endswith(".yaml"):
        from trainer.unit.layout import load_layout

        return {"title": load_layout(name).title.partition(",")[0], "free": True}
    try:
        scenario = load_scenario(name)
    except TrainerError:
        return {"title": Path(name).stem, "free": True}
    rubric = rubric_for(scenario, name)
    return {
        "title": scenario.title, "level": scenario.level, "setting": scenario.setting,
        "briefing": scenario.briefing.strip(), "time_s": scenario.time,
        "readings": [r.name for r in scenario.readings], "free": False,
        "cut": float(rubric.cut),
        "rubric": scenario.rubric,
    }  # fmt: skip


ASKS: dict[str, Callable[[Serving, Mapping[str, Any]], Data]] = {
    "begin": Serving.begin, "resume": Serving.resume, "do": Serving.do, "undo": Serving.undo,
    "foresee": Serving.foresee, "debrief": Serving.debrief, "home": Serving.home,
    "suggest": Serving.suggest, "warm": Serving.warm, "card": Serving.card,
    "close": Serving.put_away, "save page": Serving.save_page, "studies": Serving.studies,
    "layouts": Serving.layouts, "save study": Serving.save_study, "study": Serving.study, "turn": Serving.turn,
    "whole": Serving.whole, "take": Serving.take, "sit": Serving.sit, "seal": Serving.seal,
    "give": Serving.give, "receive": Serving.receive, "released": Serving.released, "marks": Serving.marks,
    "look back": Serving.look_back,
}  # fmt: skip
