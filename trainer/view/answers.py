"""What the worker's answers do to the state. Knows events by kind; must know no shape."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from trainer.view import at_assignment, at_bay, harm
from trainer.view.board.seen import hanging
from trainer.view.keys import chords, shown
from trainer.view.language import tr
from trainer.view.state import App, Effect, Job

Next = tuple[App, list[Effect]]
Data = Mapping[str, Any]


def came(app: App, request: Data, answer: Data) -> Next:
    """An answer to a request."""
    if "error" in answer:
        return _failed(app, str(answer["error"]))
    return CAME.get(str(request.get("ask")), _nothing)(app, request, answer)


def _nothing(app: App, request: Data, answer: Data) -> Next:
    return app, []


def _failed(app: App, words: str) -> Next:
    after = replace(app, trouble=words, progress="")
    if after.job is not None:
        after = after.with_job(busy=False)
    return after, []


def _begun(app: App, request: Data, answer: Data) -> Next:
    from trainer.session.events import from_line
    from trainer.session.evolve import fold

    events = tuple(from_line(line) for line in answer["events"])
    found = events[0].data.get("found", {})
    header = answer["header"]
    mode = header.get("mode", "practice")
    job = Job(
        header, answer["job"], fold(events), events,
        "graded" if mode.endswith("graded") else "guided" if mode == "guided" else "practice",
        str(answer.get("path", request.get("path", ""))),
        {n: tuple(v) for n, v in found.get("spots", {}).items()},
    )  # fmt: skip
    starts = [e.seq for e in events if e.kind == "start"]
    slots = hanging({}, job.bench)
    job = replace(job, start_seq=starts[-1] if starts else 0, slots=slots)
    lost = str(answer.get("lost", ""))
    said = (lost,) if lost else (_first_words(app, events),)
    after = replace(
        app, job=replace(job, said=said), screen="bench", progress="", focus="", page=None,
        compact_sheet=False, scrolls={},
    )  # fmt: skip
    return after, _suggest(after)


def _first_words(app: App, events: Sequence[Any]) -> str:
    words = tr("Read the job sheet; the unit waits.")
    acts = sum(e.kind == "asked" for e in events)
    if acts:
        words = tr("Opened as it was left, after {n} acts.", n=acts)
    if not app.keyed:
        return words
    key = shown(chords(app.settings.keys)["area"])
    return f"{words} " + tr("{key} leads on: strip, board, tools, clipboard.", key=key)


def _suggest(app: App) -> list[Effect]:
    assert app.job is not None
    return [("ask", {"ask": "suggest"})] if app.job.mode == "guided" else []


def _done(app: App, request: Data, answer: Data) -> Next:
    from trainer.session.events import from_line
    from trainer.session.evolve import evolve
    from trainer.view.captions import captions

    job = app.job
    if job is None:
        return app, []
    new = tuple(from_line(line) for line in answer["events"])
    bench = job.bench
    for event in new:
        bench = evolve(bench, event)
    job = replace(
        job, bench=bench, events=job.events + new, busy=False, said=captions(new),
        held=_still_held(job, request, new), after_lift=False, slots=hanging(job.slots, bench),
        slip=answer.get("slip"),
    )  # fmt: skip
    job = _watch(replace(job, loupe=_looked_at(job, request, new)), new)
    after = _told_first(replace(app, job=_stopped(job, new)))
    effects = _suggest(after)
    if job.header.get("lock") and any(e.kind == "over" for e in new):
        effects.append(("assigned", {"ask": "seal"}))
    starts = [e for e in new if e.kind == "start"]
    if starts and app.settings.sound and not app.settings.class_mode:
        effects.append(("sound", starts[-1].seq))
    return after, effects


def _still_held(job: Job, request: Data, new: Sequence[Any]) -> str:
    """An end stays in the hand after it was lifted; landing it empties the hand."""
    asked = request.get("act", {})
    refused = any(e.kind == "refused" for e in new)
    if asked.get("act") == "lift":
        return "" if refused else f"{asked['wire']}.{asked['end']}"
    if asked.get("act") == "land" and not refused:
        return ""
    return job.held if refused or asked.get("act") not in ("cap", "park") else ""


def _looked_at(job: Job, request: Data, new: Sequence[Any]) -> str:
    """What the loupe shows after an act: what was looked at, or still the part that was wiped."""
    asked = request.get("act", {})
    if any(e.kind == "refused" for e in new):
        return job.loupe
    if asked.get("act") == "inspect":
        return f"end.{asked['wire']}.{asked['end']}"
    if asked.get("act") == "look" and asked.get("at") in job.bench.unit.parts:
        return f"part.{asked['at']}"
    return job.loupe if asked.get("act") == "wipe" else ""


def _watch(job: Job, new: Sequence[Any]) -> Job:
    """A start is shown at once; a reading turns up the meter; the end leads to the debrief."""
    for event in new:
        if event.kind == "start":
            job = replace(job, sheet="trace", start_seq=event.seq, at_s=1.0, playing=False)
        elif event.kind == "read" and job.sheet not in ("meter", "note"):
            job = replace(job, sheet="meter")
        elif event.kind == "over":  # what is left to do is read how it went
            job = replace(job, form="finish")
    return job


def _stopped(job: Job, new: Sequence[Any]) -> Job:
    """Harm freezes practice: told, explained, with a way back."""
    if job.mode == "graded":
        return job
    found = next((e for e in new if e.kind in harm.HARM), None)
    if found is None:
        return job
    asked: Data = next((e.data for e in new if e.kind == "asked"), {})
    shown = job.mode != "practice" or harm.done_right(job.events[: -len(new)], asked)
    return replace(job, slip=None, pause={"kind": "harm", "shown": shown, **harm.told(found, job)})


def _foreseen(app: App, request: Data, answer: Data) -> Next:
    """Guided: an act that would hurt or be refused is stopped and explained; others are done."""
    job = app.job
    if job is None:
        return app, []
    # worse than a wrong landing is what it would do at once
    stop = harm.foreseen(answer["foreseen"], bool(answer["led"])) or answer.get("wrong")
    if stop is None:
        return app, [("ask", {"ask": "do", "act": dict(request["act"])})]
    after = app.with_job(
        busy=False,
        pause={"kind": "stopped", "act": request["act"], **stop},
        held="" if job.after_lift else job.held,
        after_lift=False,
    )
    return _told_first(after), []


def _told_first(app: App) -> App:
    """With keys a stop begins at its own button and leads back to what was pressed; the end of an
    attempt begins at the way to its debrief.
    """
    if app.job is None:
        return app
    if app.job.pause is None:
        over = app.keyed and app.job.bench.over and app.job.form == "finish"
        return replace(app, focus="") if over else app
    after = app.with_job(pause={**app.job.pause, "back": app.focus})
    return replace(after, focus="") if app.keyed else after


def _undone(app: App, request: Data, answer: Data) -> Next:
    from trainer.session.events import from_line
    from trainer.session.evolve import fold

    if app.job is None:
        return app, []
    events = tuple(from_line(line) for line in answer["events"])
    starts = [e.seq for e in events if e.kind == "start"]
    bench = fold(events)
    after = app.with_job(
        bench=bench, slots=hanging(app.job.slots, bench), events=events, busy=False, held="", pause=None, slip=None,
        said=(tr("Taken back."),), start_seq=starts[-1] if starts else 0,
    )  # fmt: skip
    return after, _suggest(after)


def _page(app: App, request: Data, answer: Data) -> Next:
    return replace(
        app, page=answer["page"], screen="debrief", progress="", focus="", scrolls={},
    ), []  # fmt: skip


def _looked_back(app: App, request: Data, answer: Data) -> Next:
    after, _ = _begun(app, request, answer)
    return _page(after, request, answer)


def _home(app: App, request: Data, answer: Data) -> Next:
    return replace(app, home=answer["home"]), []


def _step(app: App, request: Data, answer: Data) -> Next:
    if app.job is None:
        return app, []
    return app.with_job(step=answer["step"]), []


def _card(app: App, request: Data, answer: Data) -> Next:
    if app.card is None or app.card.get("name") != request.get("name"):
        return app, []
    return replace(app, card={**app.card, **answer["card"]}), []


def _warm(app: App, request: Data, answer: Data) -> Next:
    return replace(app, ready=True), []


CAME: dict[str, Callable[[App, Data, Data], Next]] = {
    "begin": _begun, "resume": _begun, "do": _done, "foresee": _foreseen, "undo": _undone,
    "debrief": _page, "home": _home, "suggest": _step, "card": _card, "warm": _warm,
    "sit": _begun, "look back": _looked_back, **at_bay.CAME, **at_assignment.CAME,
}  # fmt: skip
