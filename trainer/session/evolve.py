"""State from events: one small function for each kind, and no physics in any of them.

Knows kinds of events by name; must call no solver, no instrument and no file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from trainer.base.changing import changed
from trainer.base.errors import TrainerError, quoted
from trainer.instruments.clamp import INRUSH
from trainer.instruments.shown import Health
from trainer.session.bench import Bench, Lock
from trainer.session.events import Event
from trainer.session.plain import unit_from_plain
from trainer.unit.conductor import Conductor
from trainer.unit.layout import Layout
from trainer.unit.own_layout import layout_from_plain
from trainer.unit.state import Placed, electrics_from_plain

Data = Mapping[str, Any]


def begun(data: Data) -> Bench:
    unit = unit_from_plain(data["unit"])
    found = data.get("found", {})
    tray = found.get("tray")
    return Bench(
        unit, data["who"], unit.at_ms, moving=data["moving"], charged=data["charged"],
        hums=tuple(data["hums"]),
        locks={part: Lock(owner, "") for part, owner in found.get("locks", {}).items()},
        declared=bool(found.get("declared", False)),
        briefing=found.get("briefing", ""),
        dirty=frozenset(found.get("dirty", ())),
        diagram=found.get("diagram", "clean"),
        own_layout=_layout_in(found, unit.digest),
        tray=None if tray is None else {n: Placed.model_validate(p) for n, p in tray.items()},
        hints=tuple(found.get("hints", ())),
        accommodation=found.get("accommodation", 1.0),
        health={t: Health.model_validate(h) for t, h in found.get("health", {}).items()},
    )  # fmt: skip


def _layout_in(found: Data, digest: str) -> Layout | None:
    plain = found.get("layout")
    return None if plain is None else layout_from_plain(plain, digest)


def evolve(bench: Bench, event: Event) -> Bench:
    """The bench after an event. Raises TrainerError for a kind it does not know."""
    change = CHANGES.get(event.kind)
    if change is None:
        raise TrainerError(f"event {event.seq} is of an unknown kind {quoted(event.kind)}")
    return changed(change(bench, event.data), at_ms=event.at_ms)


def fold(events: Iterable[Event]) -> Bench:
    """The bench that these events make; the first must be ``begun``."""
    rows = iter(events)
    first = next(rows, None)
    if first is None or first.kind != "begun":
        raise TrainerError("an attempt begins with the event begun")
    bench = begun(first.data)
    for event in rows:
        bench = evolve(bench, event)
    return bench


def _nothing(bench: Bench, data: Data) -> Bench:
    return bench


def _electrics(bench: Bench, data: Data) -> Bench:
    unit = changed(
        bench.unit,
        electrics=electrics_from_plain(data["state"]),
        slow=data["slow"],
        settled=data["settled"],
        at_ms=data["unit_ms"],
        hands={**bench.unit.hands, **data["hands"]},
    )
    going_on = {"moving": data["moving"], "charged": data["charged"], "hums": tuple(data["hums"])}
    return changed(bench, unit=unit, **going_on)


def _conductor(bench: Bench, data: Data) -> Bench:
    conductor = Conductor.model_validate(data["conductor"])
    return changed(bench, unit=bench.unit.with_conductor(conductor))


def _part(bench: Bench, data: Data) -> Bench:
    return changed(
        bench, unit=bench.unit.with_part(data["name"], Placed.model_validate(data["part"]))
    )


def _part_out(bench: Bench, data: Data) -> Bench:
    return changed(bench, unit=bench.unit.without_part(data["name"]))


def _conductor_out(bench: Bench, data: Data) -> Bench:
    return changed(bench, unit=bench.unit.without_conductor(data["wire"]))


def _photographed(bench: Bench, data: Data) -> Bench:
    return changed(bench, photographs={**bench.photographs, data["what"]: data["shows"]})


def _cover(bench: Bench, data: Data) -> Bench:
    off = set(bench.unit.covers_off)
    (off.add if data["off"] else off.discard)(data["cover"])
    return changed(bench, unit=changed(bench.unit, covers_off=frozenset(off)))


def _wiped(bench: Bench, data: Data) -> Bench:
    unit = changed(bench.unit, wiped=bench.unit.wiped | {data["place"]})
    return changed(bench, unit=unit)


def _locked(bench: Bench, data: Data) -> Bench:
    return changed(bench, locks={**bench.locks, data["part"]: Lock(data["owner"])})


def _tagged(bench: Bench, data: Data) -> Bench:
    lock = changed(bench.locks[data["part"]], tag=data["text"])
    return changed(bench, locks={**bench.locks, data["part"]: lock})


def _unlocked(bench: Bench, data: Data) -> Bench:
    return changed(bench, locks={p: k for p, k in bench.locks.items() if p != data["part"]})


def _ppe(bench: Bench, data: Data) -> Bench:
    return changed(bench, ppe=frozenset(data["items"]))


def _stance(bench: Bench, data: Data) -> Bench:
    return changed(bench, stance=data["stance"])


def _told(bench: Bench, data: Data) -> Bench:
    return changed(bench, told=(*bench.told, data["who"]))


def _source(bench: Bench, data: Data) -> Bench:
    return changed(bench, sources=(*bench.sources, data["name"]))


def _selected(bench: Bench, data: Data) -> Bench:
    settings = {**bench.settings, data["instrument"]: data["setting"]}
    name = data["instrument"]
    armed = data["setting"] == INRUSH if name == "clamp" else bench.armed
    bench = changed(bench, leads=None, kept=None) if name == "meter" else bench
    return changed(bench, instrument=name, settings=settings, armed=armed)


def _leads(bench: Bench, data: Data) -> Bench:
    return changed(bench, leads=(data["red"], data["black"]), kept=None)


def _jaws(bench: Bench, data: Data) -> Bench:
    return changed(bench, jaws=data["jaws"], armed=bench.setting_of("clamp") == INRUSH)


def _read(bench: Bench, data: Data) -> Bench:
    caught = data["instrument"] == "clamp" and data["setting"] == INRUSH
    armed = bench.armed and not caught  # a capture holds its figure until it is armed again
    kept = tuple(data["kept"]) if "kept" in data else bench.kept
    return changed(bench, readings=(*bench.readings, data), armed=armed, kept=kept)


def _harmed(bench: Bench, data: Data) -> Bench:
    name = data["instrument"]
    health = bench.health_of(name).model_copy(update={data["what"]: True})
    return changed(bench, health={**bench.health, name: health})


def _hurt(bench: Bench, data: Data) -> Bench:
    return changed(bench, hurts=(*bench.hurts, data))


def _tool(bench: Bench, data: Data) -> Bench:
    tools = bench.tools | {data["tool"]} if data["inside"] else bench.tools - {data["tool"]}
    return changed(bench, tools=tools)


def _did(bench: Bench, data: Data) -> Bench:
    what = data["what"]
    return changed(bench, done={**bench.done, what: (*bench.done.get(what, ()), data["to"])})


def _declared(bench: Bench, data: Data) -> Bench:
    return changed(bench, declared=True)


def _over(bench: Bench, data: Data) -> Bench:
    return changed(bench, over=True, ended=data.get("why", "handed over"))


CHANGES: dict[str, Callable[[Bench, Data], Bench]] = {
    "asked": _nothing,
    "refused": _nothing,
    "done": _nothing,
    "passed": _nothing,
    "seen": _nothing,
    "start": _nothing,
    "electrics": _electrics,
    "conductor": _conductor,
    "part": _part,
    "cover": _cover,
    "wiped": _wiped,
    "part out": _part_out,
    "conductor out": _conductor_out,
    "photographed": _photographed,
    "hint": _nothing,
    "locked": _locked,
    "tagged": _tagged,
    "unlocked": _unlocked,
    "ppe": _ppe,
    "stance": _stance,
    "told": _told,
    "source": _source,
    "selected": _selected,
    "jaws": _jaws,
    "leads": _leads,
    "trace": _nothing,
    "killed": _nothing,
    "pierced": _hurt,
    "read": _read,
    "harmed": _harmed,
    "shock": _hurt,
    "arc": _hurt,
    "tool": _tool,
    "did": _did,
    "declared": _declared,
    "over": _over,
}
