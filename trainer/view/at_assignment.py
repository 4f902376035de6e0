"""What the window does about assignments: a file opened, the code given, sat down, sealed, given.

Pure. Knows states; must know no shape and no file's content.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from trainer.view.language import tr
from trainer.view.state import App, Effect

Next = tuple[App, list[Effect]]
Data = Mapping[str, Any]
SUFFIX, RECEIPT, RELEASE, MARKS = ".assignment", ".receipt", ".release", ".marks"
LEARNER, CODE, FOLDER = "assignment.learner", "assignment.code", "assignment.folder"


def opened(app: App, path: str, learner: str = "") -> Next:
    """The form that asks who it is and for the start code."""
    who = learner or app.texts.get(LEARNER, "")
    after = app.typed(LEARNER, who).typed(CODE, "")
    focus = CODE if who else LEARNER
    card = {"assigned": True, "path": path, "name": path.rpartition("/")[2]}
    return replace(after, screen="assignment", back="home", card=card, focus=focus), []


def _take(app: App) -> Next:
    card = app.card or {}
    who, code = app.texts.get(LEARNER, "").strip(), app.texts.get(CODE, "").strip()
    if who and not code and app.focus == LEARNER:  # Enter in the first line leads to the second
        return replace(app, focus=CODE), []
    if not who or not code:
        words = tr("Type your number and the start code; the instructor reads it out.")
        return replace(app, trouble=words), []
    request = {"ask": "take", "path": card["path"], "learner": who, "code": code}
    return replace(app, progress=tr("Opening the assignment")), [("assigned", request)]


def _taken(app: App, request: Data, answer: Data) -> Next:
    card = {"assigned": True, "path": request["path"], **answer["card"]}
    return replace(app, screen="card", card=card, progress="", focus="", back="home"), []


def _sit(app: App) -> Next:
    return replace(app, progress=tr("Laying out the unit"), card=None), [
        ("assigned", {"ask": "sit"})
    ]


def seal(app: App) -> Next:
    return replace(app, progress=tr("Sealing the attempt")), [("assigned", {"ask": "seal"})]


def _sealed(app: App, request: Data, answer: Data) -> Next:
    card = {
        "assigned": True,
        "sealed": answer["sealed"],
        "no": answer["no"],
        "left": answer["left"],
    }
    after = replace(app, screen="assignment", card=card, job=None, progress="", focus="", page=None)
    return after, [("home",)]


def _give(app: App) -> Next:
    folder = app.texts.get(FOLDER, "").strip()
    if not folder:
        return replace(app, trouble=tr("Type the folder: a stick, or one the class has.")), []
    request = {"ask": "give", "path": (app.card or {})["sealed"], "folder_to": folder}
    return app, [("assigned", request)]


def _given(app: App, request: Data, answer: Data) -> Next:
    card = {**(app.card or {}), "given": answer["given"]}
    return replace(app, card=card, notice=tr("Wrote {path}.", path=answer["given"])), []


def received(app: App, path: str) -> Next:
    return app, [("assigned", {"ask": "receive", "path": path})]


def _kept(app: App, request: Data, answer: Data) -> Next:
    return replace(app, notice=str(answer["said"])), [("home",)]


def marked(app: App, path: str) -> Next:
    return app, [("assigned", {"ask": "marks", "path": path})]


def _shown(app: App, request: Data, answer: Data) -> Next:
    """Marks at the level full open the attempt; lower ones are told."""
    if answer["opened"]:
        return look_back(app, answer["opened"])
    return replace(app, notice=str(answer["said"])), [("home",)]


def released(app: App, path: str) -> Next:
    return app, [("assigned", {"ask": "released", "path": path})]


def _opened_up(app: App, request: Data, answer: Data) -> Next:
    return look_back(app, answer["opened"])


def look_back(app: App, path: str) -> Next:
    """The debrief of a released attempt."""
    return replace(app, progress=tr("Marking")), [("ask", {"ask": "look back", "path": path})]


HANDLERS: dict[str, Callable[..., Next]] = {
    "assignment": opened, "take": _take, "sit": _sit, "seal": seal, "give": _give,
    "look back": look_back,
}  # fmt: skip
CAME: dict[str, Callable[[App, Data, Data], Next]] = {
    "take": _taken, "seal": _sealed, "give": _given, "receive": _kept,
    "released": _opened_up, "marks": _shown,
}  # fmt: skip
