"""Pictures of an assignment in the window, from an invented class: form, card, sealed, on home.

Knows the exchange's files; nothing in it is of a real class.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from trainer.exchange.assignment import SEED_LEAST, Part, Terms, write_assignment
from trainer.exchange.keys import own_key
from trainer.session.opening import opening
from trainer.session.plain import unit_to_plain
from trainer.session.sealing import lock_of
from trainer.view.at_assignment import CODE, FOLDER, LEARNER
from trainer.view.posing import once
from trainer.view.serving import Serving
from trainer.view.state import App
from trainer.view.update import update

#: 2026-03-02 08:00 UTC, invented, like the learner and the start code.
MADE, HOUR = 1_772_438_400_000, 3_600_000
WHO, READ_OUT = "L-07", "K7QF-2MXD"


def _chance(n: int) -> bytes:
    return hashlib.shake_256(b"invented").digest(n)


def _file(folder: Path) -> Path:
    unit, header, found = opening("make-it-dead", SEED_LEAST)
    key = own_key(folder, "instructor", _chance)
    terms = Terms(
        assignment=1, id="0a1b2c3d-1111-4222-8333-444455556666", name="week-1", title="Week 1",
        scenario="make-it-dead", scenario_title="Make it dead and prove it", scenario_digest="d",
        level=1, generator=1, attempts=2, counting="best", opens_ms=MADE, due_ms=MADE + 48 * HOUR,
        closes_ms=MADE + 72 * HOUR, zone="America/Chicago", grace_min=0, late_rule="received",
        time_s=None, hints=(), feedback="full", releases="manual", cut="80",
        weights={"sequence": "60", "records": "20", "commissioning": "20"},
        floors={"sequence": "80"}, lock=lock_of(key), made_ms=MADE, salt="00" * 16,
        critical=("hands in before the unit was isolated", "own lock or tag missing"),
    )  # fmt: skip
    plain = {"unit": unit_to_plain(unit), "header": header, "found": {**found, "hints": []}}
    variant = json.loads(json.dumps(plain))
    part = Part(WHO, terms.due_ms, terms.closes_ms, 2, 1.0, (variant, variant))
    path = folder / "week-1.assignment"
    path.write_bytes(write_assignment(terms, [part], READ_OUT, [_chance(12)], key))
    return path


class _Way:
    """The state on its way, with a worker in this process."""

    def __init__(self, app: App, folder: Path) -> None:
        self.app, self.serving = app, Serving()
        self.timed = {"now_ms": MADE + HOUR, "mono_ms": 0, "chance": "", "folder": str(folder)}

    def send(self, *message: Any) -> App:
        self.app, effects = update(self.app, message)
        for kind, *rest in effects:
            if kind in ("assigned", "ask"):
                request = {**rest[0], **self.timed}
                self.send("came", request, self.serving.answer(request))
        return self.app


@once
def _states(home: Callable[[], App]) -> Mapping[str, App]:
    found = {}
    with TemporaryDirectory() as name:
        way = _Way(home(), Path(name))
        way.send("dropped", str(_file(Path(name))))
        way.send("typed", LEARNER, WHO)
        found["assignment-open"] = _unpathed(way.send("typed", CODE, READ_OUT), name)
        found["assignment-card"] = way.send("take")
        way.send("sit")
        way.send("act", {"act": "look", "at": "disconnect"})
        found["assignment-finish"] = _unpathed(way.send("form", "finish"), name)
        asked = {"ask": "home", "folder": f"{name}/attempts", "today": 739_000}
        found["assignment-home"] = replace(home(), home=way.serving.answer(asked)["home"])
        way.send("seal")
        found["assignment-sealed"] = _unpathed(way.send("typed", FOLDER, ""), name)
    return found


def _unpathed(app: App, folder: str) -> App:
    """Without this machine's folder in what is shown."""
    card = {k: v.replace(folder, "assignments") if isinstance(v, str) else v
            for k, v in (app.card or {}).items()}  # fmt: skip
    job = replace(app.job, path="") if app.job is not None else None
    return replace(app, card=card or None, job=job)


def builds(home: Callable[[], App]) -> dict[str, Callable[[], App]]:
    """Name -> the state to draw; ``home`` is the home screen they begin on."""
    names = ("open", "card", "finish", "home", "sealed")
    return {f"assignment-{n}": lambda n=n: _states(home)[f"assignment-{n}"] for n in names}  # type: ignore[misc]
