"""The window: pygame's events in, frames out, effects carried out. The only loop.

Knows the toolkit, the clock and files; decides nothing about the bench.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")

import pygame

from trainer.base.errors import TrainerError
from trainer.view.arriving import Arrivals, Kinds
from trainer.view.client import Client
from trainer.view.inputs import Inputs, shown_focus
from trainer.view.keys import stands_for
from trainer.view.paint import Painter
from trainer.view.people import attempt_path, data_dir, load_settings, save_settings
from trainer.view.shapes import Frame, Message
from trainer.view.state import App, Effect
from trainer.view.treefile import write_tree

if TYPE_CHECKING:
    from trainer.view.speaker import Speaker

#: Where a script that drives the window finds what is on it: a file written after each frame.
TREE_VARIABLE = "CONDENSER_BENCH_TREE"
LEAST = (640, 400)
USUAL = (1280, 800)
#: Milliseconds between frames while something moves, and longest sleep while nothing does.
FRAME_MS, IDLE_MS = 16, 500
NAMES = {
    pygame.K_TAB: "tab", pygame.K_RETURN: "return", pygame.K_KP_ENTER: "return",
    pygame.K_SPACE: "space", pygame.K_ESCAPE: "escape", pygame.K_LEFT: "left",
    pygame.K_RIGHT: "right", pygame.K_UP: "up", pygame.K_DOWN: "down", pygame.K_F6: "f6",
    pygame.K_HOME: "home", pygame.K_END: "end", pygame.K_PAGEUP: "pageup",
    pygame.K_PAGEDOWN: "pagedown", pygame.K_BACKSPACE: "backspace", pygame.K_z: "z",
    pygame.K_PLUS: "+", pygame.K_EQUALS: "=", pygame.K_MINUS: "-", pygame.K_KP_PLUS: "+",
    pygame.K_KP_MINUS: "-", pygame.K_DELETE: "delete",
}  # fmt: skip


class Window:
    """One window of one person."""

    def __init__(self, folder: Path | None = None, size: tuple[int, int] = USUAL) -> None:
        self.folder = folder or data_dir()
        settings, wrong = load_settings(self.folder)
        pygame.display.init()
        pygame.font.init()
        flags = pygame.RESIZABLE
        self.surface = pygame.display.set_mode(size, flags)
        pygame.display.set_caption("Condenser Bench")
        pygame.key.start_text_input()
        pygame.key.set_repeat(350, 40)
        self.arrived = pygame.event.custom_type()
        self.arrivals = Arrivals(
            Kinds(pygame.MOUSEMOTION, pygame.KEYDOWN, pygame.KEYUP, self.arrived)
        )
        self.app = App(settings=settings, trouble=wrong, keyed=True)
        self.painter = Painter()
        self.inputs = Inputs()
        self.client: Client | None = None
        self.frame = Frame((1.0, 1.0), (), ())
        self.looked: App | None = None
        self.running, self.changed = True, True
        self.handled = 0
        self.drawn_ms: list[float] = []
        #: What is to be sent once this time on the clock has come [ms].
        self.later: tuple[int, Message] | None = None
        self.speaker: Speaker | None = None
        self.owed_s = 0.0
        self._resized()

    def run(self, file: str = "") -> None:
        """Until it is closed."""
        self._draw()
        self.client = Client(self._wake)
        if not self.app.settings.toured:
            self.app = replace(self.app, screen="tour", tour=0)
        threading.Thread(target=_prepare, daemon=True).start()
        self._effect(("home",))
        self.client.ask({"ask": "warm"})
        if file:
            self.send(("dropped", str(Path(file).absolute())))
        last = pygame.time.get_ticks()
        while self.running:
            if self.changed:
                self._draw()
            self._wait()
            now = pygame.time.get_ticks()
            self._due()
            self._tick((now - last) / 1000.0)
            last = now
        self._close()

    def _wake(self) -> None:
        pygame.event.post(pygame.event.Event(self.arrived))

    def _wait(self) -> None:
        """Sleeps until something happens; shortly while a replay plays."""
        playing = self.app.job is not None and self.app.job.playing
        sleep = FRAME_MS if playing else IDLE_MS
        if self.later is not None:
            sleep = min(sleep, max(self.later[0] - pygame.time.get_ticks(), 1))
        first = pygame.event.wait(sleep)
        events = [first, *pygame.event.get()] if first.type != pygame.NOEVENT else []
        for event in self.arrivals.sorted_out(events):
            if self.changed and event.type not in (pygame.MOUSEMOTION, self.arrived):
                self._look()  # a second press in one go meets what the first one led to
            self._event(event)
            self.handled += event.type in HANDS or (
                event.type == pygame.KEYDOWN and event.key in NAMES
            )
        if os.environ.get(TREE_VARIABLE) and events and not self.changed:
            write_tree(Path(os.environ[TREE_VARIABLE]), self.frame, self)

    def _due(self) -> None:
        """Sends what was put off, once."""
        if self.later is not None and pygame.time.get_ticks() >= self.later[0]:
            message, self.later = self.later[1], None
            self.send(message)

    def _put_off(self, ms: int, message: Message) -> None:
        self.later = pygame.time.get_ticks() + ms, message

    def _studies(self) -> None:
        self._ask({"ask": "studies", "folder": str(self.folder / "studies")})

    def _tick(self, seconds: float) -> None:
        job = self.app.job
        if job is None or not job.playing:
            return
        from trainer.view.sheets.trace import span_shown

        if self.app.settings.reduced_motion:
            # four still pictures a second instead of a moving one
            self.owed_s += seconds
            if self.owed_s < 0.25:
                return
            seconds, self.owed_s = self.owed_s, 0.0
        self.send(("tick", min(seconds, 0.3), span_shown(job)))

    def _event(self, event: pygame.event.Event) -> None:
        if event.type == pygame.QUIT:
            self.running = False
        elif event.type == self.arrived and self.client is not None:
            for request, answer in self.client.answers():
                self.send(("came", request, answer))
        elif event.type in (pygame.VIDEORESIZE, pygame.WINDOWSIZECHANGED, pygame.WINDOWEXPOSED):
            self._resized()
        elif event.type in POINTS:
            POINTS[event.type](self, event)
        elif event.type == pygame.KEYDOWN:
            self._key(event)
        elif event.type == pygame.KEYUP and NAMES.get(event.key) in ("return", "space"):
            self.inputs.let_go()
        elif event.type == pygame.TEXTINPUT:
            self._all(self.inputs.text(self.app, self.frame, event.text))
        elif event.type == pygame.DROPFILE:
            self.send(("dropped", str(event.file)))

    def _point(self, event: pygame.event.Event) -> tuple[float, float]:
        s = self.painter.scale
        return event.pos[0] / s, event.pos[1] / s

    def _down(self, event: pygame.event.Event) -> None:
        if event.button == 1:
            self._took(self.inputs.pressed(self.app, self.frame, self._point(event)))

    def _up(self, event: pygame.event.Event) -> None:
        if event.button == 1:
            self._all(self.inputs.released(self.app, self.frame, self._point(event)))

    def _motion(self, event: pygame.event.Event) -> None:
        before = self.app.hover
        self._took(self.inputs.moved(self.app, self.frame, self._point(event)), redraw=False)
        self.changed = self.changed or self.app.hover != before

    def _turned(self, event: pygame.event.Event) -> None:
        at = pygame.mouse.get_pos()
        s = self.painter.scale
        point = at[0] / s, at[1] / s
        dx, dy = event.x, event.y
        if pygame.key.get_mods() & pygame.KMOD_SHIFT and not dx:  # a wheel of one axis, sideways
            dx, dy = -dy, 0
        self._all(self.inputs.wheel(self.app, self.frame, point, dx, dy))

    def _key(self, event: pygame.event.Event) -> None:
        shift = bool(event.mod & pygame.KMOD_SHIFT)
        ctrl = bool(event.mod & (pygame.KMOD_CTRL | pygame.KMOD_META))
        name = NAMES.get(event.key)
        if name is None:
            name = _named(event.key)
            own = self.app.keying or stands_for(self.app.settings.keys, name, shift, ctrl)
            if not name or not own:
                return
        before = self.app.focus
        self._took(self.inputs.key(self.app, self.frame, name, shift, ctrl))
        if self.app.focus != before:
            self._look()
            self._all(shown_focus(self.app, self.frame))

    def _took(self, result: tuple[App, list[Message]], redraw: bool = True) -> None:
        self.app, messages = result
        self.changed = self.changed or redraw or bool(messages)
        self._all(messages)

    def _all(self, messages: list[Message]) -> None:
        for message in messages:
            self.send(message)

    def send(self, message: Message) -> None:
        """One message through ``update``, its effects carried out."""
        from trainer.view.update import update

        self.app, effects = update(self.app, message)
        self.changed = True
        for effect in effects:
            self._effect(effect)

    def _effect(self, effect: Effect) -> None:
        EFFECTS[effect[0]](self, *effect[1:])

    def _ask(self, request: dict[str, Any]) -> None:
        if self.client is not None:
            request = {**request, "language": self.app.settings.language}
            if request.get("ask") == "close":
                request = {**request, **self._timed()}
            if request.get("ask") == "do":
                request = {**request, "wall": datetime.now(UTC).isoformat(timespec="milliseconds")}
            self.client.ask(request)

    def _timed(self) -> dict[str, Any]:
        """Clock, timer, chance and the person's folder: for what goes into a book."""
        now_ms = round(datetime.now(UTC).timestamp() * 1000.0)
        return {"now_ms": now_ms, "mono_ms": pygame.time.get_ticks(),
                "chance": os.urandom(32).hex(), "folder": str(self.folder)}  # fmt: skip

    def _assigned(self, request: dict[str, Any]) -> None:
        self._ask({**request, **self._timed()})

    def _home(self) -> None:
        today = datetime.now(UTC).astimezone().date().toordinal()
        self._ask({"ask": "home", "folder": str(self.folder / "attempts"), "today": today})

    def _begin(self, name: str, mode: str) -> None:
        stamp = datetime.now(UTC).astimezone().strftime("%Y%m%d-%H%M%S")
        path = attempt_path(self.folder / "attempts", name, stamp)
        seed = 0 if mode == "guided" else int(stamp[-4:])
        who = self.app.settings.name or "learner"
        asked = {"ask": "begin", "name": name, "mode": mode, "seed": seed, "path": str(path)}
        self._ask({**asked, "who": who})

    def _save_settings(self) -> None:
        wrong = save_settings(self.folder, self.app.settings)
        if wrong:
            self.app = replace(self.app, trouble=wrong)
        self._resized()

    def _save_page(self) -> None:
        self._ask({"ask": "save page", "folder": str(self.folder / "debriefs")})

    def _save_study(self, title: str) -> None:
        self._ask({"ask": "save study", "folder": str(self.folder / "studies"), "title": title})

    def _sound(self, seq: int, slowed: float = 1.0, share: float = 0.0) -> None:
        """A start as it sounds, from a share of what its sheet shows on; seq 0 is silence."""
        from trainer.view.sheets.trace import span_shown

        settings, job = self.app.settings, self.app.job
        if self.speaker is None:
            from trainer.view.speaker import Speaker

            self.speaker = Speaker()
        event = next((e for e in job.events if e.seq == seq), None) if job is not None else None
        if event is None or job is None or not settings.sound or settings.class_mode:
            self.speaker.stop()
        else:
            self.speaker.play(event.data, slowed, share * span_shown(job))

    def _quit(self) -> None:
        self.running = False

    def _resized(self) -> None:
        """Another size or scale: at most so large that 640 by 400 logical pixels fit."""
        wide, high = pygame.display.get_window_size()
        scale = self.app.settings.scale / 100.0
        scale = max(min(scale, wide / LEAST[0], high / LEAST[1]), 0.5)
        self.painter.setup(scale, self.app.settings.theme)
        self.surface = pygame.display.get_surface() or self.surface
        self.app = replace(self.app, size=(wide / scale, high / scale))
        self.changed = True

    def _look(self) -> None:
        """The frame of the state as it is now, not painted yet; of the same state it is the same."""
        if self.app is self.looked:
            return
        from trainer.view.focus import kept
        from trainer.view.frames import frame

        before = self.frame.nodes
        found = frame(self.app)
        focus = kept(found, self.app.focus, before, self.app.keyed)
        if focus != self.app.focus:
            self.app = replace(self.app, focus=focus)
            found = frame(self.app)
        self.frame, self.looked = found, self.app

    def _draw(self) -> None:
        began = pygame.time.get_ticks()
        self._look()
        where = self.painter.paint(self.frame, self.surface)
        if where is None:
            pygame.display.flip()
        elif where:
            pygame.display.update(where)
        self.changed = False
        self.drawn_ms.append(pygame.time.get_ticks() - began)
        if os.environ.get(TREE_VARIABLE):
            write_tree(Path(os.environ[TREE_VARIABLE]), self.frame, self)

    def _close(self) -> None:
        if self.client is not None:
            if self.app.job is not None:
                self._ask({"ask": "close"})
            self.client.close()
        pygame.quit()


