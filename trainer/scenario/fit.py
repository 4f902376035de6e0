"""Whether the names in a scenario are there: layout, parts, places, conductors, dials.

Works on plain data, so that these faults are named together with faults of form. Knows layouts
and the catalogue; must build no circuit.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from difflib import get_close_matches
from pathlib import Path as FilePath
from typing import Any

from trainer.base.errors import Faults, Misfit, TrainerError, quoted
from trainer.scenario.fit_values import field_misfits, set_misfits
from trainer.unit.catalogue import catalogue
from trainer.unit.faults import FAULTS
from trainer.unit.fit import Fit
from trainer.unit.layout import Layout
from trainer.unit.own_layout import layout_called

Path = tuple[str | int, ...]
INSTRUMENTS = ("meter", "tester", "pen", "clamp", "insulation")
#: More than anybody writes by hand; keeps a hostile file cheap.
MOST = 200


def misfits(data: Any, folder: FilePath | None = None) -> list[Misfit]:
    """Every name that is not there, with its path in the data; ``folder`` is the file's own."""
    if not isinstance(data, dict):
        return []
    layout, bad = _layout(data.get("layout"), folder)
    if layout is None:
        return bad
    return [*bad, *_Look(data, layout).all()]


def near(name: Any, known: Iterable[str]) -> str:
    """The known name most like this one, or the first dozen."""
    names = sorted(map(str, known))
    close = get_close_matches(str(name)[:60], names, n=1) or names[:12]
    return " or ".join(close) or "nothing: there is none here"


def group(data: Any, *keys: str) -> dict[str, Any]:
    """The mapping at a path of plain data, empty when there is none."""
    for key in keys:
        data = data.get(key) if isinstance(data, dict) else None
    return dict(list(data.items())[:MOST]) if isinstance(data, dict) else {}


def rows(data: Any, *keys: str) -> list[Any]:
    """The list at a path of plain data, empty when there is none."""
    for key in keys:
        data = data.get(key) if isinstance(data, dict) else None
    return data[:MOST] if isinstance(data, list) else []


def _layout(name: Any, folder: FilePath | None) -> tuple[Layout | None, list[Misfit]]:
    if not isinstance(name, str):
        return None, []
    try:
        return layout_called(name, folder), []
    except Faults as error:
        what = f"the layout {quoted(name)} has faults itself: {error.faults[0]}"
        return None, [Misfit(("layout",), what[:300], "a layout that passes check")]
    except TrainerError as error:
        return None, [Misfit(("layout",), error.what, error.hint)]


