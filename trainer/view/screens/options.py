"""The line above the tray: what the tool in hand asks for and what is set on it.

Knows tools and the state; changes nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from trainer.unit.catalogue import electrical
from trainer.view import fonts
from trainer.view.at_bench import values_of
from trainer.view.board.seen import layout_of
from trainer.view.forms import offered
from trainer.view.language import tr
from trainer.view.pen import Pen
from trainer.view.shapes import Message, Rect
from trainer.view.state import App, Job
from trainer.view.tools import BY_NAME, Amount, Choice, Line, Setting, Tool
from trainer.view.widgets import Kind, amount, button, button_width, field

#: Height of a line and of what stands on it, the gap between pieces, a line to type into, offers.
LINE, HIGH, GAP, FIELD, OFFERS = 36.0, 32.0, 6.0, 200.0, 3
#: Words of the verbs that a hand does to a part.
VERBS = {
    "open": "Open", "close": "Close", "call": "Set to call", "uncall": "Set to off",
    "cool": "Set to cool", "heat": "Set to heat",
}  # fmt: skip
STATS = {"call": "call", "uncall": "off", "cool": "cool", "heat": "heat"}


@dataclass(frozen=True)
class Piece:
    """Something on the line: how wide it is and what draws it. ``glued``: the next one stays by."""

    wide: float
    draw: Callable[[Pen, Rect], None]
    glued: bool = False


def options_high(app: App, room: float) -> float:
    """As many lines as the pieces need side by side."""
    if app.job is None:
        return LINE
    return LINE * (1 + max((line for *_, line in laid(pieces(app, app.job), room)), default=0))


def options(pen: Pen, rect: Rect, app: App, job: Job) -> None:
    for piece, x, line in laid(pieces(app, job), rect.w):
        place = Rect(rect.x + x, rect.y + LINE * line + 2.0, min(piece.wide, rect.w - x), HIGH)
        piece.draw(pen, place)


def laid(rows: Sequence[Piece], room: float) -> list[tuple[Piece, float, int]]:
    """(piece, x, line): each after the one before, or on the next line where it does not fit."""
    found: list[tuple[Piece, float, int]] = []
    x, line = 0.0, 0
    for n, piece in enumerate(rows):
        wide = piece.wide
        if piece.glued and n + 1 < len(rows):
            wide += GAP + rows[n + 1].wide
        glued = n > 0 and rows[n - 1].glued
        if x + wide > room + 0.1 and x > 0.0 and not glued:
            x, line = 0.0, line + 1
        found.append((piece, x, line))
        x += piece.wide + GAP
    return found


def pieces(app: App, job: Job) -> list[Piece]:
    if job.ask_end:
        return _which(job)
    if job.tool == "hand" and job.picks:
        return _part_menu(job, job.picks[0])
    if job.held:
        return _held(job)
    return _tool(app, job, BY_NAME[job.tool])


def _words(text: str, bold: bool = False, quiet: bool = False, glued: bool = False) -> Piece:
    colour = "quiet" if quiet else "ink"

    def draw(pen: Pen, r: Rect) -> None:
        pen.words((r.x, r.centre[1]), text, "body", bold, colour, room=r.w)

    return Piece(fonts.width(text, "body", bold) + (2.0 if glued else 10.0), draw, glued)


def _button(
    name: str, label: str, on: Message, kind: Kind = "plain", chosen: bool = False
) -> Piece:
    def draw(pen: Pen, r: Rect) -> None:
        button(pen, name, r, label, on, kind, chosen=chosen)

    return Piece(button_width(label) - 8.0, draw)


def _row(words: str, rows: Sequence[tuple[str, str, Message]]) -> list[Piece]:
    """Words, then buttons."""
    return [_words(words, bold=True), *(_button(f"option.{n}", t, on) for n, t, on in rows)]


def _which(job: Job) -> list[Piece]:
    colours = {t: c.colour for t, c in job.bench.unit.conductors.items()}
    rows: list[tuple[str, str, Message]] = []
    for end in job.ask_end:
        tag, side = end.rsplit(".", 1)
        rows.append((f"end.{end}", f"{colours[tag]} {tag}, {side}", ("end", end)))
    return _row(tr("Several ends are here. Which?"), rows)


def _part_menu(job: Job, name: str) -> list[Piece]:
    """What a hand can do to a part, whatever it is set to now."""
    placed = job.bench.unit.parts.get(name)
    if placed is None:
        return []
    part = electrical(placed.type, placed.set)
    verbs = part.hand(name) if part is not None else {}
    rows: list[tuple[str, str, Message]] = []
    for verb in VERBS:
        if verb not in verbs:
            continue
        if verb in STATS:
            act = {"act": "thermostat", "to": STATS[verb], "part": name}
        else:
            act = {"act": verb, "part": name}
        rows.append((verb, tr(VERBS[verb]), ("act", act)))
    for cover in _covers_off(job, name):
        words = tr("Put {cover} back", cover=cover)
        rows.append((f"back.{cover}", words, ("act", {"act": "put back", "cover": cover})))
    if name in job.bench.locks:
        rows.append(("unlock", tr("Lock off"), ("act", {"act": "unlock", "part": name})))
    rows.append(("look", tr("Look closely"), ("act", {"act": "look", "at": name})))
    rows.append(("photo", tr("Photograph"), ("act", {"act": "photograph", "what": name})))
    rows.append(("down", tr("Take out"), ("act", {"act": "take down", "part": name})))
    return _row(name, rows)


def _covers_off(job: Job, part: str) -> list[str]:
    """Covers that hide a part when they are on, and are off now."""
    covers = layout_of(job.bench).covers
    return [c for c, it in covers.items() if part in it.hides and c in job.bench.unit.covers_off]


def _held(job: Job) -> list[Piece]:
    tag, side = job.held.rsplit(".", 1)
    colour = job.bench.unit.conductors[tag].colour if tag in job.bench.unit.conductors else ""
    words = tr("You hold {colour} {tag}, end {side}. Click where it goes.", colour=colour, tag=tag,
               side=side)  # fmt: skip
    return _row(words, [("drop", tr("Let it hang"), ("drop",))])


def _tool(app: App, job: Job, tool: Tool) -> list[Piece]:
    now = values_of(job, tool)
    says = _says(job, tool)
    found = [_words(tr(says))] if says else []
    for setting in tool.settings:
        found += _setting(app, tool, setting, now)
    if tool.by_button and tool.act:
        label = tr("Do it") if tool.settings else tr(tool.label)
        found.append(_button("option.do", label, ("carry out",), "main"))
    return found


def _says(job: Job, tool: Tool) -> str:
    if len(tool.picks) > 1 and job.picks:
        names = {"red": "red", "black": "black", "a": "first", "b": "second"}
        done = ", ".join(
            f"{names.get(field, field)} {place}"
            for (field, _), place in zip(tool.picks, job.picks, strict=False)
        )
        return f"{done}; next {names.get(tool.picks[len(job.picks)][0], tool.picks[len(job.picks)][0])}."
    return tool.says


def _setting(app: App, tool: Tool, setting: Setting, now: dict[str, object]) -> list[Piece]:
    label = _words(tr(setting.label), quiet=True, glued=True)
    name = f"set.{tool.name}.{setting.name}"
    if isinstance(setting, Choice):
        return [label, *_chips(tool, setting, name, str(now[setting.name]))]
    if isinstance(setting, Amount):
        return [label, *_amount(app, tool, setting, name, now)]
    return [label, *_line(app, setting, name, str(now[setting.name]))]


def _chips(tool: Tool, setting: Choice, name: str, chosen: str) -> list[Piece]:
    found = []
    for value, word in setting.rows:
        on = value in chosen.split(",") if setting.name == "items" else value == chosen
        message = ("set", tool.name, setting.name, value)
        found.append(_button(f"{name}.{value or 'none'}", tr(word), message, "chip", on))
    return [replace(p, wide=max(p.wide - 4.0, 36.0)) for p in found]


def _amount(
    app: App, tool: Tool, setting: Amount, name: str, now: dict[str, object]
) -> list[Piece]:
    shown = app.texts.get(name, f"{float(str(now[setting.name])):g}")
    message = ("step", tool.name, setting.name)

    def draw(pen: Pen, r: Rect) -> None:
        amount(pen, name, r, tr(setting.label), shown, message)

    return [Piece(136.0, draw, glued=True), _words(setting.unit)]


def _line(app: App, setting: Line, name: str, first: str) -> list[Piece]:
    typed = app.texts.get(name, first)

    def draw(pen: Pen, r: Rect) -> None:
        field(pen, name, r, tr(setting.label), typed)

    found = [Piece(FIELD, draw)]
    for n, offer in enumerate(offered(app, setting.offers)[:OFFERS]):
        chip = _button(f"{name}.offer{n}", offer, ("typed", name, offer), "chip", offer == typed)
        found.append(replace(chip, wide=min(chip.wide, FIELD)))
    return found
