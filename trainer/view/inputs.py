"""From plain input (pointer, keys, wheel, text) and a frame to messages. Pure, so that scripts and
tests go the same way as hands.

Knows frames and the state; must know no toolkit.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from trainer.view import focus, keys
from trainer.view.shapes import Frame, Message, Node, Point
from trainer.view.state import App

#: A pointer that moved so far between press and release drags. [logical px]
DRAGS = 8.0
WHEEL = 48.0
#: What an arrow scrolls by, as a share of a page.
LITTLE = 0.4
ARROWS = ("left", "right", "up", "down")
#: What stands in a line to be replaced by the next figure, and what begins a figure.
FIGURE = re.compile(r"[+\-−]?\d*[.,]?\d+")
BEGINS = "0123456789.,-+−"


@dataclass(frozen=True)
class Press:
    """What the pointer went down on."""

    node: str
    at: Point
    acted: bool


class Inputs:
    """Remembers only what a press began and which line is being written."""

    def __init__(self) -> None:
        self.press: Press | None = None
        #: The node on which Enter or space went down and is still held.
        self.holding = ""
        #: The line that was changed since the focus came to it.
        self.writing = ""

    def pressed(self, app: App, frame: Frame, at: Point) -> tuple[App, list[Message]]:
        node, app = frame.at(at), replace(app, keyed=False)
        if node is None:
            self.press = Press("", at, False)
            return app, []
        if node.focus:
            app, self.writing = replace(app, focus=node.name), ""
        slides = node.role == "slider"
        self.press = Press(node.name, at, slides)
        if slides:
            return app, [_slid(node, at)]
        return app, []

    def moved(self, app: App, frame: Frame, at: Point) -> tuple[App, list[Message]]:
        node = frame.at(at)
        app = replace(app, hover=node.name if node else "")
        if self.press is None:
            return app, []
        began = frame.node(self.press.node)
        if began is not None and began.role == "slider":
            return app, [_slid(began, at)]
        far = abs(at[0] - self.press.at[0]) + abs(at[1] - self.press.at[1])
        if not self.press.node and (far > DRAGS or self.press.acted):
            found = _pulled(frame, self.press.at, at)
            self.press = Press("", at, True)
            return app, found
        if began is not None and began.grab and not self.press.acted and far > DRAGS:
            self.press = Press(self.press.node, self.press.at, True)
            return app, [began.on]
        return app, []

    def released(self, app: App, frame: Frame, at: Point) -> list[Message]:
        press, self.press = self.press, None
        node = frame.at(at)
        if press is None or node is None or node.role == "slider":
            return []
        if press.acted:
            return [node.on] if node.accept and node.name != press.node else []
        return [node.on] if node.name == press.node else []

    def key(
        self, app: App, frame: Frame, key: str, shift: bool, ctrl: bool
    ) -> tuple[App, list[Message]]:
        """A key by its name; what is typed comes as text."""
        spot = app.focus if app.focus.startswith(focus.BOARD) else app.spot
        app = replace(app, keyed=True, spot=spot)
        self.writing = self.writing if self.writing == app.focus else ""
        if app.keying:
            return app, [("key", "" if key == "escape" else keys.chord_of(key, shift, ctrl))]
        node = frame.node(app.focus)
        if node is None or node.role != "field" or ctrl or len(key) > 1:
            key, shift, ctrl = keys.meant(app.settings.keys, key, shift, ctrl)
        if key == "tab":
            return replace(app, focus=focus.along(frame, app.focus, -1 if shift else 1)), []
        if key == "f6":
            return replace(app, focus=focus.area_after(frame, app.focus, -1 if shift else 1)), []
        if node is not None and key in node.keys and not ctrl:
            return app, [node.keys[key]]
        if node is not None and node.role == "field" and (not ctrl or key == "backspace"):
            return self._in_field(app, frame, node, key, ctrl)
        if key in ARROWS:
            return _led(app, frame, key)
        if key in ("pageup", "pagedown"):
            return app, paged(frame, app.focus, 1 if key == "pagedown" else -1)
        if key in ("return", "space") and node is not None and node.enabled and node.on:
            if self.holding not in ("", node.name):
                return app, []  # a key still held does not press what came under the focus since
            self.holding = node.name
            return app, [node.on]
        return app, _shortcut(app, key, ctrl)

    def let_go(self) -> None:
        """Enter or space came up."""
        self.holding = ""

    def _in_field(
        self, app: App, frame: Frame, node: Node, key: str, ctrl: bool
    ) -> tuple[App, list[Message]]:
        if key == "delete" or (key == "backspace" and ctrl):
            return app, [("typed", node.name, "")]
        if key == "backspace":
            self.writing = node.name
            return app, [("typed", node.name, node.value[:-1])]
        if key == "escape":
            shut = app.screen == "bench"  # what is begun is laid down, and one is where one was
            return (app, [("drop",)]) if shut else (replace(app, focus=""), [])
        if key in ARROWS:  # a line is typed at its end: arrows have no other use in it
            return replace(app, focus=focus.towards(frame, node.name, key)), []
        main = [n for n in focus.stops(frame) if n.main]
        if key == "return" and len(main) == 1 and not self.holding:
            self.holding = node.name
            return app, [main[0].on]
        return app, []

    def text(self, app: App, frame: Frame, typed: str) -> list[Message]:
        node = frame.node(app.focus)
        if node is None or node.role != "field" or (typed == " " and self.holding):
            return []  # a space that opened what the line stands on is none of its letters
        clean = "".join(c for c in typed if c.isprintable())
        fresh, self.writing = self.writing != node.name, node.name
        figure = FIGURE.fullmatch(node.value) and clean and clean[0] in BEGINS
        before = "" if fresh and figure else node.value  # a figure that stood there gives way
        return [("typed", node.name, before + clean)]

    def wheel(self, app: App, frame: Frame, at: Point, dx: float, dy: float) -> list[Message]:
        """Scrolls the innermost region under the pointer; ``dx`` to the right, ``dy`` upwards."""
        under = [n for n in frame.nodes if n.role == "scroll" and n.seen.has(at)]
        found: list[Message] = []
        for node in under[::-1]:
            name = node.name.removeprefix("scroll.")
            sideways = name == "tray" or name.endswith(".x")
            by = (-dx or (dy if name == "tray" else 0.0)) if sideways else dy
            if by and not found:
                found.append(("scroll", name, -WHEEL * by, *_stands(node)))
        return found


def _pulled(frame: Frame, begin: Point, at: Point) -> list[Message]:
    """A region that is taken hold of at a bare spot and moved with the pointer."""
    under = [n for n in frame.nodes if n.role == "scroll" and n.seen.has(begin)]
    found: list[Message] = []
    for node in (n for n in under if n.rect == under[-1].rect):
        name = node.name.removeprefix("scroll.")
        by = begin[0] - at[0] if name in ("tray", "board.x") else begin[1] - at[1]
        if by:
            found.append(("scroll", name, by, *_stands(node)))
    return found


def _led(app: App, frame: Frame, way: str) -> tuple[App, list[Message]]:
    """The nearest stop that way; where there is none, a page to be read goes on a little, and in
    a debrief also before what is not in sight yet: between lies what is to be read.
    """
    there = focus.towards(frame, app.focus, way)
    node = frame.node(there)
    hidden = app.screen == "debrief" and node is not None and node.seen.h < 1.0
    if way in ("up", "down") and app.screen != "bench" and (there == app.focus or hidden):
        return app, paged(frame, "", LITTLE if way == "down" else -LITTLE)
    return replace(app, focus=there), []


def paged(frame: Frame, focus: str, by: float) -> list[Message]:
    """A page of the region that has the focus in it, or of the largest there is."""
    regions = [n for n in frame.nodes if n.role == "scroll" and not n.name.endswith((".x", "tray"))]
    if not regions:
        return []
    node = frame.node(focus)
    own = [r for r in regions if node is not None and node.clip == r.rect]
    chosen = own[0] if own else max(regions, key=lambda r: r.rect.w * r.rect.h)
    name = chosen.name.removeprefix("scroll.")
    return [("scroll", name, by * 0.8 * chosen.rect.h, *_stands(chosen))]


def _stands(node: Node) -> tuple[float, float]:
    """How far a region can be scrolled, and how far it is."""
    most, _, now = node.value.partition(" ")
    return float(most), float(now or 0.0)


def _slid(node: Node, at: Point) -> Message:
    share = (at[0] - node.rect.x) / max(node.rect.w, 1.0)
    return (*node.on[:-1], min(max(share, 0.0), 1.0))


def _shortcut(app: App, key: str, ctrl: bool) -> list[Message]:
    if key == "escape":
        if app.trouble or app.notice:
            return [("trouble", "")]
        if app.screen == "bench":
            return [("drop",)]
        if app.screen in ("settings",):
            return [("back",)]
        return []
    if app.screen == "bench" and app.job is not None:
        if ctrl and key == "z":
            return [("undo", 1)]
        if key in ("+", "=", "plus"):
            return [("zoom", 1)]
        if key in ("-", "minus"):
            return [("zoom", -1)]
    return []


def shown_focus(app: App, frame: Frame) -> list[Message]:
    """Scrolls so that the node with focus is seen."""
    node = frame.node(app.focus)
    if node is None or node.clip is None:
        return []
    r, c = node.rect, node.clip
    found: list[Message] = []
    for region in (n for n in frame.nodes if n.role == "scroll" and n.rect == c):
        name = region.name.removeprefix("scroll.")
        sideways = name.endswith(".x") or name == "tray"
        by = (
            _into((r.x, r.right), (c.x, c.right))
            if sideways
            else _into((r.y, r.bottom), (c.y, c.bottom))
        )
        if by:
            found.append(("scroll", name, by, *_stands(region)))
    return found


def _into(span: tuple[float, float], window: tuple[float, float]) -> float:
    """How far to scroll so that a span lies in its window."""
    if span[0] < window[0]:
        return span[0] - window[0] - 8.0
    return span[1] - window[1] + 8.0 if span[1] > window[1] else 0.0
