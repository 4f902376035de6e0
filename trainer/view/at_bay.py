"""The demonstration bay and the free bench: which study, where its sliders are.

While a slider moves at most one question is open; the latest values wait for its answer. Knows the
state; must know no shape.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from trainer.view.language import tr
from trainer.view.state import App, Effect

Next = tuple[App, list[Effect]]
Data = Mapping[str, Any]
#: A slider that rested so long has its whole start drawn. [ms]
RESTS_MS = 300


def _bay(app: App) -> Next:
    after = replace(app, screen="bay", back="home", focus="", bay=app.bay or {"values": {}})
    return after, [("studies",)]


def _free(app: App) -> Next:
    after = replace(app, screen="free", back="home", focus="", bay=app.bay or {"values": {}})
    return after, [("ask", {"ask": "layouts"})]


def _study(app: App, name: str) -> Next:
    bay = {"rows": (app.bay or {}).get("rows", ()), "name": name, "values": {}}
    after = replace(app, bay=bay, progress=tr("Opening the study"))
    return after, [("ask", {"ask": "study", "name": name})]


def _turn(app: App, dial: str, share: float | None) -> Next:
    """A slider by a share of its range, on a step of its own."""
    bay = dict(app.bay or {})
    row = next((d for d in bay.get("dials", ()) if d["name"] == dial), None)
    if row is None or share is None:
        return app, []
    span = row["high"] - row["low"]
    value = row["low"] + min(max(share, 0.0), 1.0) * span
    if row["step"]:
        value = row["low"] + round((value - row["low"]) / row["step"]) * row["step"]
    value = float(f"{min(max(value, row['low']), row['high']):.10g}")
    return _with(app, bay, {**bay.get("values", {}), dial: value})


def _nudge(app: App, dial: str, by: int) -> Next:
    """One step of a slider up or down."""
    bay = dict(app.bay or {})
    row = next((d for d in bay.get("dials", ()) if d["name"] == dial), None)
    if row is None:
        return app, []
    now = float(bay.get("values", {}).get(dial, row["value"]))
    value = float(f"{min(max(now + by * row['step'], row['low']), row['high']):.10g}")
    return _with(app, bay, {**bay.get("values", {}), dial: value})


def _with(app: App, bay: dict[str, Any], values: dict[str, float]) -> Next:
    bay["values"] = values
    if bay.get("asked"):
        bay["waits"] = True
        return replace(app, bay=bay), []
    bay["asked"] = True
    return replace(app, bay=bay), [("ask", {"ask": "turn", "values": values})]


def _as_written(app: App) -> Next:
    """Every slider back to the study's own value."""
    return _with(app, dict(app.bay or {}), {})


def _keep(app: App) -> Next:
    """The start as it is drawn now stays behind the next ones in grey; again: none."""
    bay = dict(app.bay or {})
    bay["behind"] = None if bay.get("behind") else bay.get("near")
    return replace(app, bay=bay), []


def _save_study(app: App) -> Next:
    """The bench as it is, kept as a study for the bay."""
    if app.job is None:
        return app, []
    return app, [("save study", str(app.job.told.get("title", "bench")))]


def _rested(app: App) -> Next:
    bay = dict(app.bay or {})
    if app.screen != "bay" or bay.get("asked") or not bay.get("dials"):
        return app, []
    return app, [("ask", {"ask": "whole", "values": dict(bay.get("values", {}))})]


def studies_came(app: App, request: Data, answer: Data) -> Next:
    return replace(app, bay={**(app.bay or {}), "rows": answer["studies"]}), []


def layouts_came(app: App, request: Data, answer: Data) -> Next:
    return replace(app, bay={**(app.bay or {}), "layouts": answer["layouts"]}), []


def study_came(app: App, request: Data, answer: Data) -> Next:
    bay = {**(app.bay or {}), **answer, "near": near_of(answer), "name": request["name"]}
    after = replace(app, bay={**bay, "behind": None, "text": "", "outcome": ""}, progress="")
    return after, [("later", RESTS_MS, ("rested",))]


def turned_came(app: App, request: Data, answer: Data) -> Next:
    bay = {**(app.bay or {}), **{k: v for k, v in answer.items() if k != "values"}}
    bay |= {"near": near_of(answer), "asked": False, "text": "", "outcome": ""}
    if bay.pop("waits", False):
        return _with(replace(app, bay=bay), bay, bay["values"])
    return replace(app, bay=bay), [("later", RESTS_MS, ("rested",))]


def whole_came(app: App, request: Data, answer: Data) -> Next:
    bay = dict(app.bay or {})
    if answer["values"] != bay.get("values"):
        return app, []
    return replace(app, bay={**bay, "text": answer["text"], "outcome": answer["outcome"]}), []


def saved_came(app: App, request: Data, answer: Data) -> Next:
    """A page or a study was written: where it is."""
    return replace(app, notice=tr("Saved: {path}", path=answer["saved"])), []


def near_of(answer: Data) -> dict[str, Any]:
    """What is drawn of an answer."""
    return {k: answer[k] for k in ("lines", "levels", "marks")}


HANDLERS: dict[str, Callable[..., Next]] = {
    "bay": _bay, "free": _free, "study": _study, "turn": _turn, "nudge": _nudge,
    "as written": _as_written, "keep": _keep, "rested": _rested, "save study": _save_study,
}  # fmt: skip
CAME: dict[str, Callable[[App, Data, Data], Next]] = {
    "studies": studies_came, "layouts": layouts_came, "study": study_came, "turn": turned_came,
    "whole": whole_came, "save study": saved_came, "save page": saved_came,
}  # fmt: skip
