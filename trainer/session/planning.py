"""Acts of looking and preparing: sheets, plates, sources, people, protective equipment.

What is seen comes from the layout and the unit as they are. Knows these acts only.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from trainer.session import acts
from trainer.session.diagram import diagram
from trainer.session.doing import Doing, Refused
from trainer.session.times import cost_ms
from trainer.sheet.ladder_text import ladder_text
from trainer.sheet.reading import sheet_of
from trainer.unit.catalogue import type_of
from trainer.unit.conductor import SIDES, part_of, terminal_of


def look(doing: Doing, act: acts.Look) -> None:
    doing.pass_time(cost_ms(act.act))
    at = act.at
    if at == "unit":
        doing.say(_unit(doing))
    elif at in doing.bench.unit.parts:
        hidden = doing.cover_over(at)
        if hidden:
            raise Refused(f"You see the {hidden}; {at} is behind it.")
        doing.say(part_in_words(doing, at))
    else:
        raise Refused(f"There is no {at} to look at.")
    doing.did("look", at)


def _unit(doing: Doing) -> str:
    unit, site = doing.bench.unit, doing.site
    on = [c for c in site.covers if c not in unit.covers_off]
    locked = [f"{p} ({k.owner}'s lock)" for p, k in doing.bench.locks.items()]
    setting = site.setting[:1].upper() + site.setting[1:]
    words = [f"{site.title}. {setting}.", f"Parts: {', '.join(unit.parts)}."]
    words.append(f"Covers on: {', '.join(on) or 'none'}.")
    if locked:
        words.append(f"Locked: {', '.join(locked)}.")
    return " ".join(words)


def part_in_words(doing: Doing, name: str) -> str:
    """What is printed on a part, and what is landed where."""
    unit = doing.bench.unit
    kind = type_of(unit.parts[name].type)
    words = [f"{name}: printed {kind.printed}."]
    gap = _gap(doing, name)
    if gap:
        words.append(gap)
    for terminal, spec in kind.terminals.items():
        place = f"{name}.{terminal}"
        words.append(f"{_marking(doing, place, spec.marking)}: {_landed(doing, place)}.")
    return " ".join(words)


def _gap(doing: Doing, name: str) -> str:
    position = doing.bench.unit.hands.get(name)
    return f"Last put to {position}." if position else ""


def _marking(doing: Doing, place: str, marking: str) -> str:
    if place in doing.bench.dirty and place not in doing.bench.unit.wiped:
        return f"{place} (marking under dirt)"
    return f"{place} (marked {marking})" if marking else f"{place} (no marking)"


def _landed(doing: Doing, place: str) -> str:
    found = [
        f"wire {tag} {side} ({c.colour} {c.gauge})"
        for tag, c in doing.bench.unit.conductors.items()
        for side in SIDES
        if c.end(side).on and terminal_of(str(c.end(side).on)) == place
    ]
    return ", ".join(found) or "nothing on it"


def read(doing: Doing, act: acts.Read) -> None:
    doing.pass_time(cost_ms(act.act))
    site = doing.site
    if act.what == "job sheet":
        doing.say(doing.bench.briefing or f"{site.title}. {site.about}")
    elif act.what == "nameplate":
        kinds = [f"{n}: {type_of(p.type).printed}" for n, p in doing.bench.unit.parts.items()]
        doing.say(f"Printed on the parts: {'; '.join(kinds)}.")
    elif act.what == "diagram":
        doing.say(diagram(site, doing.bench.diagram))
    elif act.what == "ladder":
        doing.say(ladder_text(sheet_of(site, doing.bench.diagram)))
    else:
        doing.reach(act.at)
        doing.say(part_in_words(doing, part_of(act.at)))
    doing.did("read", act.what)


def put_on(doing: Doing, act: acts.PutOn) -> None:
    doing.pass_time(cost_ms(act.act))
    doing.emit("ppe", items=sorted(set(act.items)))


def list_source(doing: Doing, act: acts.ListSource) -> None:
    doing.pass_time(cost_ms(act.act))
    doing.emit("source", name=act.name)


def tell(doing: Doing, act: acts.Tell) -> None:
    doing.pass_time(cost_ms(act.act))
    doing.emit("told", who=act.who)


def set_zone(doing: Doing, act: acts.SetZone) -> None:
    doing.pass_time(cost_ms(act.act))
    doing.did("zone")


def wipe(doing: Doing, act: acts.Wipe) -> None:
    from trainer.session.hazards import touch

    doing.reach(act.place)
    doing.pass_time(cost_ms(act.act))
    touch(doing, act.place, doer="a rag")
    doing.emit("wiped", place=terminal_of(act.place))


def stand(doing: Doing, act: acts.Stand) -> None:
    doing.pass_time(cost_ms(act.act))
    doing.emit("stance", stance=act.where)


DO: dict[str, Callable[[Doing, Any], None]] = {
    "look": look, "read": read, "put on": put_on, "list source": list_source, "tell": tell,
    "set zone": set_zone, "wipe": wipe, "stand": stand,
}  # fmt: skip