class _Look:
    """Walks one scenario's data with the names its layout and tray have."""

    def __init__(self, data: dict[str, Any], layout: Layout) -> None:
        self.data, self.layout = data, layout
        self.changes = list(self._changes())
        types = dict(layout.types) | self._types_in(group(data, "tray"))
        tags = {w.tag for w in layout.wires}
        for _, change in self.changes:
            types |= self._types_in(group(change, "parts"))
            tags |= {str(group(wire).get("tag")) for wire in rows(change, "add")}
        known = catalogue().types
        self.types = {n: t for n, t in types.items() if t in known}
        self.fit = Fit(self.types, set(types))
        self.tags = tags

    @staticmethod
    def _types_in(parts: dict[str, Any]) -> dict[str, str]:
        return {str(n): str(r.get("type")) for n, r in parts.items() if isinstance(r, dict)}

    def _changes(self) -> Iterator[tuple[Path, Any]]:
        yield ("start", "wiring"), group(self.data, "start", "wiring")
        yield ("target",), group(self.data, "target")
        for name, change in group(self.data, "alternates").items():
            yield ("alternates", name), change
        for name, dial in group(self.data, "variants", "dials").items():
            for choice, change in group(dial, "choices").items():
                yield ("variants", "dials", name, "choices", choice), change

    def all(self) -> Iterator[Misfit]:
        for path, change in self.changes:
            yield from self._change(path, change)
        yield from self._parts(("tray",), group(self.data, "tray"))
        yield from self._start()
        yield from self._plant()
        for n, reading in enumerate(rows(self.data, "readings")):
            yield from self._reading(("readings", n), reading)
        for n, pair in enumerate(rows(self.data, "symmetries")):
            for k, place in enumerate(pair if isinstance(pair, list) else []):
                yield from self.fit.place(("symmetries", n, k), place)
        for name, dial in group(self.data, "variants", "dials").items():
            yield from self._dial(("variants", "dials", name), dial)
        yield from self._constraints()

    def _parts(self, path: Path, parts: dict[str, Any]) -> Iterator[Misfit]:
        for name, row in parts.items():
            kind = group(row).get("type")
            if isinstance(kind, str) and kind not in catalogue().types:
                what = f"there is no type {quoted(kind)}"
                yield Misfit((*path, name, "type"), what, near(kind, catalogue().types))
            elif isinstance(kind, str):
                yield from set_misfits((*path, name, "set"), kind, {}, group(row, "set"))

    def _tag(self, path: Path, tag: Any) -> Iterator[Misfit]:
        if isinstance(tag, str) and tag.removeprefix("-") not in self.tags:
            yield Misfit(path, f"there is no conductor {quoted(tag)}", near(tag, self.tags))

    def _change(self, path: Path, change: Any) -> Iterator[Misfit]:
        yield from self._parts((*path, "parts"), group(change, "parts"))
        for n, tag in enumerate(rows(change, "remove")):
            yield from self._tag((*path, "remove", n), tag)
        for n, end in enumerate(rows(change, "lift")):
            yield from self._tag((*path, "lift", n), str(end).rpartition(".")[0])
        for end, place in group(change, "land").items():
            yield from self._tag((*path, "land", end), str(end).rpartition(".")[0])
            yield from self.fit.place((*path, "land", end), place)
        for tag in group(change, "colours"):
            yield from self._tag((*path, "colours", tag), tag)
        for n, name in enumerate(rows(change, "parts_out")):
            yield from self.fit.part((*path, "parts_out", n), name)
        yield from self._set((*path, "set"), group(change, "set"))
        for n, wire in enumerate(rows(change, "add")):
            for key in ("from", "to"):
                yield from self.fit.place((*path, "add", n, key), group(wire).get(key))

    def _set(self, path: Path, parts: dict[str, Any]) -> Iterator[Misfit]:
        for name, fields in parts.items():
            yield from self.fit.part((*path, name), name)
            if name in self.types and isinstance(fields, dict):
                own = self.layout.parts[name].set if name in self.layout.parts else {}
                yield from set_misfits((*path, name), self.types[name], own, fields)

    def _start(self) -> Iterator[Misfit]:
        for where in (("start", "hands"), ("proof", "hands")):
            for name in group(self.data, *where):
                yield from self.fit.part((*where, name), name)
        yield from self._set(("start", "set"), group(self.data, "start", "set"))
        for n, cover in enumerate(rows(self.data, "start", "covers_off")):
            if isinstance(cover, str) and cover not in self.layout.covers:
                what = f"there is no cover {quoted(cover)}"
                yield Misfit(("start", "covers_off", n), what, near(cover, self.layout.covers))
            elif isinstance(cover, str) and self.layout.covers[cover].moulded:
                what = f"the {cover} is moulded onto its leads and does not come off"
                yield Misfit(("start", "covers_off", n), what, "covers that come off")

    def _plant(self) -> Iterator[Misfit]:
        for n, fault in enumerate(rows(self.data, "plant", "faults")):
            yield from self._fault(("plant", "faults", n), fault)
        for place in group(self.data, "plant", "charges"):
            yield from self.fit.part(("plant", "charges", place), str(place).partition(".")[0])
        for fault, shown in group(self.data, "symptoms").items():
            yield from self._fault(("symptoms", fault), fault)
            for n, symptom in enumerate(shown[:MOST] if isinstance(shown, list) else []):
                path: Path = ("symptoms", fault, n)
                yield from self._reading(path, symptom)
                for k, other in enumerate(rows(symptom, "unlike")):
                    yield from self._fault((*path, "unlike", k), other)

    def _fault(self, path: Path, fault: Any, shown: bool = True) -> Iterator[Misfit]:
        if not isinstance(fault, str) or fault == "none":
            return
        if fault not in FAULTS:
            yield Misfit(path, f"there is no fault {quoted(fault)}", near(fault, FAULTS))
        elif path[0] != "symptoms" and fault not in group(self.data, "symptoms"):
            what = f"no symptom is stated for {fault}"
            yield Misfit(path, what, f"a reading that shows it, under symptoms: {fault}:")

    def _reading(self, path: Path, reading: Any) -> Iterator[Misfit]:
        clamped = group(reading).get("with") == "clamp"
        for k, at in enumerate(rows(reading, "at")):
            look = self._tag if clamped else self.fit.place
            yield from look((*path, "at", k), at)
        for k, place in enumerate(rows(reading, "lifted")):
            yield from self.fit.place((*path, "lifted", k), place)
        if not clamped and len(rows(reading, "at")) not in (0, 2):
            what = "a reading between places needs two"
            yield Misfit((*path, "at"), what, "[place of the red lead, place of the black one]")

    def _dial(self, path: Path, dial: Any) -> Iterator[Misfit]:
        part = group(dial).get("part")
        yield from self.fit.part((*path, "part"), part)
        if isinstance(part, str) and part in self.types:
            yield from field_misfits(path, self.types[part], group(dial))
        if isinstance(on := group(dial).get("on"), str):
            yield from self.fit.part((*path, "on"), on.partition(".")[0])
        for n, fault in enumerate(rows(dial, "choices")):
            yield from self._fault((*path, "choices", n), fault)
        for n, tag in enumerate(rows(dial, "wires")):
            yield from self._tag((*path, "wires", n), tag)
        for n, place in enumerate(rows(dial, "places")):
            yield from self.fit.place((*path, "places", n), place)
        for n, name in enumerate(rows(dial, "parts")):
            yield from self.fit.part((*path, "parts", n), name)
        tool = group(dial).get("instrument")
        if isinstance(tool, str) and tool not in INSTRUMENTS:
            what = f"there is no instrument {quoted(tool)}"
            yield Misfit((*path, "instrument"), what, near(tool, INSTRUMENTS))

    def _constraints(self) -> Iterator[Misfit]:
        dials = group(self.data, "variants", "dials")
        for n, rule in enumerate(rows(self.data, "variants", "constraints")):
            for dial in group(rule, "never"):
                if dial not in dials:
                    path: Path = ("variants", "constraints", n, "never", dial)
                    yield Misfit(path, f"there is no dial {quoted(dial)}", near(dial, dials))
