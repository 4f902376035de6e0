"""Hands at the bench: what pointing at things does with the tool in hand.

Nothing is decided here: an act is asked for, and the bench says what comes of it. Knows tools and
what is seen; must know no physics and no right order.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from trainer.view.focus import OFFER
from trainer.view.harm import may_be_left
from trainer.view.language import tr
from trainer.view.state import App, Effect, Job
from trainer.view.tools import BY_NAME, Amount, Tool, filled, first_values

Next = tuple[App, list[Effect]]
Act = dict[str, Any]
#: Among the values of a form: the node it was opened from, to which the focus goes back.
OPENER = ""
#: The zoom that shows all of the board.
WHOLE = -1.0


def job_of(app: App) -> Job:
    assert app.job is not None
    return app.job


def act(app: App, asked: Act) -> Next:
    """Ask for an act; in guided mode it is looked at first."""
    job = job_of(app)
    if job.busy or job.bench.over:
        return app, []
    ask = "foresee" if job.mode == "guided" else "do"
    app = replace(app, focus=_led_back(app))
    return app.with_job(busy=True, pause=None, ask_end=(), picks=()), [
        ("ask", {"ask": ask, "act": asked})
    ]


def do_anyway(app: App, asked: Act) -> Next:
    after = replace(app, focus=_before_stop(app)).with_job(busy=True, pause=None)
    return after, [("ask", {"ask": "do", "act": dict(asked)})]


def _say(app: App, *words: str) -> Next:
    return app.with_job(said=words), []


def _tool(app: App, name: str) -> Next:
    if name == "more":  # a list over the clipboard: what is in hand stays there
        texts = {**app.texts, "acts.find": ""}
        listed = app.with_job(form="list", form_values={OPENER: "tool.more"})
        return replace(listed, texts=texts, focus="acts.find", compact_sheet=True), []
    tool = BY_NAME[name]
    sheet = "meter" if tool.instrument else job_of(app).sheet
    changed: dict[str, Any] = {
        "tool": name, "picks": (), "ask_end": (), "sheet": sheet, "form": "", "loupe": "",
    }  # fmt: skip
    if name != "hand":
        changed["held"] = ""
    # in a narrow window the clipboard makes way, unless the instrument has to be set on it first
    unset = bool(tool.instrument) and tool.instrument != job_of(app).bench.instrument
    # with keys one goes on at what is to be set on it, wherever it lies in the tray
    led = app.keyed and app.focus == f"tool.{name}" and bool(tool.settings or tool.by_button)
    focus = "" if led else app.focus
    return replace(app.with_job(**changed), compact_sheet=unset, focus=focus), []


def _drop(app: App) -> Next:
    """Escape: lay down what was begun; a second time, the tool."""
    job = job_of(app)
    if job.pause:
        return _unpause(app) if may_be_left(job) else (app, [])
    if job.loupe:
        return _loupe(app, "")
    if job.slip and not job.slip.get("folded"):
        return _unslip(app) if job.slip.get("shown") else _fold(app)
    if job.form or job.picks or job.held or job.ask_end:
        focus = job.form_values.get(OPENER, "") if job.form else _led_back(app)
        after = app.with_job(form="", picks=(), held="", ask_end=())
        return replace(after, compact_sheet=False, focus=focus), []
    if app.compact_sheet:
        return replace(app, compact_sheet=False), []
    set_on = app.focus.startswith(("set.", OFFER))
    after = replace(app, focus=f"tool.{job.tool}" if set_on else app.focus)
    return after.with_job(tool="hand"), []


def _loupe(app: App, name: str) -> Next:
    return app.with_job(loupe=name), []


def values_of(job: Job, tool: Tool) -> dict[str, Any]:
    return {**first_values(tool), **job.values.get(tool.name, {})}


def _set(app: App, tool: str, name: str, value: Any) -> Next:
    """A setting of a tool; choosing a chosen one again of several adds or drops it."""
    job = job_of(app)
    now = values_of(job, BY_NAME[tool])
    if name == "items":
        worn = [p for p in str(now["items"]).split(",") if p]
        worn = [p for p in worn if p != value] if value in worn else [*worn, value]
        value = ",".join(worn)
    return app.with_job(values={**job.values, tool: {**now, name: value}}), []


def _step(app: App, tool: str, name: str, by: int) -> Next:
    amount = next(s for s in BY_NAME[tool].settings if s.name == name)
    assert isinstance(amount, Amount)
    now = number(typed_values(app, BY_NAME[tool])[name])
    now = amount.first if now is None else now
    fine = round(min(max(now + by * amount.step, amount.low), amount.high), 3)
    texts = {k: v for k, v in app.texts.items() if k != f"set.{tool}.{name}"}
    return _set(replace(app, texts=texts), tool, name, fine)


def number(text: Any) -> float | None:
    try:
        found = float(str(text).replace(",", "."))
    except ValueError:
        return None
    return found if math.isfinite(found) else None


def _carry_out(app: App) -> Next:
    """The button of a tool that needs no pointing, or enough of it."""
    job = job_of(app)
    tool = BY_NAME[job.tool]
    if len(job.picks) < len(tool.picks):
        return _say(app, tr(tool.says))
    return _with_values(app, tool, job.picks)


def _with_values(app: App, tool: Tool, picks: tuple[str, ...]) -> Next:
    """The tool's act, or what is wrong with a figure that was typed."""
    values = typed_values(app, tool)
    for setting in tool.settings:
        if isinstance(setting, Amount):
            found = number(values[setting.name])
            if found is None or not setting.low <= found <= setting.high:
                words = tr("{what}: give a number from {low} to {high} {unit}.", unit=setting.unit,
                           what=tr(setting.label), low=f"{setting.low:g}",
                           high=f"{setting.high:g}")  # fmt: skip
                return _say(app.with_job(picks=()), words)
            values[setting.name] = found
    return act(app, filled(tool, picks, values))


