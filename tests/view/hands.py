"""Hands on a window that is not there: pointer and keys go the way of the real one, without pygame.

Plays the part of ``app.py``: inputs to messages, ``update``, effects to a worker in this process.
Knows names of nodes and where they are; must know no act and no answer.
"""

import threading
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from trainer.view import focus
from trainer.view.focus import kept
from trainer.view.frames import frame
from trainer.view.inputs import Inputs, shown_focus
from trainer.view.serving import Serving
from trainer.view.shapes import Frame, Message, Node, Point
from trainer.view.state import App, Settings
from trainer.view.update import update

#: Keys that only move the focus, with shift or without.
MOVES: tuple[tuple[str, bool], ...] = (
    ("tab", False), ("tab", True), ("f6", False), ("f6", True),
    ("up", False), ("down", False), ("left", False), ("right", False),
)  # fmt: skip
#: So many turns of a wheel bring anything into sight, or it cannot be reached.
TURNS = 400


class CannotReach(AssertionError):
    """Something is on no way of the hands."""


class Hands:
    """A person at a window of ``size``; ``serving`` answers at once."""

    def __init__(self, size: Point = (1280.0, 800.0), settings: Settings | None = None) -> None:
        self.app = App(size=size, settings=settings or Settings(toured=True))
        self.inputs = Inputs()
        self.serving = Serving()
        self.done: list[tuple[Any, ...]] = []
        #: Clock, timer, chance and folder, which the window adds to what goes into a book.
        self.timed: dict[str, Any] = {}
        self._frame: Frame | None = None
        self._nodes: tuple[Node, ...] = ()

    @property
    def frame(self) -> Frame:
        """What is seen now, the focus kept as the window keeps it."""
        if self._frame is None:
            found = frame(self.app)
            now = kept(found, self.app.focus, self._nodes, self.app.keyed)
            if now != self.app.focus:
                self.app = replace(self.app, focus=now)
                found = frame(self.app)
            self._frame, self._nodes = found, found.nodes
        return self._frame

    def begin(self, name: str, mode: str = "practice", seed: int = 0, path: str = "") -> None:
        """An exercise laid out as the window's own effect would ask for it."""
        asked = {"ask": "begin", "name": name, "mode": mode, "seed": seed, "path": path}
        self._ask({**asked, "who": "learner"})

    def resize(self, size: Point) -> None:
        self._became(replace(self.app, size=size))

    def _became(self, app: App) -> None:
        self.app, self._frame = app, None

    def send(self, message: Message) -> None:
        app, effects = update(self.app, message)
        self._became(app)
        for effect in effects:
            self._effect(effect)

    def _effect(self, effect: tuple[Any, ...]) -> None:
        self.done.append(effect)
        if effect[0] == "ask":
            self._ask(effect[1])
        elif effect[0] == "begin":
            self.begin(effect[1], effect[2])
        elif effect[0] == "assigned":
            self._ask({**effect[1], **self.timed})

    def _ask(self, request: dict[str, Any]) -> None:
        self.send(("came", request, self.serving.answer(request)))

    def _all(self, messages: Sequence[Message]) -> None:
        for message in messages:
            self.send(message)

    def _took(self, result: tuple[App, list[Message]]) -> None:
        self._became(result[0])
        self._all(result[1])

    # pointer

    def down(self, at: Point) -> None:
        self._took(self.inputs.pressed(self.app, self.frame, at))

    def move(self, at: Point) -> None:
        self._took(self.inputs.moved(self.app, self.frame, at))

    def up(self, at: Point) -> None:
        self._all(self.inputs.released(self.app, self.frame, at))

    def wheel(self, at: Point, dx: float, dy: float) -> None:
        self._all(self.inputs.wheel(self.app, self.frame, at, dx, dy))

    def click(self, name: str) -> None:
        """Brings a node into sight and clicks a point of it that nothing covers."""
        at = self.reveal(name)
        self.move(at)
        self.down(at)
        self.up(at)

    def drag(self, one: str, other: str) -> None:
        """From one node to another; both must be in sight at once."""
        self.reveal(other)
        begin, end = self.reveal(one), self.bare(other)
        if end is None:
            raise CannotReach(f"{other} is out of sight while {one} is in it")
        self.move(begin)
        self.down(begin)
        for k in (0.1, 0.5, 1.0):
            self.move((begin[0] + k * (end[0] - begin[0]), begin[1] + k * (end[1] - begin[1])))
        self.up(end)

    def node(self, name: str) -> Node:
        found = self.frame.node(name)
        if found is None:
            kin = name.partition(".")[0]
            there = [n.name for n in self.frame.nodes if n.name.partition(".")[0] == kin]
            raise CannotReach(f"there is no {name} but {there[:40]}")
        return found

    def bare(self, name: str) -> Point | None:
        return bare(self.frame, name)

    def reveal(self, name: str) -> Point:
        """Turns the wheel over the region a node lies in until a point of it can be clicked."""
        self.node(name)
        for _ in range(TURNS):
            at = self.bare(name)
            if at is not None:
                return at
            before = self.app.scrolls
            turn = turn_to(self.frame, name)
            if turn is None:
                break
            self.wheel(*turn)
            if self.app.scrolls == before:
                break
        if self.frame.node("loupe.close") is not None and not name.startswith("loupe."):
            self.click("loupe.close")  # what lies on the board is put away as one would
            return self.reveal(name)
        raise CannotReach(f"{name} at {self.node(name).rect} cannot be brought into sight")

    # keys

    def key(self, name: str, shift: bool = False, ctrl: bool = False) -> None:
        before = self.app.focus
        self._took(self.inputs.key(self.app, self.frame, name, shift, ctrl))
        if self.app.focus != before:
            self._all(shown_focus(self.app, self.frame))
        self.inputs.let_go()

    def type(self, text: str) -> None:
        self._all(self.inputs.text(self.app, self.frame, text))

    def focus_on(self, name: str) -> None:
        """Leads the focus to a node by the fewest keys that only move it."""
        learnt: Learnt = {}
        for _ in range(40):
            if self.app.focus == name and self.frame.node(name) is not None:
                return
            self.node(name)
            for key, shift in way_to(self.frame, self.app.focus, name, learnt):
                here = self.app.focus
                expected = moved(self.frame, here, key, shift)
                self.key(key, shift)
                learnt[here, (key, shift)] = self.app.focus
                if self.app.focus != expected:
                    break  # a region scrolled: another way from here
        raise CannotReach(f"keys end on {self.app.focus}, not on {name}")


