"""The study that proves a choice: the compressor of a plate with its gear on its own supply.

Builds the compressor circuit alone (supply, breaker, disconnect, compressor, run capacitor, start
gear) from the plate. Knows parts and wires; must know no outcome.
"""

from __future__ import annotations

from typing import Any

from trainer.parts.motors import Compressor
from trainer.sizing.feed import Feed, branch_of
from trainer.sizing.nameplate_file import NameplateFile
from trainer.sizing.sizing import RelayKit
from trainer.sizing.tables import start_gear
from trainer.study.model import Study

#: Closed at an angle that gives the greatest inrush: volts at zero. Invented.
CLOSES_AT_S = 0.05
UNTIL_S = 3.5
#: Boost capacitor of a soft starter that suits the motor, over its run capacitor. Invented: a
#: larger one raises the line amps near full speed.
BOOST_OVER_RUN = 1.5
#: Leads inside a unit. Invented.
LEADS: dict[str, Any] = {"gauge": "10 AWG", "length": "2 ft"}

Gear = RelayKit | str | None


def study_of(plate: NameplateFile, gear: Gear, feed: Feed, breaker_a: float) -> Study:
    """The plate's compressor on a supply, with a kit, a soft starter's class or nothing.

    Kit parts sit in the middle of their ranges. Needs a plate that takes start gear.
    """
    parts: dict[str, Any] = {
        "supply": feed.part,
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
        "wires": [*_feed_wires(plate, feed, common), *gear_wires],
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


def _feed_wires(plate: NameplateFile, feed: Feed, common: str) -> list[dict[str, Any]]:
    """Supply to breaker to disconnect to compressor; ``common`` is where the common lead lands."""
    one, two = feed.legs
    branch = branch_of(plate)
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
