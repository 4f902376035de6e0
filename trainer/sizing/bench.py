"""The study that proves a choice: the compressor of a plate with its gear on its own supply.

Builds the compressor circuit alone (supply, breaker, disconnect, compressor, run capacitor, start
gear) from the plate. Knows parts and wires; must know no outcome.
"""

from __future__ import annotations

from typing import Any

from trainer.parts.motors import Compressor
from trainer.sizing import site
from trainer.sizing.nameplate_file import NameplateFile, Run
from trainer.sizing.sizing import RelayKit
from trainer.sizing.tables import start_gear
from trainer.study.model import Study

#: Closed at an angle that gives the greatest inrush: volts at zero. Invented.
CLOSES_AT_S = 0.05
UNTIL_S = 3.5
#: What stands for a supply that the plate does not tell. Invented, a strong one.
USUAL_TRANSFORMER_VA = 37.5e3
USUAL_SERVICE = Run.model_construct(length=15.0, gauge="1/0 AWG Al")
USUAL_BRANCH = Run.model_construct(length=10.0, gauge="10 AWG")
#: Boost capacitor of a soft starter that suits the motor, over its run capacitor. Invented: a
#: larger one raises the line amps near full speed.
BOOST_OVER_RUN = 1.5
#: Leads inside a unit. Invented.
LEADS: dict[str, Any] = {"gauge": "10 AWG", "length": "2 ft"}

Gear = RelayKit | str | None


def study_of(plate: NameplateFile, gear: Gear, line_ratio: float, breaker_a: float) -> Study:
    """The plate's compressor on a line of so many times its volts, with a kit, a class or nothing.

    Kit parts sit in the middle of their ranges. Needs a plate that takes start gear.
    """
    parts: dict[str, Any] = {
        "supply": supply_part(plate, line_ratio),
        "breaker": {"kind": "breaker", "rating": f"{breaker_a:g} A"},
        "disconnect": {"kind": "disconnect", "closed": False},
        "comp": compressor_part(plate),
        "run": {"kind": "run_capacitor", "capacitance": _farads(plate.run_capacitor or 0.0)},
    }
    gear_parts, gear_wires, common = _gear(plate, gear)
    study = {
        "study": 1,
        "title": plate.title,
        "parts": parts | gear_parts,
        "wires": [*_feed(plate, common), *gear_wires],
        "acts": [{"at": f"{CLOSES_AT_S:g} s", "close": "disconnect"}],
        "until": f"{UNTIL_S:g} s",
    }
    return Study.model_validate(study)


def compressor_part(plate: NameplateFile) -> dict[str, Any]:
    """The compressor as a study names it: nameplate, kind of load, pressures left."""
    nameplate: dict[str, Any] = {
        "volts": f"{plate.volts!r} V", "frequency": f"{plate.hz!r} Hz", "poles": plate.poles,
        "rla": f"{plate.rla!r} A", "lra": f"{plate.lra or 0.0!r} A",
        "run_capacitor": _farads(plate.run_capacitor or 0.0),
    }  # fmt: skip
    if plate.ohms is not None:
        nameplate |= {
            "common_run": f"{plate.ohms.common_run!r} ohm",
            "common_start": f"{plate.ohms.common_start!r} ohm",
            "ohms_at": f"{plate.ohms.at!r} degC",
        }
    part = {"kind": "compressor", "nameplate": nameplate, "load": {"kind": plate.compressor}}
    if plate.pressures_equalise:
        return part
    running = Compressor.model_validate(part).sheet().load.run_nm
    left = f"{plate.pressure_left * running!r} N.m"
    return part | {"load": {"kind": plate.compressor, "pressures": "standing", "torque": left}}


