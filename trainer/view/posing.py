"""The window without a toolkit: messages to states, with the worker in this process.

What is asked for is answered at once, on a bench that starts the same every time. Knows the state
and the worker; must know no shape and no clock.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import wraps
from typing import Any, ParamSpec, TypeVar

from trainer.view.language import spoken
from trainer.view.serving import Serving
from trainer.view.state import App, Effect, Message, Settings
from trainer.view.update import update

Act = Mapping[str, Any]
#: Any day will do for what is due; it stays the same.
TODAY = 738000
USUAL = Settings(toured=True)
P = ParamSpec("P")
R = TypeVar("R")


def once(make: Callable[P, R]) -> Callable[P, R]:
    """Made once for each language that is spoken: some words are kept with a state."""
    kept: dict[Any, R] = {}

    @wraps(make)
    def found(*args: P.args, **named: P.kwargs) -> R:
        key = spoken(), args, tuple(named.items())
        if key not in kept:
            kept[key] = make(*args, **named)
        return kept[key]

    return found


def usual() -> Settings:
    """Settings of a person who speaks the language of the moment."""
    return replace(USUAL, language=spoken())


class Pose:
    """One window being led from state to state."""

    def __init__(self) -> None:
        self.app = App(settings=usual(), ready=True)
        self.serving = Serving()

    def begin(self, name: str, mode: str = "practice") -> Pose:
        self.ask({"ask": "begin", "name": name, "mode": mode, "seed": 0, "who": "learner"})
        return self

    def send(self, *message: Any) -> Pose:
        self.app, effects = update(self.app, tuple(message))
        for effect in effects:
            self._effect(effect)
        return self

    def act(self, act: Act) -> Pose:
        return self.send("act", dict(act))

    def all(self, messages: Sequence[Message]) -> Pose:
        for message in messages:
            self.send(*message)
        return self

    def _effect(self, effect: Effect) -> None:
        """Files, sound and the clock are left out."""
        if effect[0] == "ask":
            self.ask(effect[1])
        elif effect[0] == "begin":
            self.begin(effect[1], effect[2])
        elif effect[0] == "studies":
            self.ask({"ask": "studies", "folder": ""})

    def ask(self, request: dict[str, Any]) -> None:
        self.send("came", request, self.serving.answer(request))


class Play:
    """An attempt played act by act; every state on the way is kept, as far as was asked for."""

    def __init__(self, name: str, acts: Sequence[Act]) -> None:
        self.acts = acts
        self.pose = Pose().begin(name)
        self.states = [self.pose.app]

    def upto(self, n: int) -> App:
        """The state after the first ``n`` acts."""
        while len(self.states) <= n:
            self.pose.act(self.acts[len(self.states) - 1])
            self.states.append(self.pose.app)
        return self.states[n]

    def whole(self) -> App:
        return self.upto(len(self.acts))

    def after(self, which: Callable[[Act], bool], nth: int = 1) -> App:
        """The state after the ``nth`` act of a kind. Raises StopIteration without one."""
        found = (n for n, act in enumerate(self.acts) if which(act))
        for _ in range(nth - 1):
            next(found)
        return self.upto(next(found) + 1)


@once
def shipped(name: str) -> Play:
    """A shipped job by its own file of acts."""
    return Play(name, acts_of(name))


@once
def acts_of(name: str) -> tuple[Act, ...]:
    from trainer.base.places import scenarios_dir
    from trainer.session.acts import load_moves

    path = scenarios_dir() / "moves" / f"{name}.yaml"
    return tuple(a.model_dump(mode="json") for a in load_moves(path).acts)


def more(app: App, *messages: Message) -> App:
    """A state after messages that need no worker."""
    for message in messages:
        app = update(app, message)[0]
    return app


def worked(app: App, *acts: Act) -> App:
    """A state after further acts, done by a worker that stands where the state does."""
    from trainer.session.attempt import Running

    assert app.job is not None
    pose = Pose()
    pose.app, pose.serving.header = app, app.job.header
    pose.serving.running = Running(None, app.job.events)
    for act in acts:
        pose.act(act)
    return pose.app


def debriefed(app: App) -> App:
    """The debrief of the attempt under way."""
    from trainer.view.afterwards import debrief_of

    assert app.job is not None
    page = debrief_of(app.job.header, app.job.events)
    return update(app, ("came", {"ask": "debrief"}, {"page": page}))[0]


def sized(app: App, wide: float, high: float) -> App:
    return replace(app, size=(wide, high))
