"""Home: go on, what comes next, every exercise by level with what it has shown so far.

Knows the state; changes nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from trainer.view import fonts
from trainer.view.language import again, tr
from trainer.view.language import later as _
from trainer.view.pen import Pen
from trainer.view.shapes import Message, Rect
from trainer.view.state import App
from trainer.view.widgets import BAR, button, button_width, note, scrolled

STATUS = {
    "shown": _("shown"), "due": _("due for a check"), "begun": _("begun"),
    "not begun": _("not begun"),
}  # fmt: skip
SIGN = {"shown": "●", "due": "◐", "begun": "◔", "not begun": "○"}
LINE = 52.0
#: Most assignments shown.
ASSIGNMENTS = 4
CAUTION = _(
    "Training aid only. Nothing here shows that a real unit is dead or a real touch safe; local "
    "codes, the maker's instructions and your licence rule real work."
)


def home(app: App, pen: Pen) -> None:
    wide, high = app.size
    pen.box(Rect(0.0, 0.0, wide, 60.0), "paper")
    pen.line([(0.0, 60.0), (wide, 60.0)], "rule")
    with pen.ground("paper"):
        name = tr("Condenser Bench")
        # where words are long the name of the program makes way, not a way out
        if _top(pen, app) > 24.0 + fonts.width(name, "title", True):
            pen.words((24.0, 30.0), name, "title", True)
    page = Rect(max((wide - 1080.0) / 2.0, 16.0), 68.0, min(1080.0, wide - 32.0), high - 68.0)
    data = app.home or {}
    rows = list(data.get("exercises", ()))
    two = page.w >= 860.0
    side = page.w * 0.36 if two else page.w
    side_high = _side_high(data, side)
    list_high = _list_high(rows, page.w - side if two else page.w)
    whole = max(side_high, list_high) if two else side_high + list_high
    with scrolled(pen, "home", page, whole + 40.0) as place:
        if two:
            _side(pen, Rect(place.x, place.y + 10.0, side - 24.0, 0.0), app, data)
            _exercises(pen, Rect(place.x + side, place.y + 10.0, place.w - side, 0.0), rows)
        else:
            y = _side(pen, Rect(place.x, place.y + 10.0, place.w, 0.0), app, data)
            _exercises(pen, Rect(place.x, y + 16.0, place.w, 0.0), rows)


def _top(pen: Pen, app: App) -> float:
    """Ways to other screens; returns where they begin."""
    x = app.size[0] - 16.0
    rows: Sequence[tuple[str, str, Message]] = (
        ("quit", tr("Leave"), ("quit",)),
        ("settings", tr("Settings"), ("screen", "settings")),
        ("tour", tr("Tour"), ("tour", 0)),
        ("bay", tr("Demonstrations"), ("bay",)),
        ("free", tr("Free bench"), ("free",)),
    )
    found: list[tuple[str, Rect, str, Message]] = []
    for name, label, on in rows:
        wide = button_width(label) - 12.0
        x -= wide
        found.append((f"home.{name}", Rect(x, 14.0, wide, 32.0), label, on))
        x -= 4.0
    # drawn from the left, as Tab goes: the way out is not the first thing it meets
    for row in found[::-1]:
        button(pen, *row, "quiet")
    return x


def _side_high(data: Mapping[str, Any], wide: float) -> float:
    cards = len(data.get("resume", ())) + min(len(data.get("assignments", ())), ASSIGNMENTS)
    return 330.0 + 50.0 * cards + 120.0


def _side(pen: Pen, rect: Rect, app: App, data: Mapping[str, Any]) -> float:
    """Go on, next, assignments, caution."""
    y = rect.y
    resume = data.get("resume", ())
    pen.words((rect.x, y + 12.0), tr("Go on"), "heading", True)
    y += 32.0
    if not resume:
        looked = app.home is not None
        words = tr("Nothing is half done.") if looked else tr("Looking for work that is half done…")
        pen.words((rect.x, y + 8.0), words, colour="quiet", room=rect.w)
        y += 26.0
    for n, r in enumerate(resume):
        label = tr("Resume the attempt of {at} ({n} acts)", at=r["at"], n=r["acts"])
        place = Rect(rect.x, y, rect.w, 44.0)
        _card(pen, f"resume.{n}", place, again(str(r["title"])), label, ("resume", r["path"]))
        y += 50.0
    y = _next(pen, Rect(rect.x, y + 16.0, rect.w, 0.0), data)
    pen.words((rect.x, y + 12.0), tr("Assignments"), "heading", True)
    y = _assignments(pen, Rect(rect.x, y + 30.0, rect.w, 0.0), data)
    for path in data.get("broken", ())[:1]:
        words = tr("An attempt file cannot be read and was left as it is: {path}", path=path)
        y = note(pen, Rect(rect.x, y + 12.0, rect.w, 0.0), words)
    return note(pen, Rect(rect.x, y + 18.0, rect.w, 0.0), tr(CAUTION))


def _assignments(pen: Pen, rect: Rect, data: Mapping[str, Any]) -> float:
    """Those opened on this machine, the newest last; how to open another."""
    y, rows = rect.y, data.get("assignments", ())
    for n, r in enumerate(rows[-ASSIGNMENTS:]):
        words = tr("{who}, {used} of {of} begun, due {due}", who=r["learner"], used=r["used"],
                   of=r["attempts"], due=r["due"])  # fmt: skip
        if r["under_way"]:
            words = tr("Under way. {words}", words=words)
        on: Message = ("assignment", r["path"], r["learner"])
        if r["released"] and not r["under_way"]:
            on, words = (
                ("look back", r["released"]),
                tr("Released: read the debrief. {words}", words=words),
            )
        _card(pen, f"assigned.{n}", Rect(rect.x, y, rect.w, 44.0), str(r["title"]), words, on)
        y += 50.0
    words = tr("An instructor's assignment file opens here when you drop it on this window.")
    words = words if rows else tr("None. {words}", words=words)
    return pen.paragraph(Rect(rect.x, y, rect.w, 0.0), words, colour="quiet")


def _next(pen: Pen, rect: Rect, data: Mapping[str, Any]) -> float:
    name = data.get("next", "")
    found = next((e for e in data.get("exercises", ()) if e["name"] == name), None)
    pen.words((rect.x, rect.y + 12.0), tr("Next for you"), "heading", True)
    y = rect.y + 30.0
    if found is None:
        words = tr("Reading the exercises…")
        pen.words((rect.x, y + 10.0), words, colour="quiet", room=rect.w)
        return y + 40.0
    title, room = again(str(found["title"])), rect.w - 32.0
    more = fonts.height("heading") * (len(fonts.wrap(title, room, "heading", True)[:2]) - 1)
    place = Rect(rect.x, y, rect.w, 104.0 + more)
    pen.box(place, "sheet", "action", 1.5, 8.0)
    with pen.ground("sheet"):
        above = 24.0 - fonts.height("heading") / 2.0
        pen.paragraph(Rect(place.x + 16.0, y + above, room, 0.0), title, "heading", True, most=2)
        y += more
        words = tr("Level {n}, {status}", n=found["level"], status=tr(STATUS[found["status"]]))
        pen.words((place.x + 16.0, y + 46.0), words, colour="quiet", room=rect.w - 32.0)
    _modes(pen, Rect(place.x + 12.0, y + 60.0, rect.w - 24.0, 34.0), str(name), "next", True)
    return place.bottom + 24.0


def _modes(pen: Pen, rect: Rect, name: str, prefix: str, main: bool = False) -> None:
    x = rect.x
    first = True
    for mode, label in (
        ("guided", tr("Guided")),
        ("practice", tr("Practice")),
        ("graded", tr("Graded")),
    ):
        wide = fonts.width(label, "body", True) + 22.0
        if x + wide > rect.right + 1.0:
            break
        kind = "main" if main and first else "plain"
        button(pen, f"{prefix}.{name}.{mode}", Rect(x, rect.y, wide, rect.h), label,
               ("exercise", name, mode), kind, said=f"{label}: {name}")  # type: ignore[arg-type]  # fmt: skip
        x += wide + 6.0
        first = False


def _card(pen: Pen, name: str, rect: Rect, title: str, under: str, on: Message) -> None:
    over = pen.is_over(name)
    pen.box(rect, "wash" if over else "sheet", "edge", 1.0, 6.0)
    with pen.ground("wash" if over else "sheet"):
        pen.words((rect.x + 12.0, rect.y + 14.0), title, bold=True, room=rect.w - 24.0)
        pen.words((rect.x + 12.0, rect.y + 32.0), under, "tag", colour="quiet", room=rect.w - 24.0)
    pen.node(name, "button", rect, f"{title}: {under}", on)


def _list_high(rows: Sequence[Mapping[str, Any]], wide: float) -> float:
    # the bar of a region that scrolls takes its share of the width
    heights = sum(_row_high(r, wide - BAR - 6.0) for r in rows)
    return 40.0 + heights + 30.0 * len({r["level"] for r in rows})


def _buttons_wide() -> float:
    labels = (tr("Guided"), tr("Practice"), tr("Graded"))
    return sum(fonts.width(w, "body", True) + 28.0 for w in labels)


def _title_lines(r: Mapping[str, Any], wide: float) -> int:
    return min(len(fonts.wrap(again(str(r["title"])), _title_room(wide), "body", True)), 2)


def _title_room(wide: float) -> float:
    return wide - _buttons_wide() - 54.0


def _row_high(r: Mapping[str, Any], wide: float) -> float:
    return LINE + fonts.height() * (_title_lines(r, wide) - 1)


def _exercises(pen: Pen, rect: Rect, rows: Sequence[Mapping[str, Any]]) -> float:
    pen.words((rect.x, rect.y + 12.0), tr("Exercises"), "heading", True)
    y, level = rect.y + 32.0, None
    if not rows:
        words = tr("Reading the exercises…")
        pen.words((rect.x, y + 8.0), words, colour="quiet", room=rect.w)
    for r in rows:
        if r["level"] != level:
            level = r["level"]
            words = tr("Level {n}", n=level)
            wide = pen.words((rect.x, y + 14.0), words, "tag", True, "quiet")
            pen.line([(rect.x + wide + 10.0, y + 14.0), (rect.right, y + 14.0)], "rule")
            y += 28.0
        high = _row_high(r, rect.w)
        _exercise(pen, Rect(rect.x, y, rect.w, high - 6.0), r)
        y += high
    return y


def _exercise(pen: Pen, rect: Rect, r: Mapping[str, Any]) -> None:
    pen.box(rect, "paper", "rule", 1.0, 6.0)
    _sign(pen, rect.x + 18.0, rect.centre[1], str(r["status"]))
    with pen.ground("paper"):
        place = Rect(rect.x + 36.0, rect.y + 6.0, _title_room(rect.w), 0.0)
        y = pen.paragraph(place, again(str(r["title"])), bold=True, most=2)
        words = tr(STATUS[str(r["status"])])
        if r["tries"]:
            words += ", " + tr("{n} tries", n=r["tries"])
        pen.words((place.x, y + 8.0), words, "tag", colour="quiet", room=place.w)
    buttons = _buttons_wide()
    place = Rect(rect.right - buttons - 4.0, rect.centre[1] - 16.0, buttons + 2.0, 32.0)
    _modes(pen, place, str(r["name"]), "list")


def _sign(pen: Pen, x: float, y: float, status: str) -> None:
    """A disc that is empty, begun, filled, or ringed when due: a shape, not a colour."""
    fill = {"shown": "good", "due": "caution", "begun": "", "not begun": ""}[status]
    edge = {"shown": "good", "due": "caution", "begun": "action", "not begun": "edge"}[status]
    pen.ring((x, y), 8.0, fill or "paper", edge, 2.0)
    if status == "begun":
        pen.ring((x, y), 3.5, "action")
    if status == "shown":
        pen.line([(x - 3.5, y), (x - 1.0, y + 3.0), (x + 4.0, y - 3.0)], "paper", 2.0)
    if status == "due":
        pen.line([(x, y - 4.5), (x, y), (x + 3.5, y)], "paper", 1.8)
