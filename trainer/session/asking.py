"""Questions to oneself at the text bench: no act, no time, no event, and nothing that a person
standing there would not know without looking again.

Knows the bench; must tell nothing that a look, a reading or a lifted cover would have to show.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, get_args

from trainer.session.acts import ACTS, Act
from trainer.session.bench import Bench
from trainer.session.doing import Doing
from trainer.session.text import clock, usage
from trainer.unit.catalogue import type_of

#: Headings of the list of acts, by what decides them.
GROUPS = {
    "planning": "Plan and look", "isolating": "Isolate, wait and call", "measuring": "Measure",
    "wiring": "On a wire's end", "noting": "Parts, wires, records and finish",
}  # fmt: skip


def answer(bench: Bench, line: str) -> str | None:
    """What to say to a question, or None when the line is none."""
    words = line.strip().lower().rstrip("?").split()
    if words[:1] == ["help"]:
        return helped(" ".join(words[1:]))
    if words[:1] == ["places"]:
        return places(bench, " ".join(words[1:]))
    asked = QUESTIONS.get(" ".join(words))
    return asked(bench) if asked else None


def helped(name: str) -> str:
    """The list of acts, or one act with what may stand in each field."""
    if not name:
        lines = []
        for group, heading in GROUPS.items():
            lines.append(f"{heading}:")
            lines += [f"  {usage(n)}" for n, kind in ACTS.items() if kind.group == group]
        asks = ", ".join(sorted({*QUESTIONS, "places PART", "help ACT", "again"}))
        return "\n".join([*lines, f"Questions, which cost no time: {asks}."])
    kind = ACTS.get(name)
    if kind is None:
        return f"There is no act called {name}; help alone lists them."
    said = [usage(name), *_about(kind)]
    return "\n".join(said)


def _about(kind: type[Act]) -> list[str]:
    """The act in its own words, then its fields."""
    own = (kind.__doc__ or "").strip()
    lines = [own] if own and not own.startswith("``group``") else []
    for name, field in kind.model_fields.items():
        if name == "act":
            continue
        choices = [str(c) for c in get_args(field.annotation) if isinstance(c, str | int)]
        what = f"one of {', '.join(c or '(nothing)' for c in choices)}" if choices else "free"
        least = "" if field.is_required() else f"; {field.default!r} if left out"
        lines.append(f"  {name}: {what}{least}")
    return lines


def where(bench: Bench) -> str:
    site = Doing(bench).site
    on = [c for c in site.covers if c not in bench.unit.covers_off]
    words = [f"It is {clock(bench.at_ms)}. You stand {bench.stance} of the unit."]
    words.append(f"Covers on: {', '.join(on) or 'none'}.")
    put = [f"{part} {verb}" for part, verb in bench.unit.hands.items()]
    words.append(f"You put: {', '.join(put) or 'nothing yet'}.")
    locks = [f"{p} ({k.owner}{', tagged' if k.tag else ''})" for p, k in bench.locks.items()]
    words.append(f"Locks: {', '.join(locks) or 'none'}.")
    return " ".join(words)


def hold(bench: Bench) -> str:
    name = bench.instrument
    words = [f"In hand: {name}, on {bench.setting_of(name)}." if name else "Your hands are empty."]
    if bench.jaws:
        armed = ", armed for inrush" if bench.armed else ""
        words.append(f"The clamp is round {bench.jaws}{armed}.")
    if bench.leads:
        words.append(f"The meter's leads stay on {' and '.join(bench.leads)}.")
    words.append(f"You wear: {', '.join(sorted(bench.ppe)) or 'nothing special'}.")
    words.append(f"Tools in the cabinet: {', '.join(sorted(bench.tools)) or 'none'}.")
    if bench.tray is not None:
        lying = [f"{n} ({p.type})" for n, p in bench.tray.items() if n not in bench.unit.parts]
        words.append(f"On the tray: {', '.join(lying) or 'nothing'}.")
    return " ".join(words)


def readings(bench: Bench) -> str:
    rows = [_reading(n, r) for n, r in enumerate(bench.readings, 1)]
    return "\n".join(rows) or "You have taken no reading."


def _reading(n: int, r: Any) -> str:
    leads = " and ".join(r["leads"].values())
    return f"{n}. {r['instrument']}, {r['setting']}, {leads}: {r['shown']['text'] or 'nothing'}"


def wires(bench: Bench) -> str:
    """Tags and colours; where an end is landed takes a look."""
    rows = [f"{tag} ({c.colour}, {c.gauge})" for tag, c in bench.unit.conductors.items()]
    return "Wires: " + ", ".join(rows) + "."


def places(bench: Bench, part: str) -> str:
    """Names to type; what is on them takes a look."""
    if part not in bench.unit.parts:
        return f"Parts: {', '.join(bench.unit.parts)}."
    kind = type_of(bench.unit.parts[part].type)
    names = [
        f"{part}.{terminal}" + (f":{place.id}" if place.id else "")
        for terminal, spec in kind.terminals.items()
        for place in spec.places
    ]
    return f"Places of {part}: {', '.join(names)}."


QUESTIONS: dict[str, Callable[[Bench], str]] = {
    "where": where, "where am i": where, "hold": hold, "what do i hold": hold,
    "readings": readings, "wires": wires,
}  # fmt: skip