def typed_values(app: App, tool: Tool) -> dict[str, Any]:
    """What is set on a tool, with lines as they were typed."""
    now = values_of(job_of(app), tool)
    for setting in tool.settings:
        typed = app.texts.get(f"set.{tool.name}.{setting.name}")
        if typed is not None:
            now[setting.name] = typed
    return now


def _pick(app: App, kind: str, name: str) -> Next:
    """Something was pointed at with a tool that takes such things."""
    job = job_of(app)
    tool = BY_NAME[job.tool]
    if tool.by_button and len(job.picks) == len(tool.picks):
        job = replace(job, picks=())  # another one instead
    wanted = tool.picks[len(job.picks)][1] if len(job.picks) < len(tool.picks) else ""
    if kind == "place" and wanted in ("end", "wire"):
        ends = ends_at(job, name)
        if len(ends) > 1:
            return _offers(app, ask_end=tuple(ends)), []
        if not ends:
            return _say(app, tr("There is no end on {place}.", place=name))
        kind, name = "end", ends[0]
    if kind == "end" and wanted == "wire":
        kind, name = "wire", name.rsplit(".", 1)[0]
    if kind == "end" and wanted == "place":
        kind, name = "place", place_of(job, name)
    if kind != wanted:
        return app, []
    picks = (*job.picks, name)
    if len(picks) < len(tool.picks):
        return app.with_job(picks=picks, ask_end=()), []
    if tool.by_button:
        return app.with_job(picks=picks, ask_end=()), []
    return _picked(app, tool, picks)


def _picked(app: App, tool: Tool, picks: tuple[str, ...]) -> Next:
    job = job_of(app)
    if tool.instrument and tool.instrument != "scope" and job.bench.instrument != tool.instrument:
        words = tr(
            "Take the {tool} up first: choose its setting on the Meter sheet.",
            tool=tr(tool.label).lower(),
        )
        after = app.with_job(said=(words,), picks=(), sheet="meter")
        return replace(after, compact_sheet=True), []
    if tool.name == "clamp" and job.picks == () and job.values.get("clamp", {}).get("several"):
        return app.with_job(picks=picks), []
    return _with_values(app, tool, picks)


def ends_at(job: Job, place: str) -> list[str]:
    return [
        f"{tag}.{side}"
        for tag, c in job.bench.unit.conductors.items()
        for side, end in (("a", c.a), ("b", c.b))
        if end.on == place
    ]


def place_of(job: Job, end: str) -> str:
    """Where a probe finds an end: its place, or its own metal when it hangs free."""
    tag, side = end.rsplit(".", 1)
    conductor = job.bench.unit.conductors[tag]
    landed = (conductor.a if side == "a" else conductor.b).on
    return landed or f"wire:{tag}.{side}"


def _place(app: App, name: str) -> Next:
    job = job_of(app)
    if job.tool != "hand":
        return _pick(app, "place", name)
    if job.held:
        tag, side = job.held.rsplit(".", 1)
        return act(app, {"act": "land", "wire": tag, "end": side, "place": name})
    ends = ends_at(job, name)
    if len(ends) > 1:
        return _offers(app, ask_end=tuple(ends)), []
    return _lift(app, ends[0]) if ends else _say(app, tr("{place}: nothing on it.", place=name))


def _end(app: App, name: str) -> Next:
    """An end under the hand is taken off, picked up or put down again."""
    job = job_of(app)
    if job.tool == "look":
        tag, side = name.rsplit(".", 1)
        return act(app, {"act": "inspect", "wire": tag, "end": side})
    if job.tool != "hand":
        return _pick(app, "end", name)
    if job.held == name:
        return app.with_job(held="", ask_end=()), []
    if place_of(job, name).startswith("wire:"):
        return app.with_job(held=name, ask_end=()), []
    if job.held:
        return _place(app, place_of(job, name))
    return _lift(app, name)