def bare(found: Frame, name: str) -> Point | None:
    """A point at which a node answers, or None when all of it is hidden."""
    node = found.node(name)
    if node is None:
        return None
    seen = node.seen
    for dx, dy in ((0.5, 0.5), (0.25, 0.5), (0.75, 0.5), (0.5, 0.25), (0.5, 0.75), (0.15, 0.15),
                   (0.85, 0.15), (0.15, 0.85), (0.85, 0.85)):  # fmt: skip
        at = seen.x + dx * seen.w, seen.y + dy * seen.h
        if seen.w > 1.0 and seen.h > 1.0 and found.at(at) is node:
            return at
    return None


def turn_to(found: Frame, name: str) -> tuple[Point, float, float] | None:
    """Where and how to turn the wheel so that a node comes nearer: (point, dx, dy)."""
    node = found.node(name)
    if node is None or node.clip is None:
        return None
    clip = node.clip
    x, y = node.rect.centre
    dx = -1.0 if x < clip.x + 8.0 else 1.0 if x > clip.right - 8.0 else 0.0
    dy = 1.0 if y < clip.y + 8.0 else -1.0 if y > clip.bottom - 8.0 else 0.0
    at = next((p for p in _points(clip) if _over(found, clip, p)), clip.centre)
    return (at, dx, dy) if dx or dy else (at, 0.0, -1.0)


def _points(clip: Any) -> list[Point]:
    return [(clip.x + clip.w * k / 8.0, clip.y + clip.h * m / 8.0)
            for m in range(1, 8) for k in range(1, 8)]  # fmt: skip


def _over(found: Frame, clip: Any, at: Point) -> bool:
    """Whether the wheel turns this region at a point: nothing that scrolls lies over it."""
    under = [n for n in found.nodes if n.role == "scroll" and n.seen.has(at)]
    return bool(under) and under[-1].rect == clip