def supply_part(plate: NameplateFile, line_ratio: float) -> dict[str, Any]:
    """Split phase at 60 Hz, line to neutral at 50 Hz, behind the site's impedance."""
    volts = plate.volts * line_ratio
    if plate.hz > 55.0:
        service = plate.supply.service or USUAL_SERVICE
        whole = volts if plate.volts > 175.0 else 2.0 * volts
        return {
            "kind": "split_phase_service", "volts": f"{whole!r} V", "hz": f"{plate.hz!r} Hz",
            "transformer": f"{plate.supply.transformer or USUAL_TRANSFORMER_VA!r} VA",
            "conductor": service.gauge, "length": f"{service.length!r} m",
        }  # fmt: skip
    half = site.service_ohms(plate.supply, plate.volts) / 2.0
    return {
        "kind": "line_neutral_230", "volts": f"{volts!r} V", "hz": f"{plate.hz!r} Hz",
        "phase_resistance": f"{half.real!r} ohm", "phase_reactance": f"{half.imag!r} ohm",
        "neutral_resistance": f"{half.real!r} ohm", "neutral_reactance": f"{half.imag!r} ohm",
    }  # fmt: skip


def legs_of(plate: NameplateFile) -> tuple[str, str]:
    """The supply's terminals that feed the unit."""
    if plate.hz <= 55.0:
        return "L", "N"
    return ("L1", "L2") if plate.volts > 175.0 else ("L1", "N")


def _feed(plate: NameplateFile, common: str) -> list[dict[str, Any]]:
    """Supply to breaker to disconnect to compressor; ``common`` is where the common lead lands."""
    one, two = legs_of(plate)
    branch = plate.supply.branch or USUAL_BRANCH
    run = {"gauge": branch.gauge, "length": f"{branch.length!r} m"}
    return [
        {"from": f"supply.{one}", "to": "breaker.1i", **LEADS},
        {"from": f"supply.{two}", "to": "breaker.2i", **LEADS},
        {"from": "breaker.1o", "to": "disconnect.L1", **run},
        {"from": "breaker.2o", "to": "disconnect.L2", **run},
        {"from": "disconnect.PE", "to": "chassis", **LEADS},
        {"from": "disconnect.T1", "to": common, **LEADS},
        {"from": "disconnect.T2", "to": "comp.R", **LEADS},
        {"from": "comp.R", "to": "run.1", **LEADS},
        {"from": "run.2", "to": "comp.S", **LEADS},
    ]


def _gear(plate: NameplateFile, gear: Gear) -> tuple[dict[str, Any], list[dict[str, Any]], str]:
    """Parts and wires of the start gear, and the terminal on the leg of the common lead."""
    if gear is None:
        return {}, [], "comp.C"
    if isinstance(gear, RelayKit):
        return _relay_kit(plate, gear)
    starter = {
        "kind": "soft_starter", "starter_class": gear, "hz": f"{plate.hz!r} Hz",
        "limit": f"{limited_a(plate, gear)!r} A",
        "boost": _farads(BOOST_OVER_RUN * (plate.run_capacitor or 0.0)),
    }  # fmt: skip
    wires = [
        {"from": "soft.OUT", "to": "comp.C", **LEADS},
        {"from": "soft.REF", "to": "comp.R", **LEADS},
        {"from": "soft.AUX", "to": "comp.S", **LEADS},
    ]
    return {"soft": starter}, wires, "soft.IN"


def limited_a(plate: NameplateFile, starter: str) -> float:
    """Line amps a soft starter of this class lets through: its share of the unit's own LRA."""
    return start_gear().starter_classes[starter].limit_ratio * (plate.lra or 0.0)


def _relay_kit(
    plate: NameplateFile, kit: RelayKit
) -> tuple[dict[str, Any], list[dict[str, Any]], str]:
    relay = {
        "kind": "potential_relay", "hz": f"{plate.hz!r} Hz",
        "pickup": f"{sum(kit.pickup_v) / 2.0!r} V", "dropout": f"{sum(kit.dropout_v) / 2.0!r} V",
        "continuous": f"{kit.continuous_v!r} V",
    }  # fmt: skip
    can = {
        "kind": "start_capacitor", "capacitance": _farads(sum(kit.range_f) / 2.0),
        "bleed": f"{start_gear().bleed!r} ohm",
    }  # fmt: skip
    wires = [
        {"from": "relay.5", "to": "comp.C", **LEADS},
        {"from": "relay.2", "to": "comp.S", **LEADS},
        {"from": "relay.1", "to": "start.1", **LEADS},
        {"from": "start.2", "to": "comp.R", **LEADS},
    ]
    return {"relay": relay, "start": can}, wires, "comp.C"


def _farads(value: float) -> str:
    return f"{value * 1e6!r} uF"