def _named(key: int) -> str:
    """A key that has no use of its own, by the toolkit's name; "" for what is only held."""
    name = pygame.key.name(key).lower()
    held = ("shift", "ctrl", "alt", "meta", "gui", "lock", "super", "mode")
    return "" if any(word in name for word in held) else name


POINTS: dict[int, Callable[[Window, pygame.event.Event], None]] = {
    pygame.MOUSEBUTTONDOWN: Window._down, pygame.MOUSEBUTTONUP: Window._up,
    pygame.MOUSEMOTION: Window._motion, pygame.MOUSEWHEEL: Window._turned,
}  # fmt: skip
#: Events of hands, counted for scripts that wait until theirs were heeded.
HANDS = (pygame.MOUSEBUTTONUP, pygame.MOUSEWHEEL, pygame.TEXTINPUT)
EFFECTS: dict[str, Callable[..., None]] = {
    "ask": Window._ask, "home": Window._home, "begin": Window._begin, "quit": Window._quit,
    "save settings": Window._save_settings, "save page": Window._save_page, "save study": Window._save_study,
    "sound": Window._sound, "later": Window._put_off, "studies": Window._studies, "assigned": Window._assigned,
}  # fmt: skip


def _prepare() -> None:
    """What the bench needs is imported while the first screen is looked at."""
    import trainer.session.evolve
    import trainer.view.screens.bench  # noqa: F401


class DisplayError(TrainerError):
    """No window can be opened."""


def run_window(folder: Path | None = None, file: str = "") -> None:
    """Opens the window and stays until it is closed; a file is as if dropped on it.

    Raises DisplayError.
    """
    try:
        window = Window(folder)
    except pygame.error as error:
        raise DisplayError(f"A window cannot be opened here ({error}).") from None
    window.run(file)


def main() -> None:
    run_window()


if __name__ == "__main__":
    main()