#: (stop, key) -> where that key was seen to lead from there.
Learnt = dict[tuple[str, tuple[str, bool]], str]


#: The plan of the frame that was looked at last, of each thread.
_plans = threading.local()


def way_to(
    found: Frame, begin: str, goal: str, learnt: Learnt | None = None
) -> list[tuple[str, bool]]:
    """The fewest keys from one focus to another on a frame that stays as it is.

    What was ``learnt`` by pressing goes before the plan, which is quick and not always right.
    """
    ways: dict[str, list[tuple[str, bool]]] = {begin: []}
    queue = deque([begin])
    if getattr(_plans, "of", None) is not found:
        _plans.of, _plans.leads = found, steps_of(found)
    leads = _plans.leads
    while queue and goal not in ways:
        here = queue.popleft()
        for press in MOVES:
            there = (learnt or {}).get((here, press)) or leads.get((here, press))
            there = there or moved(found, here, *press)
            if there not in ways:
                ways[there] = [*ways[here], press]
                queue.append(there)
    if goal not in ways:
        raise CannotReach(f"no keys lead to {goal}")
    return ways[goal]


def steps_of(found: Frame) -> dict[tuple[str, tuple[str, bool]], str]:
    """(stop, key) -> stop, all at once: a plan, which the keys then prove."""
    every = focus.stops(found)
    names = [n.name for n in every]
    leads = {(n, ("tab", False)): names[k + 1 - len(names)] for k, n in enumerate(names)}
    leads |= {(n, ("tab", True)): names[k - 1] for k, n in enumerate(names)}
    x = np.array([n.rect.centre[0] for n in every])
    y = np.array([n.rect.centre[1] for n in every])
    right, down = x[None, :] - x[:, None], y[None, :] - y[:, None]
    ways = {"left": (-right, down), "right": (right, down), "up": (-down, right),
            "down": (down, right)}  # fmt: skip
    panels = focus.panels(found)
    on = np.array([panels[n.name] for n in every])
    wide, high = (np.array(v) for v in zip(*[n.rect[2:] for n in every], strict=True))
    rows = (high[:, None] + high[None, :]) / 2.0
    columns = (wide[:, None] + wide[None, :]) / 2.0
    regions = {n.clip: k for k, n in enumerate(every)}
    region = np.array([regions[n.clip] for n in every])
    hidden = np.array([n.seen.w < 1.0 or n.seen.h < 1.0 for n in every])
    away = hidden[None, :] & (region[None, :] != region[:, None])
    elsewhere = np.where(on[None, :] != on[:, None], focus.ELSEWHERE, 0.0)
    for way, (ahead, aside) in ways.items():
        level = way in ("left", "right")
        across, along = (rows, columns) if level else (columns, rows)
        aside = abs(aside)
        weight = np.where(aside < across, focus.SLIGHT, focus.ASIDE)
        beside = (aside >= across) & (ahead < along)
        cost = np.where((ahead > 1.0) & ~beside & ~away, ahead + weight * aside + elsewhere, np.inf)
        best = cost.argmin(axis=1)
        for k, node in enumerate(every):
            stays = np.isinf(cost[k, best[k]]) or way in node.keys
            leads[node.name, (way, False)] = node.name if stays else names[best[k]]
    areas: dict[tuple[Any, bool], str] = {}
    for node in every:
        area = next((a for a in focus.AREAS if node.name.startswith(a)), "")
        for shift in (False, True):
            if (area, shift) not in areas:
                areas[area, shift] = moved(found, node.name, "f6", shift)
            leads[node.name, ("f6", shift)] = areas[area, shift]
    return leads


def moved(found: Frame, here: str, key: str, shift: bool) -> str:
    """Where one key leads; a node that has a use of its own for the key keeps the focus."""
    node = found.node(here)
    if key == "tab":
        return focus.along(found, here, -1 if shift else 1)
    if key == "f6":
        return focus.area_after(found, here, -1 if shift else 1)
    if node is None or key in node.keys:
        return here
    return focus.towards(found, here, key)


Press = Callable[[Hands, str], None]
