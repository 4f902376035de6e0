"""A real window on a display of its own, driven by a program that moves pointer and keys.

What is on it comes from the file the window writes after each frame; what is done goes through the
display, as from a mouse and a keyboard. Knows names of nodes; must know no state of the program.
"""

import json
import os
import subprocess
import sys
import time
from pathlib import Path

from tests.view.hands import CannotReach, Learnt, bare, moved, turn_to, way_to
from trainer.session.acts import Act
from trainer.session.attempt import start
from trainer.session.opening import opening
from trainer.view.shapes import Frame, Node, Rect

ROOT = Path(__file__).resolve().parents[2]
SIZE = (1280, 800)
#: Names of keys as the display knows them.
KEYS = {
    "tab": "Tab", "f6": "F6", "up": "Up", "down": "Down", "left": "Left", "right": "Right",
    "return": "Return",
}  # fmt: skip
#: Between two keys: a press within 2 ms of its key coming up counts as the same one held [ms].
PAUSE_MS = 6
#: How long anything may take before it is given up, and between two looks [s].
PATIENCE_S, GLANCE_S = 120.0, 0.01


class Display:
    """An X server without a screen; its number is the first that is free."""

    def __init__(self) -> None:
        read, write = os.pipe()
        size = f"{SIZE[0]}x{SIZE[1]}x24"
        command = ["Xvfb", "-displayfd", str(write), "-screen", "0", size, "-nolisten", "tcp", "-r"]
        self.server = subprocess.Popen(
            command, pass_fds=(write,), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        os.close(write)
        with os.fdopen(read) as told:
            self.name = f":{told.readline().strip()}"

    def close(self) -> None:
        self.server.terminate()
        self.server.wait(10)


def left_off(folder: Path, name: str, acts: list[Act]) -> Path:
    """An attempt at seed 0 with its first acts done, as if the window had been closed then."""
    unit, header, found = opening(name, 0)
    path = folder / "attempts" / f"{name}-begun.att"
    path.parent.mkdir(parents=True, exist_ok=True)
    running = start(unit, path, {**header, "mode": "practice"}, "learner", found)
    for act in acts:
        running.do(act)
    assert running.log is not None
    running.log.close()
    return path


class Window:
    """One run of the program; ``folder`` is a person's own."""

    def __init__(self, display: Display, folder: Path, file: str = "") -> None:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "settings.json").write_text(json.dumps({"toured": True}), encoding="utf-8")
        self.tree = folder / "tree.json"
        self.env = {
            **os.environ, "DISPLAY": display.name, "CONDENSER_BENCH_DATA": str(folder),
            "CONDENSER_BENCH_TREE": str(self.tree), "SDL_AUDIODRIVER": "dummy",
            "SDL_VIDEODRIVER": "x11", "SDL_VIDEO_WINDOW_POS": "0,0",
        }  # fmt: skip
        self.process = subprocess.Popen(
            [sys.executable, "-m", "trainer", "window", *([file] if file else [])],
            cwd=ROOT,
            env=self.env,
        )
        self.seen: dict = {}
        self.stamp = 0
        self._frame: Frame | None = None

    def close(self) -> None:
        self.process.terminate()
        self.process.wait(PATIENCE_S)

    def until(self, good) -> None:
        """Looks until the window shows what is waited for."""
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end:
            assert self.process.poll() is None, "the window is gone"
            if self._look() and good(self.seen):
                return
            time.sleep(GLANCE_S)
        raise CannotReach(f"waited in vain; it shows {self.seen.get('screen')}")

    def _look(self) -> bool:
        """Whether there is a picture; it is read again only when it is another."""
        try:
            stamp = self.tree.stat().st_mtime_ns
            if stamp != self.stamp:
                self.seen = json.loads(self.tree.read_text(encoding="utf-8"))
                self.stamp, self._frame = stamp, None
        except (FileNotFoundError, ValueError):
            pass
        return bool(self.seen)

    @property
    def frame(self) -> Frame:
        if self._frame is None:
            nodes = tuple(map(_node, self.seen["nodes"]))
            self._frame = Frame(tuple(self.seen["size"]), (), nodes, spot=self.seen["spot"])
        return self._frame

    def _do(self, count: int, *words: object) -> None:
        """One command to the display; ``count`` events of it reach the window at least."""
        wanted = self.seen["handled"] + count
        subprocess.run(["xdotool", *map(str, words)], env=self.env, check=True, timeout=60)
        self.until(lambda s: s["handled"] >= wanted and not s["waiting"] and not s["busy"])

    def by(self, hands: "type[Window]") -> "Window":
        """The same window in other hands."""
        other = hands.__new__(hands)
        other.__dict__ = self.__dict__
        return other

    # what Screen asks for

    def node(self, name: str) -> Node:
        found = self.frame.node(name)
        if found is None:
            raise CannotReach(f"there is no {name}")
        return found

    def has(self, name: str) -> bool:
        return self.frame.node(name) is not None

    def chosen(self, name: str) -> bool:
        return self.node(name).chosen

    def value(self, name: str) -> str:
        return self.node(name).value

    def letters(self, text: str) -> None:
        self._do(len(text), "key", "ctrl+BackSpace", "type", "--delay", 2, text)
        # what arrived is looked at, not how many events brought it


