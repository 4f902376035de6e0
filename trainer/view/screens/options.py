"""The line above the tray: what the tool in hand asks for and what is set on it.

Knows tools and the state; changes nothing.
"""

from __future__ import annotations

from collections.abc import Sequence

from trainer.view import fonts
from trainer.view.at_bench import values_of, verbs_of
from trainer.view.board.seen import layout_of
from trainer.view.forms import offered
from trainer.view.language import later as _
from trainer.view.language import spelt, term, tr
from trainer.view.pen import Pen
from trainer.view.screens.gauge import LBF_IN, WIDE, aim, gauge, said, set_now
from trainer.view.screens.strip import LOWEST
from trainer.view.shapes import Message, Rect
from trainer.view.state import App, Job
from trainer.view.theme import TARGET
from trainer.view.tools import BY_NAME, Amount, Choice, Setting, Tool
from trainer.view.widgets import (
    BAR,
    PAGE,
    amount,
    button,
    button_width,
    field,
    pages,
    scrolled,
)

#: Height of a line of options, and how many are shown at once in a high and in a low window.
LINE, LINES, FEW = 38.0, 4, 2
LOW = 560.0
#: At most so many offers stand beside a line to type.
OFFERS = 3
#: Types are those of the tray, whose names nobody can guess.
TYPES = 8
#: Words of the verbs that a hand does to a part.
VERBS = {
    "open": _("Open"), "close": _("Close"), "call": _("Set to call"), "uncall": _("Set to off"),
    "cool": _("Set to cool"), "heat": _("Set to heat"),
}  # fmt: skip
STATS = {"call": "call", "uncall": "off", "cool": "cool", "heat": "heat"}


class Flow:
    """Places pieces from the left, in as many lines as they need."""

    def __init__(self, rect: Rect) -> None:
        self.rect, self.x, self.y = rect, rect.x + 4.0, rect.y
        self.least = LINE

    def take(self, wide: float, gap: float = 4.0) -> Rect:
        """The place of the next piece, a line high; ``gap`` follows it."""
        begin = self.rect.x + 4.0
        if self.x + wide > self.rect.right and self.x > begin:
            self.x, self.y = begin, self.y + LINE
        place = Rect(self.x, self.y, min(wide, self.rect.right - begin), LINE)
        self.x += wide + gap
        return place

    @property
    def high(self) -> float:
        return max(self.y + LINE - self.rect.y, self.least)

    def beside(self, wide: float) -> Rect:
        """A place two lines high at the left; what follows flows on its right."""
        place = Rect(self.rect.x + 4.0, self.rect.y, wide, 2.0 * LINE)
        self.rect = Rect(place.right + 6.0, self.rect.y, self.rect.right - place.right - 6.0, LINE)
        self.x, self.least = self.rect.x + 4.0, 2.0 * LINE
        return place


def options_high(app: App, wide: float) -> float:
    """How high the options are at a width; more lines than are shown scroll."""
    if app.job is None:
        return LINE
    if _only_says(app, app.job):
        return 0.0
    most = FEW if app.size[1] < LOW else LINES
    if app.size[1] < LOWEST and app.job.tool != "torque":  # whose gauge is two lines high
        most = 1
    return min(_flowed(Pen(app.size), Rect(0.0, 0.0, wide, LINE), app, app.job), LINE * most)


def _only_says(app: App, job: Job) -> bool:
    """Whether there is but a line of help, for which a low window has no room."""
    begun = job.ask_end or job.picks or job.held
    tool = BY_NAME[job.tool]
    return app.size[1] < LOW and not begun and not tool.settings and not tool.by_button


def options(pen: Pen, rect: Rect, app: App, job: Job) -> None:
    if _only_says(app, job):
        return
    high = _flowed(Pen(app.size), rect, app, job)
    if high <= rect.h + 0.5:
        _flowed(pen, rect, app, job)
        return
    if rect.h < 2.0 * TARGET:
        _line_by_line(pen, rect, app, job)
        return
    inside = Rect(rect.x, rect.y, rect.w - BAR - 6.0, rect.h)
    high = _flowed(Pen(app.size), inside, app, job)
    with scrolled(pen, "options", rect, high) as place:
        _flowed(pen, place, app, job)


