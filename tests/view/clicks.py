"""From an act to what is pressed and typed for it: read off the table of tools and the forms.

A step is data: ``("press", node)``, ``("choose", node)`` (pressed unless chosen), ``("fill", field,
text)``, ``("if", node)`` (pressed if it is there), ``("first", node, node, ...)`` (the first that
is there), ``("offer", field, text)`` (its chip if it has one, else typed). ``perform`` does steps
on anything that can be seen, pressed and typed into. Knows the screen's names; no bench.
"""

from typing import Any, Protocol

from trainer.session.acts import ACTS
from trainer.unit.layout import Layout
from trainer.view.forms import fields_of
from trainer.view.tools import BY_NAME, TOOLS, Amount, Choice, Tool

Act = dict[str, Any]
Step = tuple[str, ...]
#: Acts that a button of a sheet or of the finish form asks for.
SHEETS: dict[tuple[str, str], tuple[str, str]] = {
    ("read", "job sheet"): ("job", "job.job sheet"),
    ("read", "nameplate"): ("job", "job.nameplate"),
    ("read", "diagram"): ("diagram", "diagram.read"),
    ("read", "ladder"): ("diagram", "diagram.ladder"),
    ("look", "unit"): ("job", "job.unit"), ("set zone", ""): ("job", "job.zone"),
}  # fmt: skip
FORMS = {
    "list source": ("sheet.job", "job.source"), "tell": ("sheet.job", "job.tell"),
    "record": ("sheet.note", "note.record"), "name fault": ("sheet.note", "note.fault"),
    "label unit": ("sheet.note", "note.unit"), "hand over": ("strip.finish", "finish.hand"),
}  # fmt: skip
FINISH = {"second look": "second", "clean up": "clean", "sign off": "sign"}
#: Options that the hand has on a part it pointed at.
ON_PART = {
    "open": ("part", "open"), "close": ("part", "close"), "unlock": ("part", "unlock"),
    "photograph": ("what", "photo"), "take down": ("part", "down"),
}  # fmt: skip
#: Fields of a form that are picked from the readings that were taken.
CITED = ("reading", "evidence", "meanings")


class Screen(Protocol):
    """Anything that shows nodes and takes presses and letters."""

    def has(self, name: str) -> bool: ...
    def chosen(self, name: str) -> bool: ...
    def value(self, name: str) -> str: ...
    def press(self, name: str) -> None: ...
    def fill(self, name: str, text: str) -> None: ...