def _lift(app: App, end: str) -> Next:
    tag, side = end.rsplit(".", 1)
    after, effects = act(app, {"act": "lift", "wire": tag, "end": side})
    return (after.with_job(held=end, after_lift=True) if effects else after), effects


def _part(app: App, name: str) -> Next:
    job = job_of(app)
    if job.tool == "hand":
        return _offers(app, picks=(name,), ask_end=()), []
    return _pick(app, "part", name)


def _offers(app: App, **changed: Any) -> App:
    """What can be done or meant is asked above the tray; keys go on there, and back afterwards."""
    after = app.with_job(**changed, opener=app.focus)
    return replace(after, focus=OFFER) if app.keyed else after


def _led_back(app: App) -> str:
    """Where the focus belongs once an offer was taken or left."""
    opener = job_of(app).opener
    return opener if opener and app.focus.startswith("option.") else app.focus


def _cover(app: App, name: str, part: str) -> Next:
    """Off it comes, unless something reaches through it: a handle, a lock, or a tool for parts."""
    job = job_of(app)
    tool = BY_NAME[job.tool]
    if tool.picks and tool.picks[0][1] == "part":
        return _part(app, part)
    if job.tool == "hand" and (part in job.bench.locks or verbs_of(job, part)):
        return _part(app, part)
    return act(app, {"act": "take off", "cover": name})


def verbs_of(job: Job, part: str) -> Mapping[str, Any]:
    """What a hand can do to a part, whatever it is set to now."""
    from trainer.unit.catalogue import electrical

    placed = job.bench.unit.parts.get(part)
    made = electrical(placed.type, placed.set) if placed is not None else None
    return made.hand(part) if made is not None else {}


def _act(app: App, asked: Mapping[str, Any]) -> Next:
    """An act whole, as a button of a sheet or the form asks for it."""
    return act(app, dict(asked))


def _sheet(app: App, name: str) -> Next:
    return app.with_job(sheet=name, form=""), []


def _undo(app: App, acts: int = 1) -> Next:
    job = job_of(app)
    if job.busy or job.mode == "graded":
        return app, []
    app = replace(app, focus=_before_stop(app) or app.focus)
    return app.with_job(busy=True, pause=None, held="", picks=()), [
        ("ask", {"ask": "undo", "acts": acts})
    ]


def _nothing(app: App) -> Next:
    return app, []


def _unpause(app: App) -> Next:
    return replace(app.with_job(pause=None), focus=_before_stop(app)), []


def _before_stop(app: App) -> str:
    """The node whose press was stopped, to which keys go back."""
    return str((job_of(app).pause or {}).get("back", ""))


def _why(app: App) -> Next:
    """The rest of what was told in one line, or only the line again."""
    job = job_of(app)
    if job.pause:
        return app.with_job(pause={**job.pause, "open": not job.pause.get("open")}), []
    if job.slip:
        return app.with_job(slip={**job.slip, "open": not job.slip.get("open")}), []
    return app, []


def _fold(app: App) -> Next:
    """The note of a slip made small, or whole again."""
    slip = job_of(app).slip
    if slip is None:
        return app, []
    return replace(app.with_job(slip={**slip, "folded": not slip.get("folded")}), focus=""), []


def _unslip(app: App) -> Next:
    return replace(app.with_job(slip=None), focus=""), []


def _select(app: App, instrument: str, setting: str) -> Next:
    """An instrument taken up and set; its tool comes to hand with it."""
    after, effects = act(app, {"act": "select", "instrument": instrument, "setting": setting})
    return replace(after.with_job(tool=instrument), compact_sheet=False), effects


def _zoom(app: App, by: int) -> Next:
    job = job_of(app)
    steps = (-1.0, 0.0, 1.0, 1.3, 1.6, 2.0)
    here = steps.index(job.zoom) if job.zoom in steps else 0
    return app.with_job(zoom=steps[min(max(here + by, 0), len(steps) - 1)]), []


def _zoomed(app: App, to: float) -> Next:
    """Whole board, or close enough to work."""
    return app.with_job(zoom=to), []


def _closer(app: App, x: float, y: float, focus: str = "") -> Next:
    """Close enough to work, at a spot of the board."""
    scrolls = {**app.scrolls, "board.x": max(x, 0.0), "board": max(y, 0.0)}
    return replace(app, scrolls=scrolls, focus=focus).with_job(zoom=0.0), []


HANDLERS: dict[str, Callable[..., Next]] = {
    "tool": _tool, "drop": _drop, "set": _set, "step": _step, "carry out": _carry_out,
    "place": _place, "end": _end, "part": _part, "cover": _cover, "act": _act, "sheet": _sheet,
    "undo": _undo,
    "select": _select, "nothing": _nothing, "unpause": _unpause, "why": _why,
    "unslip": _unslip, "fold": _fold, "anyway": do_anyway, "zoom": _zoom,
    "zoomed": _zoomed, "loupe": _loupe, "closer": _closer,
}  # fmt: skip
