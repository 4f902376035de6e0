"""The line above the tray: what the tool in hand asks for and what is set on it.

Knows tools and the state; changes nothing.
"""

from __future__ import annotations

from collections.abc import Sequence

from trainer.unit.catalogue import electrical
from trainer.view import fonts
from trainer.view.at_bench import values_of
from trainer.view.board.seen import layout_of
from trainer.view.forms import offered
from trainer.view.language import tr
from trainer.view.pen import Pen
from trainer.view.shapes import Message, Rect
from trainer.view.state import App, Job
from trainer.view.tools import BY_NAME, Amount, Choice, Line, Tool
from trainer.view.widgets import amount, button, button_width, field

LINE = 38.0
#: Words of the verbs that a hand does to a part.
VERBS = {
    "open": "Open", "close": "Close", "call": "Set to call", "uncall": "Set to off",
    "cool": "Set to cool", "heat": "Set to heat",
}  # fmt: skip
STATS = {"call": "call", "uncall": "off", "cool": "cool", "heat": "heat"}


def options_high(app: App) -> float:
    job = app.job
    if job is None:
        return LINE
    tool = BY_NAME[job.tool]
    many = sum(_wide(s) for s in tool.settings) > app.size[0] * 0.62
    return LINE * (2.0 if many else 1.0)


def _wide(setting: object) -> float:
    if isinstance(setting, Choice):
        return 60.0 + sum(fonts.width(w, "body", True) + 26.0 for _, w in setting.rows)
    return 190.0


def options(pen: Pen, rect: Rect, app: App, job: Job) -> None:
    if job.ask_end:
        _which(pen, rect, job)
    elif job.tool == "hand" and job.picks:
        _part_menu(pen, rect, job, job.picks[0])
    elif job.held:
        _held(pen, rect, job)
    else:
        _tool(pen, rect, app, job, BY_NAME[job.tool])


def _row(pen: Pen, rect: Rect, words: str, rows: Sequence[tuple[str, str, Message]]) -> None:
    """Words, then buttons."""
    room = max(rect.w - sum(button_width(label) + 6.0 for _, label, _ in rows), 80.0)
    wide = pen.words((rect.x + 4.0, rect.y + 18.0), words, bold=True, room=room)
    x = rect.x + wide + 16.0
    for name, label, on in rows:
        w = button_width(label) - 8.0
        button(pen, f"option.{name}", Rect(x, rect.y + 2.0, w, 32.0), label, on)
        x += w + 6.0


def _which(pen: Pen, rect: Rect, job: Job) -> None:
    colours = {t: c.colour for t, c in job.bench.unit.conductors.items()}
    rows: list[tuple[str, str, Message]] = []
    for end in job.ask_end:
        tag, side = end.rsplit(".", 1)
        rows.append((f"end.{end}", f"{colours[tag]} {tag}, {side}", ("end", end)))
    _row(pen, rect, tr("Several ends are here. Which?"), rows)


def _part_menu(pen: Pen, rect: Rect, job: Job, name: str) -> None:
    """What a hand can do to a part, whatever it is set to now."""
    placed = job.bench.unit.parts.get(name)
    if placed is None:
        return
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
    _row(pen, rect, name, rows)


def _covers_off(job: Job, part: str) -> list[str]:
    """Covers that hide a part when they are on, and are off now."""
    covers = layout_of(job.bench).covers
    return [c for c, it in covers.items() if part in it.hides and c in job.bench.unit.covers_off]


def _held(pen: Pen, rect: Rect, job: Job) -> None:
    tag, side = job.held.rsplit(".", 1)
    colour = job.bench.unit.conductors[tag].colour if tag in job.bench.unit.conductors else ""
    words = tr("You hold {colour} {tag}, end {side}. Click where it goes.", colour=colour, tag=tag,
               side=side)  # fmt: skip
    _row(pen, rect, words, [("drop", tr("Let it hang"), ("drop",))])


def _tool(pen: Pen, rect: Rect, app: App, job: Job, tool: Tool) -> None:
    now = values_of(job, tool)
    x, y = rect.x + 4.0, rect.y
    says = _says(job, tool)
    if says:
        room = rect.w if not tool.settings else rect.w * 0.46
        x += pen.words((x, y + 18.0), tr(says), room=room) + 16.0
    for setting in tool.settings:
        need = _wide(setting)
        if x + need > rect.right and x > rect.x + 10.0 and y == rect.y:
            x, y = rect.x + 4.0, y + LINE - 2.0
        x = _setting(pen, app, tool, setting, now, x, y, rect)
    if tool.by_button and tool.act:
        label = tr("Do it") if tool.settings else tr(tool.label)
        wide = button_width(label)
        x = min(x, rect.right - wide)
        button(pen, "option.do", Rect(x, y + 2.0, wide, 32.0), label, ("carry out",), "main")


def _says(job: Job, tool: Tool) -> str:
    if len(tool.picks) > 1 and job.picks:
        names = {"red": "red", "black": "black", "a": "first", "b": "second"}
        done = ", ".join(
            f"{names.get(field, field)} {place}"
            for (field, _), place in zip(tool.picks, job.picks, strict=False)
        )
        return f"{done}; next {names.get(tool.picks[len(job.picks)][0], tool.picks[len(job.picks)][0])}."
    return tool.says


def _setting(
    pen: Pen, app: App, tool: Tool, setting: object, now: dict[str, object], x: float, y: float,
    rect: Rect,
) -> float:  # fmt: skip
    name = f"set.{tool.name}"
    if isinstance(setting, Choice):
        x += pen.words((x, y + 18.0), tr(setting.label), colour="quiet") + 8.0
        chosen = str(now[setting.name])
        for value, word in setting.rows:
            on = value in chosen.split(",") if setting.name == "items" else value == chosen
            wide = fonts.width(tr(word), "body", True) + 18.0
            button(pen, f"{name}.{setting.name}.{value or 'none'}", Rect(x, y + 4.0, wide, 28.0),
                   tr(word), ("set", tool.name, setting.name, value), "chip", chosen=on)  # fmt: skip
            x += wide + 4.0
        return x + 10.0
    if isinstance(setting, Amount):
        x += pen.words((x, y + 18.0), tr(setting.label), colour="quiet") + 8.0
        field_name = f"{name}.{setting.name}"
        shown = app.texts.get(field_name, f"{float(str(now[setting.name])):g}")
        amount(pen, field_name, Rect(x, y + 4.0, 132.0, 28.0), tr(setting.label), shown,
               ("step", tool.name, setting.name))  # fmt: skip
        return x + 138.0 + pen.words((x + 138.0, y + 18.0), setting.unit) + 10.0
    assert isinstance(setting, Line)
    x += pen.words((x, y + 18.0), tr(setting.label), colour="quiet") + 8.0
    field_name = f"{name}.{setting.name}"
    typed = app.texts.get(field_name, str(now[setting.name]))
    wide = 200.0
    field(pen, field_name, Rect(x, y + 4.0, wide, 28.0), tr(setting.label), typed)
    x += wide + 6.0
    for n, offer in enumerate(offered(app, setting.offers)[:3]):
        w = min(fonts.width(offer, "body", True) + 18.0, 190.0)
        if x + w > rect.right - 70.0:
            break
        button(pen, f"{field_name}.offer{n}", Rect(x, y + 4.0, w, 28.0), offer,
               ("typed", field_name, offer), "chip", chosen=offer == typed)  # fmt: skip
        x += w + 4.0
    return x + 8.0
