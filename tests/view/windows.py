"""Every screen, sheet, form, tool and panel as a state that something led to, for looking at all.

Knows names of screens and acts; must know no language.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

from tests.view.hands import Hands
from trainer.session.acts import ACTS
from trainer.view.mishaps import CALL, OFF
from trainer.view.posing import TODAY
from trainer.view.screens.tour import PAGES
from trainer.view.state import App
from trainer.view.tools import TOOLS
from trainer.view.update import update

ACTS_DONE = (
    CALL, {"act": "wait", "seconds": 1.0}, OFF,
    {"act": "select", "instrument": "meter", "setting": "V ac"},
    {"act": "measure", "red": "chassis", "black": "chassis", "why": "test"},
)  # fmt: skip
UNIT, JOB = "larkspur-row", "potential-relay-and-start-capacitor"


def sent(app: App, *messages: tuple) -> App:
    """A state after messages that need no worker."""
    for message in messages:
        app = update(app, message)[0]
    return app


def asked(request: dict) -> App:
    hands = Hands()
    hands._ask(request)
    return hands.app


@cache
def begun(name: str, mode: str) -> App:
    hands = Hands()
    hands.begin(name, mode)
    return hands.app


@cache
def started() -> App:
    """A unit as built, energised once, a reading taken."""
    hands = Hands()
    hands.begin(UNIT)
    for act in ACTS_DONE:
        hands.send(("act", dict(act)))
    return hands.app


@cache
def marked() -> App:
    hands = Hands()
    hands.begin(JOB)
    hands.send(("act", {"act": "read", "what": "job sheet"}))
    hands.send(("debrief",))
    return hands.app


@cache
def home() -> App:
    return asked({"ask": "home", "folder": "nowhere", "today": TODAY})


@cache
def bay() -> App:
    hands = Hands()
    hands.send(("bay",))
    hands._ask({"ask": "studies", "folder": ""})
    hands.send(("study", "potential-relay"))
    return hands.app


@cache
def graded() -> App:
    hands = Hands()
    hands.send(("exercise", JOB, "graded"))
    return hands.app


@cache
def stopped() -> App:
    """Guided mode holds back an act that is refused."""
    hands = Hands()
    hands.begin(JOB, "guided")
    tag = next(iter(hands.app.job.bench.unit.conductors))
    hands.send(("act", {"act": "cap", "wire": tag, "end": "a"}))
    assert hands.app.job.pause is not None
    return hands.app


def states() -> Iterator[tuple[str, App]]:
    yield "home", home()
    for n in range(len(PAGES)):
        yield f"tour {n}", replace(App(ready=True), screen="tour", tour=n)
    yield "settings", sent(home(), ("screen", "settings"))
    yield "card", graded()
    yield "bay", bay()
    yield "free", _free()
    yield "debrief", marked()
    yield "steps", sent(marked(), ("step at", marked().job.events[-1].seq))
    yield "trouble", sent(home(), ("trouble", "a sentence"))
    yield "progress", sent(home(), ("resume", "nowhere"))
    yield from _at_the_bench()


@cache
def _free() -> App:
    hands = Hands()
    hands.send(("free",))
    return hands.app


def _at_the_bench() -> Iterator[tuple[str, App]]:
    job = begun(JOB, "practice")
    yield "guided", begun(JOB, "guided")
    yield "stopped", stopped()
    harm = {"kind": "harm", "title": "t", "lines": ["l"]}
    yield "harm", job.with_job(pause=harm)
    for sheet in ("job", "diagram", "meter", "trace", "note"):
        yield f"sheet {sheet}", sent(started(), ("sheet", sheet))
        yield f"empty sheet {sheet}", sent(job, ("sheet", sheet))
    yield "phasors", sent(started(), ("sheet", "trace"), ("phasors",))
    for tool in TOOLS:
        yield f"tool {tool.name}", sent(job, ("tool", tool.name))
        if tool.picks and tool.picks[0][1] == "place":
            at = ("place", "chassis")
            yield f"tool {tool.name}, picked", sent(job, ("tool", tool.name), at)
    for part in job.job.bench.unit.parts:
        yield f"part {part}", sent(job, ("part", part))
    tag = next(iter(job.job.bench.unit.conductors))
    yield "held", job.with_job(held=f"{tag}.a")
    yield "which end", job.with_job(ask_end=(f"{tag}.a", f"{tag}.b"))
    for name in ("list", "hint", "finish", *ACTS):
        yield f"form {name}", sent(started(), ("form", name))
    yield "free finish", sent(started(), ("form", "finish"))
    yield "job finish", sent(job, ("form", "finish"))
