"""A unit at the bench written as a study: the same circuit in a file that can be energised.

Parts with their settings and charges, conductors with both ends landed and the ohms of their
joints, accidents as conductors, contacts as hands left them. What a study has no words for
(``untold.py``) stands as comments in the file's text. Knows units and the form of a study; must
know no analysis, no scenario and no mark.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from trainer.circuit.layout import HAND_BIT
from trainer.circuit.state import CircuitState
from trainer.parts import Part
from trainer.parts.conductors import joint_ohms as listed_ohms
from trainer.parts.conductors import ohms_of
from trainer.study.build import watched
from trainer.study.checks import SINGLE_ROLES
from trainer.study.model import Watch
from trainer.unit.catalogue import place_in, type_of
from trainer.unit.circuit import elements_of, parts_of
from trainer.unit.conductor import SIDES
from trainer.unit.joints import joint_ohms
from trainer.unit.landings import ends_of, is_wired, place_of, set_aside, touched_ends, touching
from trainer.unit.roles import roles_of
from trainer.unit.state import Placed, Unit
from trainer.unit.untold import CHARGES, LEAST_V, untold
from trainer.unit.world import completed

#: The call that starts a unit, as in shipped studies: three whole cycles after the beginning.
CALL_AT_S = 0.05
UNTIL_S = 4.0
#: A joint with no more than this beyond two good ones is two good ones [ohm].
LEAST_OHMS = 1e-6

#: A verb a hand has done -> what a part's record says instead, where it has that field.
_STANDING: dict[str, tuple[str, Any]] = {
    "open": ("closed", False),
    "close": ("closed", True),
    "call": ("calling", True),
    "uncall": ("calling", False),
    "cool": ("mode", "cool"),
    "heat": ("mode", "heat"),
    "utility": ("position", "utility"),
    "alternate": ("position", "alternate"),
}


def study_of(
    unit: Unit,
    title: str = "",
    acts: Sequence[tuple[str, str]] | None = None,
    at_s: float = CALL_AT_S,
) -> dict[str, Any]:
    """The unit as plain data of a study's file.

    ``acts`` are (part, verb) done at ``at_s``; None: whatever calls for cooling calls.
    """
    standing, verbs = _hands(unit)
    loose = touched_ends(unit)
    parts = {n: d for n, p in unit.parts.items() if (d := _part(unit, n, p, standing.get(n, {})))}
    parts |= {name: {"kind": "splice"} for name in loose.values()}
    todo = _callers(unit, standing) if acts is None else acts
    written = [{"at": "0 s", verb: part} for part, verb in verbs]
    written += [{"at": f"{at_s!r} s", verb: part} for part, verb in todo]
    return {
        "study": 1,
        "title": title or unit.layout,
        "parts": parts,
        "wires": [row for _, row in _wires(unit, loose)],
        "acts": written,
        "watch": _watch(unit),
        "until": f"{UNTIL_S:g} s",
    }


def text_of(unit: Unit, title: str = "") -> str:
    """The file: what a study cannot say in comments, then the study, a line a part and wire."""
    data = study_of(unit, title)
    lines = ["# A unit at the bench, written as a study. For training only: units are invented."]
    lines += [f"# Not in this study: {sentence}" for sentence in untold(unit)]
    lines += ["study: 1", f"title: {_flow(data['title'])}", "", "parts:"]
    lines += [f"  {name}: {_flow(part)}" for name, part in data["parts"].items()]
    lines += ["", "wires:" if data["wires"] else "wires: []"]
    lines += [f"  - {_flow(row)}  # {tag}" for tag, row in _wires(unit, touched_ends(unit))]
    lines += ["", "acts:" if data["acts"] else "acts: []"]
    lines += [f"  - {_flow(row)}" for row in data["acts"]]
    lines += ["", f"watch: {_flow(data['watch'])}", f"until: {data['until']}"]
    return "\n".join(lines) + "\n"


def _part(unit: Unit, name: str, placed: Placed, standing: dict[str, Any]) -> dict[str, Any] | None:
    """A part as a study writes it; None for what joins nothing, or is the chassis."""
    kind = type_of(placed.type)
    if kind.part is not None:
        if set_aside(unit, name):
            return None
        return {**kind.part, **placed.set, **standing, **_charge(unit, name, kind.part["kind"])}
    if kind.earth or not kind.terminals:
        return None
    return {"kind": "splice", "ways": len(kind.terminals)}


def _charge(unit: Unit, name: str, kind: str) -> dict[str, str]:
    keys = {
        key: unit.electrics.capacitor_v.get(f"{name}~{inside}" if inside else name, 0.0)
        for (of, inside), key in CHARGES.items()
        if of == kind
    }
    return {key: f"{volts!r} V" for key, volts in keys.items() if abs(volts) >= LEAST_V}


def _hands(unit: Unit) -> tuple[dict[str, dict[str, Any]], list[tuple[str, str]]]:
    """How hands left the parts: what their records say for it, and verbs where they cannot."""
    elements, _ = elements_of(unit)
    now = completed(elements, unit.electrics).reasons
    rest = completed(elements, CircuitState()).reasons
    hand = 1 << HAND_BIT
    standing: dict[str, dict[str, Any]] = {}
    verbs: list[tuple[str, str]] = []
    for name, part in parts_of(unit.parts).items():
        for verb, moves in part.hand(name).items():
            stands = all((now.get(c, 0) & hand == 0) == shut for c, shut in moves)
            moved = any((now.get(c, 0) ^ rest.get(c, 0)) & hand for c, _ in moves)
            if not (stands and moved):
                continue
            said = _said(part, verb)
            if said:
                standing.setdefault(name, {}).update(said)
            else:
                verbs.append((name, verb))
    return standing, verbs


def _said(part: Part, verb: str) -> dict[str, Any]:
    """The field that says what a verb has done, where the part has it."""
    if verb == "open" and "position" in type(part).model_fields:
        return {"position": "off"}
    key, value = _STANDING.get(verb, ("", None))
    thermostat = key == "closed" and "calling" in type(part).model_fields
    return {key: value} if key in type(part).model_fields and not thermostat else {}


def _callers(unit: Unit, standing: Mapping[str, dict[str, Any]]) -> list[tuple[str, str]]:
    """Whatever can call and does not."""
    return [
        (name, "call")
        for name, part in parts_of(unit.parts).items()
        if "call" in part.hand(name)
        and not standing.get(name, {}).get("calling", getattr(part, "calling", False))
    ]


def _wires(unit: Unit, loose: Mapping[str, str]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Conductors by tag, with two ends that are somewhere and not both on the same terminal."""
    types = {name: placed.type for name, placed in unit.parts.items()}
    for c in unit.conductors.values():
        begin, end = ends_of(unit, c, loose)
        if begin is None or end is None or begin == end:
            continue
        made = [c.end(side) for side in SIDES]
        joints = sum(joint_ohms(e, place_in(types, e.on)) for e in made if e.on is not None)
        # a study's wire has two good joints of its own
        worse = joints - 2.0 * listed_ohms("good")
        row = {"from": begin, "to": end, "gauge": c.gauge, "length": f"{c.length_m:.9g} m"}
        if worse > LEAST_OHMS:
            row["joint"] = f"{worse:.9g} ohm"
        elif worse < -LEAST_OHMS:  # an end that only touches has no joint
            row["ohms"] = f"{max(ohms_of(c.gauge, c.length_m) + worse, LEAST_OHMS):.9g} ohm"
        yield c.tag, row
    for a, b, ohms in touching(unit):
        ends = place_of(unit, a, loose), place_of(unit, b, loose)
        if None not in ends and ends[0] != ends[1]:
            own = max(ohms - 2.0 * listed_ohms("good"), LEAST_OHMS)
            yield "an accident", {"from": ends[0], "to": ends[1], "ohms": f"{own:.9g} ohm"}


def _watch(unit: Unit) -> dict[str, str]:
    """What a report of the unit looks at, and a choice where a study must make one."""
    parts = {n: p for n, p in parts_of(unit.parts).items() if not set_aside(unit, n)}
    chosen = watched(parts, Watch())
    found = {k: v for k, v in roles_of(unit).watch.items() if k not in chosen and v in parts}
    for role in SINGLE_ROLES:
        fitting = [name for name, part in parts.items() if part.role == role]
        if len(fitting) > 1 and role not in found:
            wired = [n for n in fitting if is_wired(unit, n)] or fitting
            found[role] = wired[0]
    return found


def _flow(value: Any) -> str:
    """A value on one line of YAML."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {_flow(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_flow(item) for item in value) + "]"
    if isinstance(value, bool) or value is None:
        return "null" if value is None else str(value).lower()
    if isinstance(value, str):
        plain = re.fullmatch(r"[A-Za-z][A-Za-z0-9_.~ -]*|[0-9.e+-]+ [A-Za-z.]+", value)
        reads = value.lower() in ("true", "false", "yes", "no", "on", "off", "null", "y", "n")
        return value if plain and not reads else json.dumps(value, ensure_ascii=False)
    return repr(value)
