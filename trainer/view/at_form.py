"""Hands on a form: opening one, filling its fields, citing readings, asking for its act.

Knows forms and the state; must know no shape and no right answer.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from trainer.view.at_bench import OPENER, Next, act, job_of
from trainer.view.forms import cites, form_act
from trainer.view.state import App, Job


def _form(app: App, name: str) -> Next:
    """Opened empty, but for readings that were picked on the Meter sheet before."""
    texts = {k: v for k, v in app.texts.items() if not k.startswith("form.")}
    job = job_of(app)
    opener = job.form_values.get(OPENER, "") if job.form else app.focus
    focus = "" if name else opener
    after = replace(app, texts=texts, focus=focus, compact_sheet=bool(name) or app.compact_sheet)
    after = after.with_job(form=name, form_values={OPENER: opener})
    for seq in _begins_with(job_of(app), cites(name)):
        after, _ = _form_reading(after, seq)
    return after, []


def _begins_with(job: Job, field: str) -> tuple[int, ...]:
    if field == "reading":
        return job.cited[-1:]
    return job.cited if field == "evidence" else ()


def _form_set(app: App, name: str, value: Any) -> Next:
    job = job_of(app)
    return app.with_job(form_values={**job.form_values, name: value}), []


def _form_reading(app: App, seq: int) -> Next:
    """A reading cited in the open form, or no longer; its figure is written down with it."""
    job = job_of(app)
    if cites(job.form) == "evidence":
        cited = list(job.form_values.get("evidence", []))
        cited = [c for c in cited if c != seq] if seq in cited else [*cited, seq]
        return _form_set(app, "evidence", cited)
    field = f"form.{job.form}.value"
    before, typed = job.form_values.get("reading"), app.texts.get(field, "")
    if before == seq:
        return _form_set(app, "reading", 0)
    if typed in ("", shown(job, before)):
        app = app.typed(field, shown(job, seq))
    return _form_set(app, "reading", seq)


def shown(job: Job, seq: object) -> str:
    """What an instrument showed at an event, or ""."""
    found = next((e for e in job.events if e.seq == seq and e.kind == "read"), None)
    return str(found.data["shown"]["text"]) if found else ""


def _form_meaning(app: App, seq: int, meaning: str) -> Next:
    """What a cited reading means, in one word."""
    job = job_of(app)
    return _form_set(app, "means", {**job.form_values.get("means", {}), seq: meaning})


def _form_do(app: App) -> Next:
    asked, wrong = form_act(app)
    if wrong:
        return app.with_job(said=(wrong,)), []
    after, effects = act(app, asked)
    if not effects:
        return after, []
    used = {"cited": ()} if cites(asked["act"]) else {}
    opener = job_of(app).form_values.get(OPENER, "")
    return replace(after.with_job(form="", **used), focus=opener), effects


def _cite(app: App, seq: int) -> Next:
    """A reading picked on the Meter sheet to be cited later, or no longer."""
    cited = job_of(app).cited
    now = tuple(c for c in cited if c != seq) if seq in cited else (*cited, seq)
    return app.with_job(cited=now), []


HANDLERS: dict[str, Callable[..., Next]] = {
    "form": _form, "form set": _form_set, "form reading": _form_reading,
    "form meaning": _form_meaning, "form do": _form_do, "cite": _cite,
}  # fmt: skip
