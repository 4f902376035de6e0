"""Guided mode: which step could come next, in words, with its reason.

The steps are the file of acts that the author wrote to show one good way; a step counts as taken
wherever in that order it was taken. Knows files and acts; must know no mark.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache
from typing import Any

from trainer.base.fields import Record
from trainer.base.places import assets_dir, scenarios_dir
from trainer.base.yamlfile import load
from trainer.session.acts import load_moves
from trainer.session.attempt import Running
from trainer.view.language import spelt, term, tr

#: Fields by which an act of these kinds is recognised; others must agree whole.
BY = {
    "record": ("what",), "name fault": ("fault",), "hand over": (), "label unit": (),
    "label": ("wire", "end"), "tag": ("part",), "tell": (), "put on": (), "wait": (),
    "discharge": ("a", "b"), "torque": ("wire", "end"), "strip": ("wire", "end"),
    "crimp": ("wire", "end"), "mount": ("part",), "take wire": ("wire",), "dispose": ("what",),
}  # fmt: skip


class Say(Record):
    """What is said of one kind of act; fields of the act stand in braces."""

    say: str
    why: str
    how: str


class Guide(Record):
    """The file assets/guide.yaml."""

    guide: int
    acts: dict[str, Say]


@cache
def guide() -> Guide:
    return load(assets_dir() / "guide.yaml", Guide)


@lru_cache(maxsize=16)
def model(name: str) -> tuple[dict[str, Any], ...]:
    """One good way through a shipped scenario, as plain acts; () when none is written."""
    path = scenarios_dir() / "moves" / f"{name}.yaml"
    if not path.is_file():
        return ()
    return tuple(a.model_dump(mode="json") for a in load_moves(path).acts)


def suggestion(header: Mapping[str, Any], running: Running) -> dict[str, Any] | None:
    """The first step of the way that was not taken yet; None when all were or none is written."""
    way, left = model(str(header.get("scenario", ""))), steps_left(header, running)
    return told(left[0], len(way) - len(left), len(way)) if left else None


def steps_left(header: Mapping[str, Any], running: Running) -> list[dict[str, Any]]:
    """The steps of the way that were not taken yet."""
    left = [*model(str(header.get("scenario", "")))]
    for act in done(running):
        match = next((a for a in left if same(a, act)), None)
        if match is not None:
            left.remove(match)
    return left


def is_suggested(header: Mapping[str, Any], running: Running, act: Mapping[str, Any]) -> bool:
    """Whether an act is the step that is suggested: the author may show a start that fails."""
    step = suggestion(header, running)
    return step is not None and same(step["act"], act)


def done(running: Running) -> list[dict[str, Any]]:
    """Acts that were asked for and not refused."""
    found: list[dict[str, Any]] = []
    for event in running.events:
        if event.kind == "asked":
            found.append(dict(event.data))
        elif event.kind == "refused" and found:
            found.pop()
    return found


def same(a: Mapping[str, Any], b: Mapping[str, Any]) -> bool:
    if a["act"] != b["act"]:
        return False
    names = BY.get(str(a["act"]))
    if names is None:
        return dict(a) == dict(b)
    return all(a.get(n) == b.get(n) for n in names)


def told(act: Mapping[str, Any], n: int, of: int) -> dict[str, Any]:
    """The step as guided mode shows it."""
    say = guide().acts[str(act["act"])]
    words = {k: _word(k, v) for k, v in act.items()}
    words["why_word"] = words.get("why") or tr("no reason")
    fill = {"say": say.say, "why": say.why, "how": say.how}
    shown = {k: tr(v).format_map(words) for k, v in fill.items()}
    return {"act": dict(act), **shown, "n": n + 1, "of": of}


#: Fields whose values are words of a table; the others are names and numbers.
KINDS = {
    "instrument": "instrument", "setting": "setting", "cover": "cover", "to": "choice",
    "where": "choice", "how": "choice", "why": "choice", "what": "choice", "at": "choice",
}  # fmt: skip


def _word(field: str, value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(tr(str(v)) if field == "items" else str(v) for v in value)
    if field in KINDS:
        called = term(KINDS[field], str(value))
        called = called if called != str(value) else spelt(called)
        return called.replace("-", " ") if field == "cover" else called  # as on the board
    return f"{value:g}" if isinstance(value, float) else spelt(str(value))
