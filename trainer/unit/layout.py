"""A layout: parts in millimetres, factory wires, covers, feeds and what must be proved dead.

Reads scenarios/layouts/*.yaml with every fault of form and of fit at once, and makes the unit as
the factory left it. Knows the catalogue; must know no analysis, no learner and no fault table.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Any, Literal, NamedTuple

from pydantic import ConfigDict, Field, ModelWrapValidatorHandler, model_validator

from trainer.base.fields import Metres, Record
from trainer.base.fitting import form_and_fit
from trainer.base.places import scenarios_dir
from trainer.base.yamlfile import load
from trainer.parts.conductors import Gauge
from trainer.unit.catalogue import Place, place_in, turned, type_of
from trainer.unit.conductor import Conductor, End, part_of
from trainer.unit.fit import misfits
from trainer.unit.state import Placed, Unit

Where = Literal["unit", "wall", "panel", "indoor", "tray"]
Millimetres = Annotated[float, Field(ge=-20000.0, le=20000.0)]


class Spot(Record):
    """Where a part sits; ``at`` in mm from the corner of the box that ``where`` names."""

    type: str
    at: tuple[Millimetres, Millimetres] = (0.0, 0.0)
    turn: Literal[0, 90, 180, 270] = 0
    where: Where = "unit"
    set: dict[str, Any] = {}


class LayoutWire(Record):
    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)

    tag: str
    begin: str = Field(alias="from")
    end: str = Field(alias="to")
    gauge: Gauge = "10 AWG"
    colour: str = "BK"
    length: Metres = 0.6
    #: Ends that hang capped, as an unused motor lead does.
    capped: bool = False


class Cover(Record):
    hides: Annotated[list[str], Field(min_length=1)]
    screws: Annotated[int, Field(ge=0, le=30)] = 2
    #: Moulded onto its leads: what it hides is never seen, for it does not come off without them.
    moulded: bool = False


class Feed(Record):
    """A source that reaches this cabinet, and what isolates it."""

    name: str
    isolated_by: str
    lockable: bool = True
    live_side: list[str] = []


class Diagram(Record):
    state: Literal["clean", "dirty", "missing", "older"] = "clean"


class Layout(Record):
    """One unit as the factory and the installer left it."""

    layout: Literal[1]
    title: str
    about: str = ""
    circuit: Literal["K1", "K2", "K3", "K4", "K5", "K6", "K7", "K8", "K9", "K10"]
    setting: str = ""
    enclosure: tuple[Millimetres, Millimetres]
    parts: dict[str, Spot]
    wires: list[LayoutWire]
    covers: dict[str, Cover] = {}
    feeds: Annotated[list[Feed], Field(min_length=1)]
    must_prove: Annotated[list[tuple[str, str]], Field(min_length=1)]
    capacitors: list[tuple[str, str]] = []
    diagram: Diagram = Diagram()
    dirty: list[str] = []
    #: Regions where a conductor comes to harm: name -> x, y, width, height in mm.
    zones: dict[str, tuple[Millimetres, Millimetres, Millimetres, Millimetres]] = {}

    @model_validator(mode="wrap")
    @classmethod
    def _fits(cls, data: Any, handler: ModelWrapValidatorHandler[Layout]) -> Layout:
        """Form first, then the fit of every place, even where the form has faults."""
        return form_and_fit(cls, data, handler, misfits)

    @property
    def types(self) -> dict[str, str]:
        return {name: spot.type for name, spot in self.parts.items()}

    @property
    def digest(self) -> str:
        """Names this layout whatever the order of its keys."""
        text = json.dumps(self.model_dump(mode="json", by_alias=True), sort_keys=True)
        return hashlib.sha256(text.encode()).hexdigest()


def layouts_dir() -> Path:
    return scenarios_dir() / "layouts"


def layout_names() -> list[str]:
    return sorted(file.stem for file in layouts_dir().glob("*.yaml"))


def load_layout(path_or_name: str | Path) -> Layout:
    """A layout by bare name or path. Raises Faults with everything wrong in it."""
    named = layouts_dir() / f"{path_or_name}.yaml"
    if not str(path_or_name).replace("-", "").isalnum():
        return load(Path(path_or_name), Layout)
    if not named.is_file():
        return load(named, Layout)
    stat = named.stat()
    return _shipped(named, stat.st_mtime_ns, stat.st_size)


@lru_cache(maxsize=32)
def _shipped(path: Path, changed_ns: int, size: int) -> Layout:
    """One that ships, read once until its file changes: every look at a unit asks for it."""
    return load(path, Layout)


def factory_end(place_name: str, place: Place | None) -> End:
    """An end as the factory makes it for this kind of place."""
    if place is None:
        return End(on=place_name, torque_nm=2.5, tug="held")
    fitting = {"tab_250": "female_250", "stud": "ring"}.get(place.kind, "none")
    torque = None if place.torque is None else round(sum(place.torque) / 2.0, 3)
    crimp = "none" if fitting == "none" else "full"
    return End.model_validate(
        {"on": place_name, "fitting": fitting, "crimp": crimp, "torque_nm": torque, "tug": "held"}
    )


def factory_conductor(wire: LayoutWire, types: dict[str, str]) -> Conductor:
    begin, end = (factory_end(p, place_in(types, p)) for p in (wire.begin, wire.end))
    return Conductor(
        tag=wire.tag, gauge=wire.gauge, colour=wire.colour, length_m=wire.length, a=begin, b=end,
        insulation_v=300.0 if wire.gauge.startswith("18") else 600.0,
    )  # fmt: skip


def unit_of(layout: Layout, name: str = "") -> Unit:
    """The unit as the layout says, with nothing remembered yet; see ``world.at_rest``."""
    conductors = {w.tag: factory_conductor(w, layout.types) for w in layout.wires}
    parts = {
        n: Placed(type=spot.type, where=spot.where, set=spot.set)
        for n, spot in layout.parts.items()
    }
    return Unit(name or layout.title, layout.digest, conductors, parts)


class Box(NamedTuple):
    """A place on the drawing: which box it is in, and where in it [mm]."""

    where: Where
    at: tuple[float, float]


def place_on(layout: Layout, types: Mapping[str, str], place: str) -> Box | None:
    """Where a place is; ``types`` of the parts that are there now. None when it has no spot."""
    spot, found = layout.parts.get(part_of(place)), place_in(types, place)
    if spot is None or found is None:
        return None
    x, y = turned(found.at, type_of(types[part_of(place)]).size, spot.turn)
    return Box(spot.where, (spot.at[0] + x, spot.at[1] + y))