def _line_by_line(pen: Pen, rect: Rect, app: App, job: Job) -> None:
    """One line at a time, with the arrows of its bar side by side: the board needs the room."""
    room = Rect(rect.x, rect.y, rect.w - 2.0 * TARGET - 6.0, rect.h)
    most = _flowed(Pen(app.size), room, app, job) - rect.h
    offset = min(max(pen.scrolls.get("options", 0.0), 0.0), most)
    value = f"{most:.0f} {offset:.0f}"
    pen.node("scroll.options", "scroll", room, "options", (), value=value, focus=False)
    with pen.clipped(room):
        _flowed(pen, Rect(room.x, room.y - offset, room.w, most + rect.h), app, job)
    arrows = Rect(room.right + 6.0, rect.centre[1] - TARGET / 2.0, 2.0 * TARGET, TARGET)
    pages(pen, "options", arrows, offset, LINE / PAGE, most, False)


def _flowed(pen: Pen, rect: Rect, app: App, job: Job) -> float:
    """Draws what can be chosen now; returns how high it is."""
    flow = Flow(rect)
    if job.ask_end:
        _which(pen, flow, job)
    elif job.tool == "hand" and job.picks:
        _part_menu(pen, flow, job, job.picks[0])
    elif job.held:
        _held(pen, flow, job)
    else:
        _tool(pen, flow, app, job, BY_NAME[job.tool])
    return flow.high


def _said(pen: Pen, flow: Flow, words: str, bold: bool = False, colour: str = "ink") -> None:
    """Words in the flow; longer than a line they are broken."""
    lines = fonts.wrap(words, flow.rect.w - 8.0, "body", bold)
    for line in lines:
        place = flow.take(fonts.width(line, "body", bold), 10.0)
        pen.words((place.x, place.y + 18.0), line, bold=bold, colour=colour, room=place.w + 1.0)


def _row(pen: Pen, flow: Flow, words: str, rows: Sequence[tuple[str, str, Message]]) -> None:
    """Words, then buttons."""
    _said(pen, flow, words, bold=True)
    for name, label, on in rows:
        place = flow.take(button_width(label) - 8.0, 6.0)
        button(pen, f"option.{name}", Rect(place.x, place.y + 2.0, place.w, 32.0), label, on)


def _which(pen: Pen, flow: Flow, job: Job) -> None:
    colours = {t: c.colour for t, c in job.bench.unit.conductors.items()}
    rows: list[tuple[str, str, Message]] = []
    for end in job.ask_end:
        tag, side = end.rsplit(".", 1)
        rows.append((f"end.{end}", f"{colours[tag]} {tag}, {side}", ("end", end)))
    _row(pen, flow, tr("Several ends are here. Which?"), rows)


def _part_menu(pen: Pen, flow: Flow, job: Job, name: str) -> None:
    """What a hand can do to a part, whatever it is set to now."""
    if name not in job.bench.unit.parts:
        return
    verbs = verbs_of(job, name)
    rows: list[tuple[str, str, Message]] = []
    for cover, off in _covers(job, name):
        called = term("cover", cover).replace("-", " ")
        verb, words = ("put back", tr("Put {cover} back", cover=called)) if off else (
            "take off", tr("Take {cover} off", cover=called))  # fmt: skip
        rows.append((f"cover.{cover}", words, ("act", {"act": verb, "cover": cover})))
    for verb in VERBS:
        if verb not in verbs:
            continue
        if verb in STATS:
            act = {"act": "thermostat", "to": STATS[verb], "part": name}
        else:
            act = {"act": verb, "part": name}
        rows.append((verb, tr(VERBS[verb]), ("act", act)))
    if name in job.bench.locks:
        rows.append(("unlock", tr("Lock off"), ("act", {"act": "unlock", "part": name})))
    rows.append(("look", tr("Look closely"), ("act", {"act": "look", "at": name})))
    rows.append(("photo", tr("Photograph"), ("act", {"act": "photograph", "what": name})))
    rows.append(("down", tr("Take out"), ("act", {"act": "take down", "part": name})))
    _row(pen, flow, spelt(name), rows)


def _covers(job: Job, part: str) -> list[tuple[str, bool]]:
    """Covers that hide a part when they are on, and whether each is off now."""
    off = job.bench.unit.covers_off
    return [(c, c in off) for c, it in layout_of(job.bench).covers.items() if part in it.hides]


def _held(pen: Pen, flow: Flow, job: Job) -> None:
    tag, side = job.held.rsplit(".", 1)
    colour = job.bench.unit.conductors[tag].colour if tag in job.bench.unit.conductors else ""
    words = tr("You hold {colour} {tag}, end {side}. Click where it goes.", colour=colour, tag=tag,
               side=side)  # fmt: skip
    _row(pen, flow, words, [("drop", tr("Let it hang"), ("drop",))])


