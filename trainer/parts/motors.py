"""Compressor (C S R) and condenser fan (1 2 3, perhaps 4): two windings behind terminals.

Main goes from the internal joint to R, auxiliary from the joint to S; with C on one leg, R on
the other and the run capacitor between R and S the shaft turns forward. Knows no start gear.
"""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar, Literal

from pydantic import model_validator

from trainer.base.errors import FieldError
from trainer.base.fields import Ohms, Seconds
from trainer.circuit.elements import CHASSIS, Elements, Machine
from trainer.motor.machines import entry
from trainer.motor.params import LoadParams
from trainer.parts.loads import CompressorLoad
from trainer.parts.machines import InlineMachine, MachineName, Plate, Sheet, usual_amps
from trainer.parts.overload import Overload
from trainer.parts.part import Part, Pen

#: A winding that is open. Invented, of the order of a burnt-through wire end.
OPEN_WINDING_OHMS = 1e9
#: A fan's protector sees a tenth of the amps and stalls for longer. Invented.
FAN_OVERLOAD = Overload.model_construct(heater=0.1, trips_in=20.0)


class Windings(Part):
    """Two windings, their protector, iron loss and insulation."""

    machine: MachineName | None = None
    parameters: InlineMachine | None = None
    overload: Overload | None = Overload()
    #: Windings to the shell when clean and dry; > 100 Mohm is common practice, no source.
    insulation: Ohms = 500e6
    #: Winding end nearest the shell when insulation is low.
    insulation_at: Literal["joint", "main_end", "aux_end"] = "joint"
    found: Literal["good", "main_open", "aux_open", "overload_open"] = "good"

    #: Terminals: common, main end, auxiliary end.
    ends: ClassVar[tuple[str, str, str]] = ("C", "R", "S")

    def sheet(self) -> Sheet:
        return Sheet.of_entry(self.parameters or entry(self.machine or ""))

    def shaft_load(self, own: LoadParams) -> LoadParams:
        return own

    def write(self, name: str, into: Elements) -> None:
        pen, sheet = Pen(name, into), self.sheet()
        common, main_end, aux_end = (pen.at(t) for t in self.ends)
        joint = self._protector(pen, common, sheet)
        main = self._winding(pen, "main", main_end)
        aux = self._winding(pen, "aux", aux_end)
        bare = replace(sheet.params, core_ohms=0.0)
        load = self.shaft_load(sheet.load)
        into.add(Machine(name, (joint, main), (joint, aux), bare, load, name))
        if sheet.params.core_ohms > 0.0:
            pen.resistor("iron", joint, main, sheet.params.core_ohms)
        where = {"joint": joint, "main_end": main, "aux_end": aux}[self.insulation_at]
        pen.resistor("insulation", where, CHASSIS, self.insulation)

    def _protector(self, pen: Pen, common: int, sheet: Sheet) -> int:
        """The internal joint behind the overload, or the common terminal when none is fitted."""
        if self.overload is None:
            return common
        rated, locked = usual_amps(sheet)
        joint = pen.inside("joint")
        self.overload.write(
            pen, (common, joint), pen.name, self.overload.rated or rated,
            self.overload.locked or locked, self.found != "overload_open",
        )  # fmt: skip
        return joint

    def _winding(self, pen: Pen, which: str, end: int) -> int:
        """The far node of a winding: its terminal, or beyond a break."""
        if self.found != f"{which}_open":
            return end
        broken = pen.inside(which)
        pen.resistor(f"{which}-break", broken, end, OPEN_WINDING_OHMS)
        return broken

    def marks(self, name: str) -> dict[str, str]:
        own = {"machine": name}
        if self.overload is not None:
            own |= {"overload": f"{name}~overload", "disc": f"{name}~disc"}
        return own


class Compressor(Windings):
    """Hermetic compressor. Give ``machine``, ``parameters`` or ``nameplate``, one of them."""

    role: ClassVar[str] = "compressor"
    slow: ClassVar[tuple[str, ...]] = ("winding temperature", "pressure")
    kind: Literal["compressor"] = "compressor"
    nameplate: Plate | None = None
    load: CompressorLoad = CompressorLoad()
    #: Refrigerant goes through a hole with this time constant; empty: the circuit is tight.
    leak: Seconds | None = None

    @model_validator(mode="after")
    def _one_machine(self) -> Compressor:
        ways = (self.machine, self.parameters, self.nameplate)
        given = [way for way in ways if way is not None]
        if len(given) != 1:
            count = "no machine is" if not given else "more than one machine is"
            raise FieldError(f"{count} given", hint="machine: anchor, or parameters, or nameplate")
        return self

    def terminals(self) -> tuple[str, ...]:
        return ("C", "S", "R")

    def sheet(self) -> Sheet:
        return super().sheet() if self.nameplate is None else Sheet.of_plate(self.nameplate)

    def shaft_load(self, own: LoadParams) -> LoadParams:
        return self.load.over(own)


class FanMotor(Windings):
    """Condenser fan: 1 common of both windings, 2 main end, 3 auxiliary end, 4 joined to 2."""

    role: ClassVar[str] = "fan"
    ends: ClassVar[tuple[str, str, str]] = ("1", "2", "3")
    kind: Literal["fan_motor"] = "fan_motor"
    machine: MachineName | None = "condenser-fan"
    leads: Literal[3, 4] = 3
    overload: Overload | None = FAN_OVERLOAD
    seized: bool = False

    def terminals(self) -> tuple[str, ...]:
        return ("1", "2", "3", "4")[: self.leads]

    def shaft_load(self, own: LoadParams) -> LoadParams:
        return replace(own, locked=self.seized)

    def write(self, name: str, into: Elements) -> None:
        super().write(name, into)
        if self.leads == 4:
            pen = Pen(name, into)
            pen.resistor("return", pen.at("4"), pen.at("2"), 1e-3)
