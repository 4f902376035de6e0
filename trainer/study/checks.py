"""Whether the wires, acts and watch list of a study fit its parts.

Works on the plain data, so that these faults are named even while a part still has faults of
its own. Knows which parts exist; must not build a circuit. An odd circuit (nothing joined, a
short) is no fault: only what cannot be understood is.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any, get_args

from pydantic import ValidationError

from trainer.base.errors import FieldError, Misfit, quoted
from trainer.base.units import parse
from trainer.parts import PARTS, Part

#: What a person may do; a part allows some of them.
VERBS = (
    "open", "close", "call", "uncall", "cool", "heat", "utility", "alternate", "defrost",
    "end_defrost",
)  # fmt: skip
CHASSIS = "chassis"
#: What a report can look at.
ROLES = (
    "supply", "compressor", "fan", "relay", "start_capacitor", "run_capacitor", "contactor",
    "soft_starter",
)  # fmt: skip
#: Roles a report cannot do without knowing which part is meant.
SINGLE_ROLES = ("supply", "compressor", "relay", "start_capacitor")
#: Parts more than anybody wires by hand; keeps a hostile file cheap.
MOST_PARTS, MOST_WIRES, MOST_ACTS = 200, 500, 200
_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,30}")


@dataclass(frozen=True)
class Known:
    """What is certain of a part, whether or not the rest of its record is in order."""

    terminals: tuple[str, ...]
    verbs: tuple[str, ...]
    role: str
    part: Part


def misfits(data: Any) -> list[Misfit]:
    """Every wire, act, name and watch entry that does not fit, with its path in the data."""
    if not isinstance(data, dict):
        return []
    crowd = list(_too_many(data))
    if crowd:
        return crowd
    raw = data.get("parts")
    parts = raw if isinstance(raw, dict) else {}
    known = {name: part for name, spec in parts.items() if (part := _known(name, spec))}
    return [
        *_names(parts),
        *_wires(_rows(data, "wires"), parts, known),
        *_acts(_rows(data, "acts"), parts, known, data.get("until")),
        *_watch(data.get("watch"), parts, known),
        *_frequencies(known),
    ]


def _too_many(data: dict[str, Any]) -> Iterator[Misfit]:
    for key, most in (("parts", MOST_PARTS), ("wires", MOST_WIRES), ("acts", MOST_ACTS)):
        rows = data.get(key)
        if isinstance(rows, (dict, list)) and len(rows) > most:
            yield Misfit((key,), f"{len(rows)} {key} are too many", f"at most {most}")


def _rows(data: dict[str, Any], key: str) -> list[tuple[int, dict[str, Any]]]:
    rows = data.get(key)
    if not isinstance(rows, list):
        return []
    return [(n, row) for n, row in enumerate(rows) if isinstance(row, dict)]


def _known(name: Any, spec: Any) -> Known | None:
    """Terminals and verbs of a part; from its shape alone when its values are faulty."""
    if not isinstance(spec, dict) or not isinstance(spec.get("kind"), str):
        return None
    kind = PARTS.get(spec["kind"])
    if kind is None:
        return None
    try:
        part = kind.model_validate(spec)
    except ValidationError:
        part = kind.model_construct(**_shape(kind, spec))
    return Known(part.terminals(), tuple(part.hand(str(name))), kind.role, part)


def _shape(kind: type[Part], spec: dict[str, Any]) -> dict[str, Any]:
    """The words and whole numbers of a spec that are right: they decide its terminals."""
    fields = kind.model_fields
    return {
        key: value
        for key, value in spec.items()
        if key in fields and _is_choice(fields[key].annotation, value)
    }


def _is_choice(annotation: Any, value: Any) -> bool:
    if annotation is bool:
        return isinstance(value, bool)
    return isinstance(value, (str, int)) and value in get_args(annotation)


def _names(parts: dict[str, Any]) -> Iterator[Misfit]:
    for name in parts:
        if name == CHASSIS or not _NAME.fullmatch(str(name)):
            write = "a letter, then letters, digits, - and _, at most 31, and not chassis"
            yield Misfit(("parts", name), f"{quoted(name)} cannot be the name of a part", write)


def _wires(
    rows: list[tuple[int, dict[str, Any]]], parts: dict[str, Any], known: dict[str, Known]
) -> Iterator[Misfit]:
    for n, row in rows:
        ends = [row.get("from"), row.get("to")]
        for key, end in zip(("from", "to"), ends, strict=True):
            if isinstance(end, str):
                yield from _end(("wires", n, key), end, parts, known)
        if isinstance(ends[0], str) and ends[0] == ends[1]:
            yield Misfit(("wires", n, "to"), "a wire from a terminal to itself", "another end")


def _end(
    path: tuple[str | int, ...], end: str, parts: dict[str, Any], known: dict[str, Known]
) -> Iterator[Misfit]:
    if end == CHASSIS:
        return
    name, dot, terminal = end.partition(".")
    if not dot or not terminal:
        yield Misfit(path, f"{quoted(end)} names no terminal", "part.terminal, or chassis")
    elif name not in parts:
        yield Misfit(path, f"there is no part {quoted(name)}", _near(name, parts))
    elif name in known and terminal not in known[name].terminals:
        write = _near(terminal, known[name].terminals, f"{name}.")
        yield Misfit(path, f"{quoted(name)} has no terminal {quoted(terminal)}", write)


def _acts(
    rows: list[tuple[int, dict[str, Any]]],
    parts: dict[str, Any],
    known: dict[str, Known],
    until: Any,
) -> Iterator[Misfit]:
    end = _seconds(until, 3.0)
    for n, row in rows:
        for verb in VERBS:
            part = row.get(verb)
            if isinstance(part, str):
                yield from _act(("acts", n, verb), verb, part, parts, known)
        at = _seconds(row.get("at"), 0.0)
        if end and at is not None and at > end:
            what = f"it happens at {at:g} s, after the study ends at {end:g} s"
            yield Misfit(("acts", n, "at"), what, f"a time before {end:g} s, or a later until")


def _seconds(text: Any, missing: float) -> float | None:
    """A time as written, or None when it is not one; that is told elsewhere."""
    if text is None:
        return missing
    try:
        return parse(text, "s")
    except FieldError:
        return None


def _act(
    path: tuple[str | int, ...],
    verb: str,
    part: str,
    parts: dict[str, Any],
    known: dict[str, Known],
) -> Iterator[Misfit]:
    if part not in parts:
        yield Misfit(path, f"there is no part {quoted(part)}", _near(part, parts))
        return
    if part not in known or verb in known[part].verbs:
        return
    verbs = known[part].verbs
    movable = [name for name, other in known.items() if verb in other.verbs]
    if verbs:
        write = " or ".join(f"{v}: {part}" for v in verbs)
    elif movable:
        write = f"{verb}: " + " or ".join(movable)
    else:
        write = "an act on a part with a handle"
    can = "no handle" if not verbs else f"nothing to {verb}"
    yield Misfit(path, f"{quoted(part)} has {can}", write)


def _watch(watch: Any, parts: dict[str, Any], known: dict[str, Known]) -> Iterator[Misfit]:
    chosen = watch if isinstance(watch, dict) else {}
    for role, name in chosen.items():
        if role not in ROLES or not isinstance(name, str):
            continue
        fitting = [part for part, other in known.items() if other.role == role]
        if name not in parts:
            yield Misfit(("watch", role), f"there is no part {quoted(name)}", _near(name, fitting))
        elif name in known and known[name].role != role:
            what = f"{quoted(name)} is no {role.replace('_', ' ')}"
            yield Misfit(("watch", role), what, _near(name, fitting))
    for role in SINGLE_ROLES:
        fitting = [part for part, other in known.items() if other.role == role]
        if len(fitting) > 1 and not chosen.get(role):
            what = f"{len(fitting)} parts could be the {role.replace('_', ' ')}"
            yield Misfit(("watch", role), what, f"{role}: " + " or ".join(fitting))


def _frequencies(known: dict[str, Known]) -> Iterator[Misfit]:
    """All sources of one study run at one frequency."""
    feeding = [(name, hz) for name, k in known.items() if (hz := k.part.source_hz()) is not None]
    for name, hz in feeding[1:]:
        first, first_hz = feeding[0]
        if hz != first_hz:
            what = f"{name} and {first} run at different frequencies"
            yield Misfit(("parts", name, "hz"), what, f"hz: {first_hz:g} Hz")


def _near(name: str, known: Iterable[str], before: str = "") -> str:
    """The known name most like this one, or all of them."""
    names = list(known)
    by_small = {other.lower(): other for other in names}
    close = get_close_matches(name[:40].lower(), by_small, n=1)
    if close:
        return before + by_small[close[0]]
    if len(names) < 2:
        return before + names[0] if names else "a part of the study, or leave the line out"
    return "one of " + ", ".join(before + other for other in names[:20])
