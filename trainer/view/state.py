"""The state of the window: what screen, what exercise, what is in hand. Frozen; ``update`` makes
the next one.

Knows plain values and the bench; must know no shape.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Literal

from trainer.view.shapes import Message

if TYPE_CHECKING:
    from trainer.session.bench import Bench
    from trainer.session.events import Event

Mode = Literal["guided", "practice", "graded"]
Screen = Literal[
    "home", "bench", "debrief", "settings", "bay", "free", "tour", "card", "steps", "assignment"
]
Effect = tuple[Any, ...]


@dataclass(frozen=True)
class Settings:
    """What a person has set. ``scale`` is percent."""

    name: str = ""
    scale: int = 100
    theme: str = "paper"
    sound: bool = True
    captions: bool = True
    reduced_motion: bool = False
    units: Literal["SI", "US"] = "US"
    language: str = "en"
    toured: bool = False
    class_mode: bool = False
    #: Command -> its key where it is not the usual one.
    keys: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Job:
    """An exercise under way. ``told`` is what the clipboard says of it."""

    header: Mapping[str, Any]
    told: Mapping[str, Any]
    bench: Bench
    events: tuple[Event, ...]
    mode: Mode = "practice"
    path: str = ""
    spots: Mapping[str, tuple[float, float, float]] = field(default_factory=dict)
    #: Free end -> its slot on the rail.
    slots: Mapping[str, int] = field(default_factory=dict)
    tool: str = "hand"
    picks: tuple[str, ...] = ()
    #: Tool -> what is set on it.
    values: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    held: str = ""
    sheet: str = "job"
    said: tuple[str, ...] = ()
    busy: bool = False
    #: What was stopped or went wrong, waiting for an answer: title, words, buttons.
    pause: Mapping[str, Any] | None = None
    #: Practice: what the last act did against a rule, or how its start went wrong; ``open`` unfolds.
    slip: Mapping[str, Any] | None = None
    #: Guided: the step suggested now.
    step: Mapping[str, Any] | None = None
    #: Which of several ends on one place is asked for.
    ask_end: tuple[str, ...] = ()
    #: The node from which what stands above the tray was asked for.
    opener: str = ""
    #: Number of the start event that the Trace sheet shows, where its scrubber is, how slowed.
    start_seq: int = 0
    at_s: float = 0.0
    playing: bool = False
    slowed: int = 20
    ghost: bool = True
    phasors: bool = False
    #: Of the board: see ``board.first_sight``; 0 as close as it takes to hit every terminal.
    #: The scope's cursors as shares of its screen, and which of them moves; -1: they are off.
    cursors: tuple[float, float] = (0.25, 0.75)
    cursor: int = -1
    zoom: float = -2.0
    #: What the loupe shows: ``part.NAME``, ``end.TAG.SIDE`` or "".
    loupe: str = ""
    form: str = ""
    form_values: Mapping[str, Any] = field(default_factory=dict)
    cited: tuple[int, ...] = ()
    after_lift: bool = False

    def value(self, tool: str, name: str, first: Any) -> Any:
        return self.values.get(tool, {}).get(name, first)


@dataclass(frozen=True)
class App:
    """Everything. ``scrolls`` how far regions are scrolled, ``texts`` what was typed into fields."""

    size: tuple[float, float] = (1280.0, 800.0)
    settings: Settings = Settings()
    screen: Screen = "home"
    focus: str = ""
    #: The node of the board that had the focus last.
    spot: str = ""
    #: Keys were used last: what comes new shows where they begin.
    keyed: bool = False
    hover: str = ""
    scrolls: Mapping[str, float] = field(default_factory=dict)
    texts: Mapping[str, str] = field(default_factory=dict)
    job: Job | None = None
    home: Mapping[str, Any] | None = None
    page: Mapping[str, Any] | None = None
    #: An exercise about to begin: its card is shown.
    card: Mapping[str, Any] | None = None
    #: A sentence for the person that stays until it is closed.
    trouble: str = ""
    #: A sentence that says what was done, until it is closed.
    notice: str = ""
    #: What the worker is busy with, in words, or "".
    progress: str = ""
    tour: int = 0
    #: In a narrow window: the clipboard is up, and the board is not.
    compact_sheet: bool = False
    back: Screen = "home"
    bay: Mapping[str, Any] | None = None
    ready: bool = False
    #: The command that waits for its new key, and why the last one was refused.
    keying: str = ""
    key_refused: str = ""
    step_at: int = 0

    def with_job(self, **changed: Any) -> App:
        assert self.job is not None
        return replace(self, job=replace(self.job, **changed))

    def scrolled(self, name: str, to: float) -> App:
        return replace(self, scrolls={**self.scrolls, name: max(to, 0.0)})

    def typed(self, name: str, text: str) -> App:
        return replace(self, texts={**self.texts, name: text})


__all__ = ["App", "Effect", "Job", "Message", "Mode", "Screen", "Settings"]
