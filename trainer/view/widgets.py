"""The widget kit: about a dozen things to press, choose, slide and type into.

Each is a function that draws into a pen and says where it ended. All of them take focus, have a
name, and are at least ``TARGET`` high and wide. Knows the pen; must know no bench.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Literal

from trainer.view import fonts
from trainer.view.language import tr
from trainer.view.pen import Pen
from trainer.view.shapes import Message, Point, Rect, Size
from trainer.view.theme import TARGET

Kind = Literal["plain", "main", "quiet", "danger", "chip"]
#: Height of a button and of a row [logical px].
BUTTON, ROW = 34.0, 30.0
#: Width of the bar that tells how far a region is scrolled.
BAR = 8.0
#: What an arrow goes on by, as a share of what is seen.
PAGE = 0.8


def button(
    pen: Pen, name: str, rect: Rect, label: str, on: Message, kind: Kind = "plain", icon: str = "",
    chosen: bool = False, enabled: bool = True, said: str = "", pad: float = 8.0,
) -> None:  # fmt: skip
    """A button with a word, and an icon before it if it has one. ``said`` is its fuller name."""
    over = pen.is_over(name) and enabled
    fill, ink, edge = _looks(kind, chosen, enabled, over)
    pen.box(rect, fill, edge, 1.5 if chosen else 1.0, 6.0)
    with pen.ground(fill or pen.on):
        room = rect.w - 2.0 * pad - (24.0 if icon else 0.0)
        wide = min(fonts.width(label, "body", chosen or kind == "main"), room)
        x = rect.x + (rect.w - wide - (24.0 if icon else 0.0)) / 2.0
        if icon:
            pen.picture(f"icons/{icon}", Rect(x, rect.y + (rect.h - 20.0) / 2.0, 20.0, 20.0), ink)
            x += 24.0
        bold = chosen or kind == "main"
        pen.words((x, rect.centre[1]), label, "body", bold, ink, room=room)
    pen.node(
        name, "button", rect, said or label, on if enabled else (), enabled=enabled,
        focus=enabled, chosen=chosen, main=kind == "main",
    )  # fmt: skip


def _looks(kind: Kind, chosen: bool, enabled: bool, over: bool) -> tuple[str, str, str]:
    """Fill, ink and edge."""
    if not enabled:
        return "", "quiet", "rule"
    if chosen:
        return "wash", "action", "action"
    if kind == "main":
        return "action", "on_action", "action"
    if kind == "danger":
        return ("danger_wash" if over else ""), "danger", "danger"
    if kind == "quiet":
        return ("wash" if over else ""), "ink", ""
    return ("wash" if over else "sheet"), "ink", "edge"


def button_width(label: str, icon: bool = False) -> float:
    return max(fonts.width(label, "body", True) + 28.0 + (24.0 if icon else 0.0), 60.0)


def tabs(pen: Pen, prefix: str, rect: Rect, rows: Sequence[tuple[str, str]], chosen: str) -> None:
    """A row of sheets to choose from; each is ``(name, label)``."""
    size: Size = "body"
    wides = [fonts.width(label, size, True) + 4.0 for _, label in rows]
    if sum(wides) > rect.w:  # long words in a narrow row
        size = "tag"
        wides = [fonts.width(label, size, True) + 4.0 for _, label in rows]
    spare = (rect.w - sum(wides)) / len(rows)
    x = rect.x
    for (name, label), wide in zip(rows, wides, strict=True):
        each = wide + spare
        place = Rect(x, rect.y, each, rect.h)
        x += each
        here = name == chosen
        ink = "action" if here else "ink"
        pen.words(
            place.centre, label, size, here, ink, "middle", room=each - 4.0,
        )  # fmt: skip
        if here:
            pen.box(Rect(place.x + 6.0, place.bottom - 3.0, each - 12.0, 3.0), "action")
        pen.node(
            f"{prefix}.{name}", "tab", place, label, (prefix, name), chosen=here,
        )  # fmt: skip
    pen.line([(rect.x, rect.bottom), (rect.right, rect.bottom)], "rule")


def choice(
    pen: Pen, prefix: str, at: Point, room: float, rows: Sequence[tuple[str, str]], chosen: str,
    on: Message,
) -> float:  # fmt: skip
    """Chips in as many lines as they need; picking one sends ``on`` with its name. Returns y."""
    x, y = at
    for name, label in rows:
        wide = min(max(fonts.width(label, "body", True) + 20.0, 36.0), room)
        if x + wide > at[0] + room + 0.1 and x > at[0]:
            x, y = at[0], y + ROW + 4.0
        place = Rect(x, y, wide, ROW - 2.0)
        button(pen, f"{prefix}.{name}", place, label, (*on, name), "chip", chosen=name == chosen)
        x += wide + 6.0
    return y + ROW


def field(pen: Pen, name: str, rect: Rect, label: str, value: str, hint: str = "") -> None:
    """A line to type into; what is typed arrives as messages ``("typed", name, text)``."""
    here = pen.is_focus(name)
    pen.box(rect, "sheet", "action" if here else "edge", 1.5 if here else 1.0, 4.0)
    with pen.ground("sheet"):
        shown, ink = (value, "ink") if value or here else (hint, "quiet")
        room = rect.w - 16.0
        while here and shown and fonts.width(shown) > room:
            shown = shown[1:]  # the end is typed at; read, it begins at its beginning
        wide = pen.words((rect.x + 8.0, rect.centre[1]), shown, colour=ink, room=room)
        if here:
            x = rect.x + 9.0 + (wide if value else 0.0)
            pen.line([(x, rect.y + 7.0), (x, rect.bottom - 7.0)], "ink", 1.5)
    pen.node(name, "field", rect, label, ("focus", name), value=value)


def slider(
    pen: Pen, name: str, rect: Rect, label: str, share: float, shown: str, on: Message
) -> None:
    """A slider with its name above and its value; a click or arrow keys send ``on`` and a share."""
    share = min(max(share, 0.0), 1.0)
    y = rect.bottom - 14.0
    room = rect.w - fonts.width(shown, "body", True) - 12.0
    pen.words((rect.x, rect.y + 10.0), label, room=room)
    pen.words((rect.right, rect.y + 10.0), shown, bold=True, align="right", room=rect.w * 0.36)
    pen.box(Rect(rect.x, y - 2.0, rect.w, 4.0), "edge", radius=2.0)
    pen.box(Rect(rect.x, y - 2.0, rect.w * share, 4.0), "action", radius=2.0)
    pen.ring((rect.x + rect.w * share, y), 9.0, "sheet", "action", 2.5)
    place = Rect(rect.x, y - 13.0, rect.w, 26.0)
    pen.node(
        name, "slider", place, label, (*on, None), value=shown, grab=True,
        keys={
            "left": (*on, share - 0.02), "right": (*on, share + 0.02), "home": (*on, 0.0),
            "end": (*on, 1.0), "pageup": (*on, share + 0.1), "pagedown": (*on, share - 0.1),
        },
    )  # fmt: skip


def stepper(pen: Pen, name: str, rect: Rect, label: str, shown: str, on: Message) -> None:
    """A value between minus and plus; sends ``on`` with -1 or 1."""
    side = rect.h
    button(
        pen,
        f"{name}.less",
        Rect(rect.x, rect.y, side, rect.h),
        "−",
        (*on, -1),
        said=tr("{what}, less", what=label),
    )
    pen.words(
        (rect.centre[0], rect.centre[1]), shown, bold=True, align="middle", room=rect.w - 2 * side
    )
    place = Rect(rect.right - side, rect.y, side, rect.h)
    button(pen, f"{name}.more", place, "+", (*on, 1), said=tr("{what}, more", what=label))


def amount(pen: Pen, name: str, rect: Rect, label: str, text: str, on: Message) -> None:
    """A figure to type, with minus and plus beside it that send ``on`` with -1 or 1."""
    side = rect.h
    less = Rect(rect.x, rect.y, side, side)
    more = Rect(rect.right - side, rect.y, side, side)
    button(pen, f"{name}.less", less, "−", (*on, -1), said=tr("{what}, less", what=label))
    field(pen, name, Rect(less.right + 3.0, rect.y, rect.w - 2 * side - 6.0, rect.h), label, text)
    button(pen, f"{name}.more", more, "+", (*on, 1), said=tr("{what}, more", what=label))


def toggle(pen: Pen, name: str, rect: Rect, label: str, is_on: bool, on: Message) -> None:
    """A box with a tick, and its word."""
    side = 22.0
    box = Rect(rect.x, rect.centre[1] - side / 2.0, side, side)
    pen.box(box, "action" if is_on else "sheet", "action" if is_on else "edge", 1.5, 4.0)
    if is_on:
        x, y = box.x, box.y
        pen.line([(x + 5, y + 11), (x + 10, y + 16), (x + 17, y + 6)], "on_action", 2.5)
    pen.words((box.right + 10.0, rect.centre[1]), label, room=rect.w - side - 12.0)
    pen.node(name, "toggle", rect, label, on, chosen=is_on)


def row(
    pen: Pen, name: str, rect: Rect, label: str, on: Message, aside: str = "", chosen: bool = False
) -> None:
    """One line of a list that can be picked."""
    over = pen.is_over(name)
    fill = "wash" if chosen or over else ""
    if fill:
        pen.box(rect, fill, radius=4.0)
    with pen.ground(fill or pen.on):
        room = rect.w - 16.0 - (fonts.width(aside) + 12.0 if aside else 0.0)
        pen.words((rect.x + 8.0, rect.centre[1]), label, bold=chosen, room=room)
        if aside:
            pen.words((rect.right - 8.0, rect.centre[1]), aside, colour="quiet", align="right")
    pen.node(name, "row", rect, label, on, chosen=chosen, value=aside)


def note(pen: Pen, rect: Rect, text: str, kind: str = "caution") -> float:
    """A coloured panel with a sign and words; returns the y below it."""
    lines = fonts.wrap(text, rect.w - 46.0)
    high = max(len(lines) * fonts.height() + 16.0, 38.0)
    place = Rect(rect.x, rect.y, rect.w, high)
    pen.box(place, f"{kind}_wash", kind, 1.0, 6.0)
    icon = {"caution": "warning", "danger": "warning", "good": "good"}[kind]
    pen.picture(f"icons/{icon}", Rect(rect.x + 10.0, rect.y + 9.0, 20.0, 20.0), kind)
    with pen.ground(f"{kind}_wash"):
        pen.paragraph(Rect(rect.x + 38.0, rect.y + 8.0, rect.w - 46.0, high), text)
    return place.bottom


@contextmanager
def scrolled(pen: Pen, name: str, rect: Rect, high: float) -> Iterator[Rect]:
    """A region whose content is ``high``; yields where to draw, scrolled. Draws its bar."""
    most = max(high - rect.h, 0.0)
    offset = min(max(pen.scrolls.get(name, 0.0), 0.0), most)
    wide = rect.w - (TARGET + 4.0 if most else 0.0)
    if most:
        pen.node(
            f"scroll.{name}", "scroll", rect, name, (), value=f"{most:.0f} {offset:.0f}", focus=False,
        )  # fmt: skip
    with pen.clipped(rect):
        yield Rect(rect.x, rect.y - offset, wide, high)
    if most:
        bar(pen, name, Rect(rect.right - TARGET, rect.y, TARGET, rect.h), offset, rect.h, high)


def flowing(pen: Pen, name: str, rect: Rect, draw: Callable[[Pen, Rect], float]) -> None:
    """What ``draw`` draws and returns the y below of; where it is too high, it scrolls."""
    narrow = Rect(rect.x, rect.y, rect.w - TARGET - 4.0, rect.h)
    if draw(Pen(pen.size), rect) <= rect.bottom:
        draw(pen, rect)
        return
    with scrolled(pen, name, rect, draw(Pen(pen.size), narrow) - rect.y + 4.0) as place:
        draw(pen, place)


def bar(
    pen: Pen, name: str, rect: Rect, offset: float, seen: float, whole: float, level: bool = False
) -> None:
    """A bar beside a scrolled region: an arrow at both ends pages, a thumb tells where it is."""
    most = max(whole - seen, 0.0)
    long, x, y = (rect.w, rect.x, rect.y) if level else (rect.h, rect.x, rect.y)
    room = max(long - 2.0 * TARGET, 1.0)
    begin, size = TARGET + offset / whole * room, max(seen / whole * room, 12.0)
    thumb = Rect(x + begin, y + 8.0, size, BAR) if level else Rect(x + 8.0, y + begin, BAR, size)
    pen.box(thumb, "edge", radius=4.0)
    pages(pen, name, rect, offset, seen, most, level)


def pages(
    pen: Pen, name: str, rect: Rect, offset: float, seen: float, most: float, level: bool
) -> None:
    """An arrow at both ends of a strip, to page a scrolled region by clicks."""
    step = PAGE * seen
    ends = (("back", Rect(rect.x, rect.y, TARGET, TARGET), -step, offset > 0.0),
            ("on", Rect(rect.right - TARGET, rect.bottom - TARGET, TARGET, TARGET), step, offset < most))  # fmt: skip
    for end, place, by, can in ends:
        _arrow(pen, place, level, by > 0.0, can, pen.is_over(f"page.{name}.{end}"))
        label = f"{name}: {tr('back') if by < 0.0 else tr('on')}"
        on = ("scroll", name, by, most, offset) if can else ()
        pen.node(f"page.{name}.{end}", "page", place, label, on, enabled=can, focus=False)


def _arrow(pen: Pen, place: Rect, level: bool, forward: bool, can: bool, over: bool) -> None:
    x, y = place.centre
    way = 4.0 if forward else -4.0
    points = [(x - way, y - 6.0), (x + way, y), (x - way, y + 6.0)]
    if not level:
        points = [(x - 6.0, y - way), (x, y + way), (x + 6.0, y - way)]
    if over and can:
        pen.box(place, "wash", radius=4.0)
    pen.line(points, "ink" if can else "rule", 2.2)


def target(rect: Rect) -> Rect:
    """The rectangle, grown about its centre to what can be hit."""
    wide, high = max(rect.w, TARGET), max(rect.h, TARGET)
    x, y = rect.centre
    return Rect(x - wide / 2.0, y - high / 2.0, wide, high)
