"""From a state and a message to the next state and what is to be done outside it.

Pure: effects are carried out by the window (ask the worker, save, quit). Knows states; must know
no shape and no toolkit.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from trainer.view import at_assignment, at_bay, at_bench, at_form, at_scope, keys, replay
from trainer.view.answers import came
from trainer.view.language import speaking, tr
from trainer.view.state import App, Effect, Message

Next = tuple[App, list[Effect]]
#: A line to type into holds so many letters.
TYPED_MOST = 200
#: Pages of the tour.
TOUR = 6


def update(app: App, message: Message) -> Next:
    """Raises KeyError for a message nobody knows: a fault of the program."""
    with speaking(app.settings.language):
        return HANDLERS[message[0]](app, *message[1:])


def _screen(app: App, name: str) -> Next:
    if name == "home":
        # what was listed before may lie elsewhere in a moment: nothing to press until it is looked up
        return replace(app, screen="home", page=None, card=None, home=None, focus=""), [("home",)]
    return replace(app, screen=name, back=_behind(app), focus=""), []  # type: ignore[arg-type]


def _behind(app: App) -> Any:
    """Where "back" leads from a screen that is opened over another."""
    return app.back if app.screen == "settings" else app.screen


def _back(app: App) -> Next:
    if app.back == "bench" and app.job is None:
        return _screen(app, "home")
    return replace(app, screen=app.back, back="home", focus=""), []


def _focus(app: App, name: str) -> Next:
    return replace(app, focus=name), []


def _typed(app: App, name: str, text: str) -> Next:
    after = app.typed(name, text[:TYPED_MOST])
    if name == "settings.name":
        return _settings(after, "name", text[:80].strip())
    return after, []


def _dropped(app: App, path: str) -> Next:
    """A file dropped on the window: an attempt is gone on with, a study opens in the bay."""
    if path.endswith(".att"):
        return _resume(app, path)
    if path.endswith(at_assignment.SUFFIX):
        return at_assignment.opened(app, path)
    if path.endswith(at_assignment.RECEIPT):
        return at_assignment.received(app, path)
    if path.endswith(at_assignment.MARKS):
        return at_assignment.marked(app, path)
    if path.endswith(at_assignment.RELEASE):
        return at_assignment.released(app, path)
    if path.endswith((".yaml", ".yml")):
        after, first = at_bay.HANDLERS["bay"](app)
        after, then = at_bay.HANDLERS["study"](after, path)
        return after, [*first, *then]
    words = tr(
        "{name} is no assignment (.assignment), attempt (.att), study (.yaml) or receipt.",
        name=path.rpartition("/")[2],
    )
    return replace(app, trouble=words), []


def _scroll(app: App, name: str, by: float, most: float = 1e9, first: float = 0.0) -> Next:
    """``first``: where the region stands while nobody has scrolled it."""
    now = min(app.scrolls.get(name, first), most)
    return app.scrolled(name, min(max(now + by, 0.0), most)), []


def _trouble(app: App, words: str = "") -> Next:
    return replace(app, trouble=words, notice="", focus=""), []


def _quit(app: App) -> Next:
    return app, [("quit",)]


def _settings(app: App, key: str, value: Any) -> Next:
    settings = replace(app.settings, **{key: value})
    effects: list[Effect] = [("save settings",)]
    if key == "language" and app.job is not None and app.job.mode == "guided":
        effects.append(("ask", {"ask": "suggest", "language": value}))  # said anew
    return replace(app, settings=settings), effects


def _scale(app: App, by: int) -> Next:
    return _settings(app, "scale", min(max(app.settings.scale + 10 * by, 100), 200))


def _rekey(app: App, command: str) -> Next:
    """A command waits for its new key."""
    return replace(app, keying=command, key_refused=""), []


def _key(app: App, chord: str) -> Next:
    """The key that was pressed for it; "" leaves it as it was."""
    opened = f"settings.key.{app.keying}"
    if not chord or not app.keying:
        return replace(
            app, keying="", key_refused="", focus=opened if app.keying else app.focus
        ), []
    own, refused = keys.given(app.settings.keys, app.keying, chord)
    if refused:
        return replace(app, key_refused=refused), []
    return _settings(replace(app, keying="", key_refused="", focus=opened), "keys", own)


def _usual_keys(app: App) -> Next:
    return _settings(app, "keys", {})


def _exercise(app: App, name: str, mode: str) -> Next:
    """Begin one; a graded one shows its card first. While one is being laid out, none other."""
    if app.progress:
        return app, []
    if mode == "graded":
        card = {"name": name, "mode": mode}
        return replace(app, screen="card", card=card, focus="", back="home"), [
            ("ask", {"ask": "card", "name": name})
        ]
    return _begin(app, name, mode)


def _begin(app: App, name: str, mode: str) -> Next:
    words = tr("Laying out the unit")
    return replace(app, progress=words, card=None), [("begin", name, mode)]


def _resume(app: App, path: str) -> Next:
    if app.progress:
        return app, []
    return replace(app, progress=tr("Opening the attempt")), [
        ("ask", {"ask": "resume", "path": path})
    ]


def _tour(app: App, page: int) -> Next:
    if 0 <= page < TOUR:
        return replace(app, screen="tour", tour=page, focus=""), []
    settings = replace(app.settings, toured=True)
    after = replace(app, settings=settings, screen="home", home=None, focus="")
    return after, [("save settings",), ("home",)]


def _leave(app: App) -> Next:
    """Back home; the attempt is on disk and can be gone on with."""
    return replace(app, screen="home", job=None, focus="", page=None, home=None), [
        ("ask", {"ask": "close"}),
        ("home",),
    ]


def _sheet_up(app: App) -> Next:
    return replace(app, compact_sheet=not app.compact_sheet), []


def _step_at(app: App, seq: int) -> Next:
    """The bench as it was at an event of the attempt; at its end, where marks may lie anywhere
    on it, all of it is in sight.
    """
    wiring = (app.page or {}).get("mark", {}).get("wiring", {})
    differs = any(not row.get("same") for row in wiring.get("rows", ()))
    if app.job is not None and differs and seq >= app.job.events[-1].seq:
        app = app.with_job(zoom=at_bench.WHOLE)
    scrolls = {name: by for name, by in app.scrolls.items() if name != "steps"}
    return replace(app, screen="steps", back="debrief", step_at=seq, scrolls=scrolls), []


def _save_page(app: App) -> Next:
    return app, [("save page",)]


def _debrief(app: App) -> Next:
    return replace(app, progress=tr("Marking")), [("ask", {"ask": "debrief"})]


HANDLERS: dict[str, Callable[..., Next]] = {
    "screen": _screen, "back": _back, "focus": _focus, "typed": _typed, "dropped": _dropped, "scroll": _scroll,
    "trouble": _trouble, "quit": _quit, "settings": _settings, "scale": _scale,
    "rekey": _rekey, "key": _key, "usual keys": _usual_keys,
    "exercise": _exercise, "begin": _begin, "resume": _resume, "tour": _tour, "leave": _leave,
    "sheet up": _sheet_up, "debrief": _debrief, "save page": _save_page, "step at": _step_at, "came": came,
    **at_bench.HANDLERS, **at_form.HANDLERS, **replay.HANDLERS, **at_bay.HANDLERS,
    **at_scope.HANDLERS, **at_assignment.HANDLERS,
}  # fmt: skip