class Clicks:
    """Keeps which instrument was taken up, as a person remembers it."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.instrument = "meter"

    def steps(self, act: Act) -> list[Step]:
        kind = act["act"]
        for by in (self._of_sheet, self._of_cover, self._of_part, self._of_end, self._of_meter):
            found = by(kind, act)
            if found:
                return found
        tool = self._tool(act)
        if tool is not None:
            return _with_tool(tool, act)
        ways = FORMS.get(kind, ("tool.more", f"act.{kind}"))
        return [*(("press", w) for w in ways), *_fields(act), ("press", "form.do")]

    def _of_sheet(self, kind: str, act: Act) -> list[Step]:
        where = SHEETS.get((kind, str(act.get("what", act.get("at", "")))))
        if where and not act.get("at", "").strip("unit"):
            return [("press", f"sheet.{where[0]}"), ("press", where[1])]
        if kind in FINISH:
            return [("press", "strip.finish"), ("press", f"finish.{FINISH[kind]}")]
        return []

    def _of_cover(self, kind: str, act: Act) -> list[Step]:
        if kind not in ("take off", "put back"):
            return []
        hides = self.layout.covers[act["cover"]].hides
        hand: list[Step] = [("choose", "tool.hand"), ("if", "option.drop")]
        if kind == "take off":
            # where something reaches through a cover, pointing at it offers more than its screws
            off = ("if", f"option.cover.{act['cover']}")
            return [*hand, ("first", *(f"cover.{p}" for p in hides)), off]
        back = ("press", f"option.cover.{act['cover']}")
        return [*hand, ("first", *(f"part.{p}" for p in hides)), back]

    def _of_part(self, kind: str, act: Act) -> list[Step]:
        if kind not in ON_PART or act.get("by", "key") != "key":
            return []
        field, option = ON_PART[kind]
        seen = ("first", f"part.{act[field]}", f"cover.{act[field]}")
        return [("choose", "tool.hand"), ("if", "option.drop"), seen, ("press", f"option.{option}")]

    def _of_end(self, kind: str, act: Act) -> list[Step]:
        """What the hand does to an end by pointing at it, and to see how it was made."""
        end = f"end.{act.get('wire')}.{act.get('end')}"
        hand: list[Step] = [("choose", "tool.hand"), ("if", "option.drop")]
        if kind == "lift" and act["by"] == "terminal":
            return [*hand, ("press", end)]
        if kind == "land" and act["push"] == "fully":
            return [*hand, ("press", end), ("press", place(act["place"]))]
        if kind == "inspect":
            return [("choose", "tool.look"), ("press", end)]
        return []

    def _of_meter(self, kind: str, act: Act) -> list[Step]:
        if kind == "select":
            self.instrument = act["instrument"]
            name = f"select.{self.instrument}.{act['setting']}"
            return [("press", f"tool.{self.instrument}"), ("press", name)]
        checks = {"self check": "meter.check", "inspect leads": "meter.leads"}
        if kind in checks:
            return [("press", f"tool.{act['instrument']}"), ("press", checks[kind])]
        return []

    def _tool(self, act: Act) -> Tool | None:
        if act["act"] == "measure":
            return BY_NAME[self.instrument]
        if act.get("push") == "half":
            return BY_NAME["half"]
        return next((t for t in TOOLS if t.act == act["act"]), None)


def _with_tool(tool: Tool, act: Act) -> list[Step]:
    """Takes the tool up, sets it, points, and presses its button where it has one."""
    found: list[Step] = [("choose", f"tool.{tool.name}")]
    for setting in tool.settings:
        name, value = f"set.{tool.name}.{setting.name}", act[setting.name]
        if setting.name == "items":
            found += [("choose", f"{name}.{item}") for item in value]
        elif isinstance(setting, Choice):
            found.append(("choose", f"{name}.{value or 'none'}"))
        else:
            text = feet(value) if setting.name == "length" else value
            found.append(("fill", name, f"{text:g}" if isinstance(setting, Amount) else text))
    for field, kind in tool.picks:
        found.append(_pick(field, kind, act))
    return [*found, ("press", "option.do")] if tool.by_button else found


def _pick(field: str, kind: str, act: Act) -> Step:
    if kind == "end":
        return ("press", f"end.{act['wire']}.{act['end']}")
    if kind == "wire":
        return ("first", f"end.{act[field]}.a", f"end.{act[field]}.b")
    if kind == "place":
        return ("press", place(act[field]))
    return ("first", f"part.{act[field]}", f"cover.{act[field]}")


def place(name: str) -> str:
    """The node of a place; a free end's own metal is its flag."""
    return f"end.{name.removeprefix('wire:')}" if name.startswith("wire:") else f"place.{name}"


def feet(length: Any) -> float:
    from trainer.base import units

    metres = units.parse(length, "m") if isinstance(length, str) else float(length)
    return round(metres / 0.3048, 6)


def _fields(act: Act) -> list[Step]:
    """Fields of a form that are not as they are already; readings first, they fill others."""
    kind = act["act"]
    found: list[Step] = []
    cited = [act["reading"]] if act.get("reading") else act.get("evidence", [])
    for n, seq in enumerate(cited):
        found.append(("choose", f"form.{kind}.reading.{seq}"))
        if act.get("meanings"):
            found.append(("choose", f"form.{kind}.meaning.{seq}.{act['meanings'][n]}"))
    for name, choices, default, needed in fields_of(kind):
        if name in CITED or (act[name] == default and not needed):
            continue
        field, value = f"form.{kind}.{name}", act[name]
        if choices:
            shown = {True: "yes", False: "no"}.get(value, value)
            found.append(("choose", f"{field}.{shown}"))
            continue
        text = f"{value:g}" if isinstance(value, float) else str(value)
        found.append(("offer", field, text))
    return found


def perform(screen: Screen, steps: list[Step]) -> None:
    """Does the steps, each after a look at what is there now."""
    for step in steps:
        what, rest = step[0], step[1:]
        _closer(screen, what, rest)
        if what == "press" or (what == "choose" and not screen.chosen(rest[0])):
            screen.press(rest[0])
        elif what == "first":
            screen.press(next((n for n in rest if screen.has(n)), rest[0]))
        elif what == "fill" and screen.value(rest[0]) != rest[1]:
            screen.fill(*rest)
        elif what == "offer" and screen.value(rest[0]) != rest[1]:
            chip = f"{rest[0]}.offer.{rest[1]}"
            screen.press(chip) if screen.has(chip) else screen.fill(*rest)
        elif what == "if" and screen.has(rest[0]):
            screen.press(rest[0])


def _closer(screen: Screen, what: str, rest: Step) -> None:
    """From afar the board offers what is large enough; for the rest one goes closer."""
    on_board = rest[0].startswith(("place.", "end.", "part.", "cover."))
    if what in ("press", "first") and on_board and not any(map(screen.has, rest)):
        screen.press("board.change")


def covered() -> set[str]:
    """Every kind of act there is, for a test that none is left without a way."""
    return set(ACTS)