class ByMouse(Window):
    def press(self, name: str) -> None:
        for _ in range(300):
            self.node(name)
            at = bare(self.frame, name)
            if at is not None:
                self._do(1, "mousemove", round(at[0]), round(at[1]), "click", 1)
                return
            turn = turn_to(self.frame, name)
            if turn is None:
                break
            (x, y), dx, dy = turn
            button = 7 if dx > 0 else 6 if dx < 0 else 4 if dy > 0 else 5
            self._do(1, "mousemove", round(x), round(y), "click", button)
        if self.frame.node("loupe.close") is not None and not name.startswith("loupe."):
            self.press("loupe.close")  # what lies on the board is put away as one would
            self.press(name)
            return
        raise CannotReach(f"{name} cannot be brought into sight")

    def fill(self, name: str, text: str) -> None:
        self.press(name)
        self.letters(text)
        self.until(lambda s: self.value(name) == text)


class ByKeys(Window):
    def _focus(self) -> str:
        return next((n["name"] for n in self.seen["nodes"] if n["focus"]), "")

    def _lead(self, name: str) -> None:
        learnt: Learnt = {}
        for tried in range(40):
            self.node(name)
            here = self._focus()
            if here == name:
                return
            way = way_to(self.frame, here, name, learnt)
            if tried > 2:  # the plan was wrong: a key at a time, and what it did is kept
                way = way[:1]
            self._keys(way)
            if len(way) == 1:
                learnt[here, way[0]] = self._focus()
        raise CannotReach(f"keys do not lead to {name}")

    def press(self, name: str) -> None:
        """Led there and Enter at once, where nothing scrolls on the way: then the plan is sure."""
        self.node(name)
        here = self._focus()
        way = way_to(self.frame, here, name) if here != name else []
        if self._sure(here, way, name):
            self._keys(way, "Return")
            return
        self._lead(name)
        self._keys([], "Return")

    def _sure(self, here: str, way: list[tuple[str, bool]], goal: str) -> bool:
        for key, shift in way:
            here = moved(self.frame, here, key, shift)
            node = self.frame.node(here)
            if node is None or node.seen != node.rect:
                return False
        return here == goal

    def _keys(self, way: list[tuple[str, bool]], *more: str) -> None:
        keys = [f"shift+{KEYS[k]}" if shift else KEYS[k] for k, shift in way]
        self._do(len(keys) + len(more), "key", "--delay", PAUSE_MS, *keys, *more)

    def fill(self, name: str, text: str) -> None:
        self._lead(name)
        self.letters(text)
        self.until(lambda s: self.value(name) == text)


def _node(row: dict) -> Node:
    clip = Rect(*row["clip"]) if row["clip"] else None
    return Node(
        row["name"], row["role"], Rect(*row["whole"]), row["label"],
        ("answers",) if row["answers"] else (), row["stop"], row["enabled"], row["chosen"],
        value=row["value"], clip=clip, keys=dict.fromkeys(row["keys"], ("key",)),
    )  # fmt: skip