def _tool(pen: Pen, flow: Flow, app: App, job: Job, tool: Tool) -> None:
    now = values_of(job, tool)
    says = _says(job, tool)
    if tool.name == "torque":
        gauge(pen, flow.beside(WIDE), app, job)
        says = said(aim(app, job), set_now(app, job), app.settings.units, job.mode == "guided")
    if says:
        _said(pen, flow, says)
    for setting in tool.settings:
        _setting(pen, flow, app, tool, setting, now)
    if tool.by_button and tool.act:
        label = tr(tool.does) if tool.does else tr("Do it") if tool.settings else tr(tool.label)
        place = flow.take(button_width(label))
        button(pen, "option.do", Rect(place.x, place.y + 2.0, place.w, 32.0), label,
               ("carry out",), "main", enabled=len(job.picks) == len(tool.picks))  # fmt: skip
    if tool.name == "part" and any(n not in job.bench.unit.parts for n in job.bench.tray or {}):
        label = tr("Mount one that is not in the unit")
        place = flow.take(button_width(label))
        button(pen, "option.mount", Rect(place.x, place.y + 2.0, place.w, 32.0), label,
               ("form", "mount"))  # fmt: skip


def _says(job: Job, tool: Tool) -> str:
    if len(tool.picks) > 1 and job.picks:
        names = {"red": tr("red"), "black": tr("black"), "a": tr("first"), "b": tr("second"),
                 "one": tr("tip one"), "clip": tr("clip"), "two": tr("tip two"),
                 "wire": tr("end"), "place": tr("place")}  # fmt: skip
        done = ", ".join(
            f"{names[field]} {place}"
            for (field, _kind), place in zip(tool.picks, job.picks, strict=False)
        )
        return tr("{done}; next {field}.", done=done, field=names[tool.picks[len(job.picks)][0]])
    return tr(tool.says)


def _setting(
    pen: Pen, flow: Flow, app: App, tool: Tool, setting: Setting, now: dict[str, object]
) -> None:
    name = f"set.{tool.name}.{setting.name}"
    _said(pen, flow, tr(setting.label), colour="quiet")
    if isinstance(setting, Choice):
        chosen = str(now[setting.name])
        for value, word in setting.rows:
            on = value in chosen.split(",") if setting.name == "items" else value == chosen
            _chip(pen, flow, f"{name}.{value or 'none'}", tr(word),
                  ("set", tool.name, setting.name, value), on)  # fmt: skip
    elif isinstance(setting, Amount):
        shown = app.texts.get(name, f"{float(str(now[setting.name])):g}")
        told = in_units(setting.unit, float(str(now[setting.name])), app.settings.units)
        unit = fonts.width(told)
        place = flow.take(138.0 + unit)
        amount(pen, name, Rect(place.x, place.y + 4.0, 132.0, 28.0), tr(setting.label), shown,
               ("step", tool.name, setting.name))  # fmt: skip
        pen.words((place.x + 138.0, place.y + 18.0), told, room=unit + 1.0)
    else:
        typed = app.texts.get(name, str(now[setting.name]))
        place = flow.take(min(max(fonts.width(typed) + 26.0, 200.0), 340.0))
        field(pen, name, Rect(place.x, place.y + 4.0, place.w, 28.0), tr(setting.label), typed)
        most = TYPES if setting.offers == "types" else OFFERS
        for n, offer in enumerate(offered(app, setting.offers)[:most]):
            _chip(
                pen, flow, f"{name}.offer{n}", spelt(offer), ("typed", name, offer), offer == typed
            )
    flow.x += 8.0


def _chip(pen: Pen, flow: Flow, name: str, word: str, on: Message, chosen: bool) -> None:
    place = flow.take(fonts.width(word, "body", True) + 18.0)
    at = Rect(place.x, place.y + 4.0, place.w, 28.0)
    button(pen, name, at, word, on, "chip", chosen=chosen)


#: One foot in metres, exact (NIST SP 811, appendix B).
FOOT_M = 0.3048


def in_units(unit: str, value: float, units: str) -> str:
    """The unit of a set value, and the same amount as the person is used to read it."""
    if unit == "N·m" and units == "US":
        return f"{unit} = {value * LBF_IN:.0f} lbf·in"
    if unit == "ft" and units == "SI":
        return f"{unit} = {value * FOOT_M:.2f} m"
    return unit
