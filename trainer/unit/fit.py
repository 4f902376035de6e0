"""Whether the places, types and counts in a layout fit the catalogue.

Works on plain data, so that these faults are named together with faults of form. An odd circuit
is no fault: only what cannot be built is. Knows the catalogue; must build no circuit.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from difflib import get_close_matches
from typing import Any

from pydantic import ValidationError

from trainer.base.errors import FieldError, Misfit, quoted
from trainer.parts.conductors import table
from trainer.unit.catalogue import catalogue, electrical, place_in, type_of
from trainer.unit.conductor import part_of, terminal_of

#: More than anybody wires by hand; keeps a hostile file cheap.
MOST_PARTS, MOST_WIRES = 60, 150
CHASSIS = "chassis"


def misfits(data: Any) -> list[Misfit]:
    """Every type, place, tag and count that does not fit, with its path in the data."""
    if not isinstance(data, dict):
        return []
    crowd = list(_crowd(data))
    if crowd:
        return crowd
    raw = data.get("parts")
    parts = raw if isinstance(raw, dict) else {}
    found = [*_types(parts)]
    known = catalogue().types
    types = {
        str(n): s["type"]
        for n, s in parts.items()
        if isinstance(s, dict) and isinstance(s.get("type"), str) and s["type"] in known
    }
    fit = Fit(types, set(map(str, parts)))
    return [*found, *_wires(data, fit), *_lists(data, fit)]


class Fit:
    """Looks places up; parts whose type is unknown are left alone, that is told elsewhere."""

    def __init__(self, types: dict[str, str], names: set[str]) -> None:
        self.types, self.names = types, names

    def place(self, path: tuple[str | int, ...], name: Any) -> Iterator[Misfit]:
        if not isinstance(name, str) or name == CHASSIS:
            return
        part = part_of(name)
        if part not in self.names:
            near = get_close_matches(part, sorted(self.names), n=1) or sorted(self.names)[:8]
            yield Misfit(path, f"there is no part {quoted(part)}", " or ".join(near))
        elif part in self.types and place_in(self.types, name) is None:
            yield Misfit(path, f"there is no place {quoted(name)}", self._near(part, name))

    def part(self, path: tuple[str | int, ...], name: Any) -> Iterator[Misfit]:
        if isinstance(name, str) and name not in self.names:
            near = get_close_matches(name, sorted(self.names), n=1) or sorted(self.names)[:8]
            yield Misfit(path, f"there is no part {quoted(name)}", " or ".join(near))

    def _near(self, part: str, name: str) -> str:
        kind = type_of(self.types[part])
        has = [
            f"{part}.{t}" + (f":{p.id}" if p.id else "")
            for t, terminal in kind.terminals.items()
            for p in terminal.places
        ]
        return " or ".join(get_close_matches(name, has, n=2) or has[:8])


def _crowd(data: dict[str, Any]) -> Iterator[Misfit]:
    for key, most in (("parts", MOST_PARTS), ("wires", MOST_WIRES)):
        rows = data.get(key)
        if isinstance(rows, (dict, list)) and len(rows) > most:
            yield Misfit((key,), f"{len(rows)} {key} are too many", f"at most {most}")


def _types(parts: dict[str, Any]) -> Iterator[Misfit]:
    known = list(catalogue().types)
    for name, spot in parts.items():
        if str(name) == CHASSIS or not str(name).replace("_", "").replace("-", "").isalnum():
            what = f"{quoted(name)} cannot be the name of a part"
            yield Misfit(("parts", name), what, "letters, digits, - and _")
        if not isinstance(spot, dict) or not isinstance(spot.get("type"), str):
            continue
        if spot["type"] not in known:
            near = get_close_matches(spot["type"], known, n=1) or known[:5]
            what = f"there is no type {quoted(spot['type'])}"
            yield Misfit(("parts", name, "type"), what, " or ".join(near))
        elif isinstance(spot.get("set"), dict):
            yield from _set(name, spot)


def _set(name: Any, spot: dict[str, Any]) -> Iterator[Misfit]:
    try:
        electrical(spot["type"], spot["set"])
    except ValidationError as error:
        for d in error.errors(include_url=False):
            path = ("parts", name, "set", *[p for p in d["loc"] if p in spot["set"]][:1])
            yield Misfit(path, str(d["msg"]), "a field and value of this kind of part")
    except (TypeError, ValueError, FieldError) as error:
        yield Misfit(("parts", name, "set"), str(error)[:120], "fields of this kind of part")


def _rows(data: dict[str, Any], key: str) -> list[tuple[int, Any]]:
    rows = data.get(key)
    return list(enumerate(rows)) if isinstance(rows, list) else []


def _wires(data: dict[str, Any], fit: Fit) -> Iterator[Misfit]:
    tags: set[str] = set()
    held: Counter[str] = Counter()
    for n, row in _rows(data, "wires"):
        if not isinstance(row, dict):
            continue
        tag = str(row.get("tag"))
        if tag in tags:
            yield Misfit(("wires", n, "tag"), f"two wires have the tag {quoted(tag)}", "another")
        tags.add(tag)
        for key in ("from", "to"):
            path = ("wires", n, key)
            bad = list(fit.place(path, row.get(key)))
            yield from bad
            if not bad and isinstance(row.get(key), str) and row[key] != CHASSIS:
                held[row[key]] += 1
                yield from _holds(path, row, row[key], held, fit)


def _holds(
    path: tuple[str | int, ...], row: dict[str, Any], name: str, held: Counter[str], fit: Fit
) -> Iterator[Misfit]:
    place = place_in(fit.types, name)
    if place is None:
        return
    if held[name] > place.holds:
        what = f"{held[name]} conductors on {quoted(name)}, which holds {place.holds}"
        yield Misfit(path, what, f"another place of {terminal_of(name)}")
    gauge = str(row.get("gauge", "10 AWG"))
    sizes = table().conductors
    if gauge in sizes:
        ohms = sizes[gauge].ohm_per_kft
        thin, thick = (sizes[g].ohm_per_kft for g in place.gauges)
        if not thick * 0.9 <= ohms <= thin * 1.05:
            between = f"{place.gauges[0]} to {place.gauges[1]}"
            yield Misfit(path, f"{gauge} does not go on {quoted(name)}", between)


def _lists(data: dict[str, Any], fit: Fit) -> Iterator[Misfit]:
    for key in ("must_prove", "capacitors"):
        for n, pair in _rows(data, key):
            for k, name in enumerate(pair if isinstance(pair, list) else []):
                yield from fit.place((key, n, k), name)
    for n, name in _rows(data, "dirty"):
        yield from fit.place(("dirty", n), name)
    for n, feed in _rows(data, "feeds"):
        if isinstance(feed, dict):
            yield from fit.part(("feeds", n, "isolated_by"), feed.get("isolated_by"))
            for k, name in _rows(feed, "live_side"):
                yield from fit.place(("feeds", n, "live_side", k), name)
    covers = data.get("covers")
    for cover, spec in (covers if isinstance(covers, dict) else {}).items():
        for k, name in _rows(spec, "hides") if isinstance(spec, dict) else []:
            if isinstance(name, str):
                look = fit.place if "." in name else fit.part
                yield from look(("covers", cover, "hides", k), name)
