"""Supply and generator figures of a unit: sag of its locked motor, and the set it needs.

Knows impedances and volt-amps; must know no course of a start.
"""

from __future__ import annotations

from trainer.motor import psc
from trainer.motor.params import MotorParams
from trainer.sizing import bench, flicker, generator, site, supply
from trainer.sizing.nameplate_file import NameplateFile
from trainer.sizing.ruled import Ruled
from trainer.sizing.sizing import Proof

_MODEL = "locked-rotor impedance of the motor model on the source impedance"


def supply_figures(plate: NameplateFile, params: MotorParams, line: psc.Line) -> dict[str, Ruled]:
    """Sag while the rotor stands still, and lamp flicker by it; nothing without a supply."""
    source = site.source_ohms(plate.supply, plate.volts)
    if source == 0j:
        return {}
    sag = supply.sag(source, locked_ohms(params, line), plate.volts)
    return {
        "sag_ratio": Ruled(sag.ratio, "ratio", _MODEL, "supply impedances from the shipped tables",
                           _how_it_shows(sag.pct)),
        "pst": _pst(plate, sag.pct),
    }  # fmt: skip


def locked_ohms(params: MotorParams, line: psc.Line) -> complex:
    """Standstill impedance at the line [ohm]."""
    return line.volts / complex(psc.locked(params, line).i_line)


def generator_figures(
    plate: NameplateFile, kit_locked_a: float | None, starter: Ruled, soft: Proof | None
) -> dict[str, Ruled]:
    """The set needed unaided, with a relay kit and with a soft starter [VA].

    The soft starter's amps are those of its simulated start ``soft``; without one, those its class
    claims.
    """
    found = {"generator_without_aid": _set_for(plate, plate.lra or 0.0)}
    if kit_locked_a is not None:
        found["generator_with_relay_kit"] = _set_for(plate, kit_locked_a).noted(
            "the kit shortens the inrush and hardly lowers it"
        )
    if starter.value is not None:
        found["generator_with_soft_starter"] = _with_soft_starter(plate, str(starter.value), soft)
    return found


def _with_soft_starter(plate: NameplateFile, starter: str, soft: Proof | None) -> Ruled:
    claimed = bench.limited_a(plate, starter)
    if soft is None:
        return _set_for(plate, claimed).noted(
            "for the amps its class claims; verify with a capture"
        )
    if soft.time_to_90pct_s is None:
        note = f"the compressor does not start with it: {soft.outcome}"
        return Ruled(None, "VA", "simulated start at rated volts", "motor model", note)
    amps = float(str(soft.details["max_cycle_rms_line_a"]))
    told = f"for {amps:.0f} A of its simulated start; its class claims {claimed:.0f} A"
    return _set_for(plate, amps).noted(told)


def _set_for(plate: NameplateFile, amps: float) -> Ruled:
    site = plate.generator
    start = generator.start_kva(plate.volts, amps).number
    running = (plate.rla + sum(plate.others_a)) * plate.volts / 1000.0
    running += (site.other_load or 0.0) / 1000.0
    needed = generator.needed_kva(start, running, site.dip, site.transient_reactance, site.height)
    worked = f"start {start:.1f} kVA, running {running:.1f} kVA"
    return Ruled(1000.0 * needed.number, "VA", needed.rule, needed.source, worked)


def _pst(plate: NameplateFile, sag_pct: float) -> Ruled:
    """Lamps hang on one leg; where the motor is across both, both legs fall alike."""
    leg_v = plate.volts / 2.0 if plate.volts > 175.0 and plate.hz > 55.0 else plate.volts
    lamp = flicker.lamp_for(leg_v, plate.hz)
    value = flicker.pst_of_starts(sag_pct, plate.starts_per_hour, flicker.lamp_factor(lamp))
    rule = f"analytical Pst of {plate.starts_per_hour:g} starts an hour on a {lamp} lamp"
    return Ruled(value, "", rule, "IEC 61000-3-3 (from memory)", "a limit of 1.0 is usual")


def _how_it_shows(pct: float) -> str:
    """Common practice, no source."""
    if pct < 3.0:
        return "usually unseen at the panel"
    if pct < 5.0:
        return "seen in the lamps: agree it in writing"
    return "complaints likely" if pct <= 10.0 else "may reset electronics"
