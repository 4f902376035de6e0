"""Named states of the window for pictures and checks, each reached by acts that were really done.

Knows states and scripts of acts; must know no shape.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from typing import Any

from trainer.view import mishaps, posing
from trainer.view.assigned_shots import builds
from trainer.view.mishaps import hasty
from trainer.view.posing import Act, Pose, debriefed, more, once, shipped, sized, worked
from trainer.view.state import App, Settings

Build = Callable[[], App]
RELAY, CAN = "potential-relay-and-start-capacitor", "dual-capacitor-unit"
SOFT, DEAD, RELAYS = "soft-starter-retrofit", "make-it-dead", "choose-the-relay"
FIRST = "first-start"


def kind(name: str, **fields: Any) -> Callable[[Act], bool]:
    """Recognises an act by its kind and some of its fields."""
    wanted = {"act": name, **fields}
    return lambda act: all(act.get(k) == v for k, v in wanted.items())


# benches


@once
def _layout(name: str, off: bool) -> App:
    """A unit as it was built; every cover off or on."""
    pose = Pose().begin(name)
    assert pose.app.job is not None
    if off:
        from trainer.view.board.seen import layout_of

        for cover in layout_of(pose.app.job.bench).covers:
            pose.act({"act": "take off", "cover": cover})
    return pose.app


def _layouts() -> dict[str, Build]:
    from trainer.unit.layout import layout_names

    found: dict[str, Build] = {"layout-covers-on": partial(_layout, "larkspur-row", False)}
    for name in layout_names():
        found[f"layout-{name}"] = partial(_layout, name, True)
    return found


def dead() -> App:
    """The unit tested and declared dead."""
    return shipped(RELAY).after(kind("declare dead"))


def mid_test() -> App:
    """One probe on, the other to come."""
    app = shipped(RELAY).after(kind("measure", why="test"), 3)
    return more(app, ("tool", "meter"), ("place", "contactor.T1"))


def running() -> App:
    return shipped(RELAY).after(kind("wait", seconds=3.0))


@once
def _holding() -> App:
    """An end in the hand over the board."""
    pose = Pose().begin("larkspur-row")
    for cover in ("disconnect-front", "control-panel"):
        pose.act({"act": "take off", "cover": cover})
    return pose.send("end", "7.a").app


def _several() -> App:
    """Two ends on one place, and which of them is meant."""
    app = _layout("larkspur-row", True)
    assert app.job is not None
    ends: dict[str, list[str]] = {}
    for tag, c in app.job.bench.unit.conductors.items():
        for side, end in (("a", c.a), ("b", c.b)):
            ends.setdefault(end.on or "", []).append(f"{tag}.{side}")
    place = next(p for p, found in ends.items() if p and len(found) > 1)
    return more(app, ("place", place))


def _tool(name: str, app: Build = dead) -> Build:
    return lambda: more(app(), ("tool", name))


BENCHES: Mapping[str, Build] = {
    "bench": lambda: shipped(RELAY).upto(0),
    "bench-whole": lambda: more(dead(), ("zoomed", -1.0)),
    "bench-dead": dead,
    "bench-mid-test": mid_test,
    "bench-running": running,
    "bench-part": lambda: more(dead(), ("part", "contactor")),
    "bench-part-covers": lambda: more(dead(), ("part", "can")),
    "bench-held-end": _holding,
    "bench-several-ends": _several,
    "bench-look": lambda: shipped(DEAD).after(kind("look", at="disconnect")),
    "bench-locked": lambda: shipped(DEAD).after(kind("tag", part="disconnect")),
    "bench-read-diagram": lambda: shipped(RELAY).after(kind("read", what="diagram")),
    "wiring-relay-half": lambda: shipped(RELAY).after(kind("land", wire="32", end="a")),
    "wiring-relay-done": lambda: shipped(RELAY).after(kind("tug", wire="34", end="b")),
    "wiring-can-bare": lambda: shipped(CAN).after(kind("declare dead")),
    "wiring-can-half": lambda: shipped(CAN).after(kind("land", wire="6", end="a")),
    "wiring-can-done": lambda: shipped(CAN).after(kind("second look")),
    "wiring-starter-part": lambda: shipped(SOFT).after(kind("take wire")),
    "wiring-starter-done": lambda: shipped(SOFT).after(kind("second look")),
    **{
        f"tool-{name.replace(' ', '-')}": _tool(name)
        for name in ("protect", "tag", "discharge", "torque", "crimp", "strip", "lead", "dress",
                     "label", "part", "thermostat", "scope", "half")
    },
}  # fmt: skip


# sheets and forms


def _sheet(sheet: str, app: Build) -> Build:
    return lambda: more(app(), ("sheet", sheet))


def form(name: str, app: Build = dead) -> Build:
    return lambda: more(app(), ("form", name))


@once
def _guided() -> App:
    """The second step of a guided job."""
    pose = Pose().begin(DEAD, "guided")
    return pose.act({"act": "read", "what": "job sheet"}).app


@once
def _stopped() -> App:
    """An act that would hurt, stopped before it happens."""
    pose = Pose().begin(DEAD, "guided")
    pose.act({"act": "take off", "cover": "control-panel"})
    if pose.app.job and pose.app.job.pause:
        return pose.app
    return pose.act({"act": "touch", "place": "contactor.L1"}).app


@once
def _slipped() -> App:
    """Hands in a unit that was switched off and not proved dead."""
    pose = Pose().begin("hum-and-no-turn")
    for act in ({"act": "open", "part": "disconnect"},
                {"act": "take off", "cover": "control-panel"},
                {"act": "lift", "wire": "7", "end": "a"}):  # fmt: skip
        pose.act(act)
    return pose.app


@once
def _slipped_start() -> App:
    """A start that goes wrong while the call still stands."""
    app = hasty(CAN, (("5.b", "comp.S"), ("7.b", "comp.R")))
    return worked(app, {"act": "wait", "seconds": 30.0}, mishaps.CALL)


def _misled() -> App:
    """An end about to land beside its place, in guided mode."""
    pose = Pose().begin(CAN, "guided")
    for act in ({"act": "open", "part": "disconnect"},
                {"act": "take off", "cover": "control-panel"},
                {"act": "take off", "cover": "terminal-cap"},
                {"act": "lift", "wire": "4", "end": "b"}):  # fmt: skip
        pose.send("anyway", act)
    return pose.act({"act": "land", "wire": "4", "end": "b", "place": "comp.S:a"}).app


@once
def _scope() -> App:
    """Both tips on a running unit, the earthed clip on bare metal."""
    look = {"act": "scope", "one": "can.H", "clip": "chassis", "two": "contactor.T1", "ms": 100.0}
    app = worked(running(), {"act": "take off", "cover": "plate"}, look)
    return more(app, ("tool", "scope"))


@once
def _hinted() -> App:
    pose = Pose().begin(RELAY).act({"act": "hint", "tier": 1}).act({"act": "hint", "tier": 2})
    return more(pose.app, ("form", "hint"))


@once
def _home() -> App:
    return _asked_home("nowhere")


def _asked_home(folder: str) -> App:
    pose = Pose()
    pose.ask({"ask": "home", "folder": folder, "today": posing.TODAY})
    return pose.app


SHEETS: dict[str, Build] = {
    "sheet-job": _sheet("job", dead),
    "sheet-job-guided": _guided,
    "sheet-diagram-unread": _sheet("diagram", lambda: shipped(RELAY).upto(0)),
    "sheet-diagram": _sheet("diagram", dead),
    "sheet-meter-empty": lambda: more(shipped(RELAY).upto(0), ("tool", "meter")),
    "sheet-meter": _sheet("meter", dead),
    "sheet-clamp": lambda: more(shipped(RELAY).after(kind("clamp"), 2), ("tool", "clamp")),
    "sheet-insulation": lambda: more(shipped(FIRST).after(kind("measure", why=""), 2),
                                     ("tool", "insulation")),
    "sheet-scope": _scope,
    "sheet-scope-cursors": lambda: more(_scope(), ("cursor at", 0.31), ("cursor", 1)),
    "sheet-scope-empty": lambda: more(dead(), ("tool", "scope")),
    "sheet-trace-empty": _sheet("trace", dead),
    "sheet-note-empty": _sheet("note", lambda: shipped(RELAY).upto(0)),
    "sheet-note": _sheet("note", lambda: shipped(RELAY).whole()),
    "form-list": form("list"),
    "form-record": form("record", lambda: shipped(RELAY).after(kind("record"), 2)),
    "form-name-fault": form("name fault", lambda: shipped("hum-and-no-turn").after(kind("read"), 1)),
    "form-take-wire": form("take wire"),
    "form-hand-over": form("hand over"),
    "form-hint": form("hint"),
    "form-hint-told": _hinted,
    "form-finish": form("finish"),
    "form-finish-free": form("finish", lambda: _layout("larkspur-row", False)),
}  # fmt: skip


TRACES: dict[str, Build] = {
    "trace": lambda: more(running(), ("sheet", "trace")),
    "trace-second": lambda: more(shipped(RELAY).whole(), ("sheet", "trace"), ("scrub", 0.4)),
    "trace-early": lambda: hasty(RELAYS, renamed=(("relay-d", "relay-a"),)),
    "trace-coil-elsewhere": lambda: hasty(RELAY, (("31.b", "contactor.T2:c"),)),
    "trace-never": lambda: hasty(RELAYS, (("9.a", "sc.1:a"),), wait_s=60.0, without=("8", "10")),
    "trace-tripped": mishaps.left_running,
    "trace-stalled": lambda: hasty(CAN, (("6.a", "contactor.T1:b"), ("8.a", "contactor.T2:b"))),
    "trace-backwards": lambda: hasty(CAN, (("5.b", "comp.S"), ("7.b", "comp.R"))),
    "trace-kit": mishaps.kit_fitted,
    "trace-starter": lambda: hasty(SOFT),
    "trace-short": mishaps.shorted,
}
PANELS: Mapping[str, Build] = {
    "panel-shock": mishaps.touched,
    "panel-shock-why": lambda: more(mishaps.touched(), ("why",)),
    "panel-slip": _slipped,
    "panel-slip-why": lambda: more(_slipped(), ("why",)),
    "panel-slip-folded": lambda: more(_slipped(), ("fold",)),
    "panel-slip-start": _slipped_start,
    "panel-wrong-landing": _misled,
    "panel-flash": mishaps.flashed,
    "panel-meter-burnt": mishaps.burnt_meter,
    "panel-stopped": _stopped,
    "panel-error": lambda: replace(
        dead(), trouble="The disk is full: the attempt cannot be saved."
    ),
    "panel-done": lambda: replace(dead(), notice="Saved: debriefs/make-it-dead.html"),
    "panel-progress": lambda: replace(_home(), progress="Laying out the unit"),
}


# pages


@once
def _home_used() -> App:
    """Home with an attempt half done and one finished, from files of a folder that goes again."""
    import os
    from pathlib import Path
    from tempfile import TemporaryDirectory

    from trainer.view.posing import acts_of
    from trainer.view.serving import Serving

    with TemporaryDirectory() as name:
        for n, (job, share) in enumerate(((DEAD, 1.0), (CAN, 0.5))):
            serving, acts = Serving(), acts_of(job)
            path = Path(name) / f"{n}.att"
            serving.begin({"name": job, "seed": 0, "path": str(path)})
            for act in acts[: int(len(acts) * share)]:
                serving.do({"act": act})
            serving.close()
            os.utime(path, (1.7e9 + n, 1.7e9 + n))
        return _asked_home(name)


@once
def _bay(name: str = "") -> App:
    pose = Pose().send("bay")
    return pose.send("study", name).app if name else pose.app


def _card() -> App:
    return Pose().send("exercise", DEAD, "graded").app


def _settings() -> App:
    return more(_home(), ("screen", "settings"))


def _steps() -> App:
    app = debriefed(shipped(DEAD).whole())
    assert app.page is not None
    rows = app.page["timeline"]
    return more(app, ("step at", int(rows[len(rows) // 2]["event"])))


@once
def _crossed() -> App:
    """The debrief of a job whose S and R were exchanged."""
    return debriefed(hasty(CAN, (("5.b", "comp.S"), ("7.b", "comp.R"))))


@once
def _early() -> App:
    return debriefed(hasty(RELAYS, renamed=(("relay-d", "relay-a"),)))


def _steps_end() -> App:
    app = _crossed()
    assert app.job is not None
    return more(app, ("step at", app.job.events[-1].seq))


def _pages() -> dict[str, Build]:
    from trainer.view.update import TOUR

    return {
        "home-looking": lambda: App(settings=posing.USUAL),
        "home": _home,
        "home-used": _home_used,
        "settings": _settings,
        "settings-keys": lambda: replace(_settings(), scrolls={"settings": 1e4}),
        "settings-key": lambda: more(_settings(), ("rekey", "undo")),
        "settings-key-refused": lambda: more(_settings(), ("rekey", "undo"), ("key", "f6")),
        "card-graded": _card,
        **{f"tour-{n + 1}": partial(lambda n: replace(App(screen="tour"), tour=n), n)
           for n in range(TOUR)},
        "debrief": lambda: debriefed(shipped(RELAY).whole()),
        "debrief-poor": _crossed,
        "debrief-plot": lambda: replace(_crossed(), scrolls={"debrief": 330.0}),
        "debrief-plot-relay": lambda: replace(_early(), scrolls={"debrief": 960.0}),
        "debrief-death": lambda: debriefed(more(mishaps.touched(), ("unpause",))),
        "steps": _steps,
        "steps-end": _steps_end,
        "bay-studies": lambda: _bay(),
        "bay": lambda: _bay("potential-relay"),
        "free": lambda: Pose().send("free").app,
        **builds(_home),
    }  # fmt: skip


def _narrow() -> dict[str, Build]:
    """Windows as small as they may be, and the usual small one."""
    found: dict[str, Build] = {}
    for name, build in (
        ("bench", mid_test), ("trace", _up(TRACES["trace"])), ("home", _home_used),
        ("lead", _tool("lead")), ("debrief", lambda: debriefed(shipped(DEAD).whole())),
    ):  # fmt: skip
        found[f"small-{name}"] = partial(_resized, build, 1024.0, 640.0)
        found[f"narrow-{name}"] = partial(_resized, build, 700.0, 480.0)
    found["narrow-clipboard"] = lambda: replace(sized(dead(), 700.0, 480.0), compact_sheet=True)
    found["narrow-panel"] = partial(_resized, mishaps.touched, 700.0, 480.0)
    return found


def _up(build: Build) -> Build:
    """The clipboard before the board where they take turns."""
    return lambda: replace(build(), compact_sheet=True)


def _resized(build: Build, wide: float, high: float) -> App:
    return sized(build(), wide, high)


def shots() -> dict[str, Build]:
    """Every picture by name, in the order in which they are drawn."""
    from trainer.view.shots_close import CLOSE

    return {
        **_pages(), **BENCHES, **CLOSE, **{n: _up(b) for n, b in (SHEETS | TRACES).items()},
        **PANELS, **_layouts(), **_narrow(),
    }  # fmt: skip


def posed(app: App, settings: Settings) -> App:
    """A state with other settings."""
    return replace(app, settings=settings)


__all__ = ["Build", "posed", "shots", "sized"]
