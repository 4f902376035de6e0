"""Full motor parameters from a nameplate: least squares against the plate and against priors.

A plate fixes the locked impedance (LRA) and little else; measured ohms fix both stator
resistances. The rest rests on what motors of this kind are like: each ratio below has a usual
value and a spread, and the fit is the most probable motor that meets the plate. What the data
leave open comes back as a range. Rated load is *defined* as the torque at which line amps equal
RLA. Iron is linear. Knows plates and the plain closed circuit.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from trainer.base.errors import Fault, Faults
from trainer.motor import psc
from trainer.motor.load import inertia_from_h
from trainer.motor.nameplate import Nameplate, check
from trainer.motor.params import MotorParams

Vector = NDArray[np.float64]


class Prior(NamedTuple):
    """Usual value of a ratio and the spread of its logarithm (one standard deviation)."""

    usual: float
    spread: float


#: Per unit of V/RLA. Usual values lie between the geometric means of published motors (the
#: 3.5 kW permanent-split-capacitor motor of Fitzgerald/Kingsley/Umans Example 9.5, the compressor
#: defaults of an open-source feeder simulator) and of our invented ones; spreads are invented
#: and cover all of them.
PRIORS: dict[str, Prior] = {
    "r_main": Prior(0.042, 0.22),  # main resistance
    "r_rotor": Prior(0.051, 0.26),  # rotor resistance
    "x_leak": Prior(0.16, 0.40),  # main and rotor leakage together; LRA settles it
    "x_mutual": Prior(2.1, 0.25),  # magnetising reactance
    "ratio": Prior(1.35, 0.12),  # turns, auxiliary over main
    "aux_ohms": Prior(1.9, 0.30),  # auxiliary resistance over a^2 times main
    "aux_leak": Prior(1.0, 0.10),  # auxiliary leakage over a^2 times main
}
NAMES = tuple(PRIORS)
#: Turns ratio over that which would balance at RLA: run capacitors balance below RLA.
BALANCE = Prior(0.74, 0.12)
#: Rotor over main resistance: rotors and stators of one make are sized together.
ROTOR_OVER_MAIN = Prior(1.25, 0.25)
#: Per-unit resistances of smaller motors are larger, as V*RLA to this power. Invented, between
#: the 3.5 kW motors above and fractional-horsepower motors of textbooks.
SIZE_EXPONENT, SIZE_VA = -0.3, 3500.0
#: How closely the fit must meet the plate: log standard deviations.
LRA_SPREAD, OHMS_SPREAD = 0.002, 0.01
#: LRA of the fitted motor must be this near the plate's.
LRA_WITHIN = 0.02
#: Ninety per cent of a normal distribution lie within so many standard deviations.
NINETY = 1.645
#: Inertia constant on V*RLA [s]. Source: defaults of an open-source feeder simulator (0.04 s).
H_S = 0.04


@dataclass(frozen=True)
class Fit:
    """The motor and what it does. ``ranges`` hold about nine in ten motors of such a plate,
    as far as the spreads of the priors are right.

    ``values`` and ``ranges`` share their keys: ``ratio``, ``r_main_ohm``, ``r_aux_ohm``,
    ``r_rotor_ohm``, ``x_leak_ohm``, ``x_mutual_ohm``, ``lra_a``, ``locked_nm``,
    ``breakdown_nm``, ``rated_slip``, ``rated_aux_v`` (start to common at RLA), ``rated_nm``.
    """

    params: MotorParams
    rated_nm: float
    values: dict[str, float]
    ranges: dict[str, tuple[float, float]]
    notes: tuple[str, ...]


def fit(plate: Nameplate) -> Fit:
    """The most probable motor of this plate. Raises Faults for a plate that fits none."""
    check(plate)
    start = np.log([PRIORS[name].usual for name in NAMES])
    found = least_squares(_residuals, start, args=(plate,), x_scale=0.1)
    params = build(found.x, plate)
    values = behaviour(params, plate)
    _accept(values, plate)
    return Fit(
        params=params,
        rated_nm=values["rated_nm"],
        values=values,
        ranges=_ranges(found.x, found.jac, values, plate),
        notes=_notes(plate),
    )


def build(logs: Vector, plate: Nameplate) -> MotorParams:
    """The machine of these logarithms of ratios (order of ``NAMES``).

    Leakage is split evenly between main and rotor: terminals cannot tell it apart.
    """
    v = dict(zip(NAMES, (float(e) for e in np.exp(logs)), strict=True))
    base, w = plate.volts / plate.rla_a, 2.0 * math.pi * plate.hz
    a2, r_main, leak = v["ratio"] ** 2, v["r_main"] * base, 0.5 * v["x_leak"] * base / w
    size = plate.volts * plate.rla_a / SIZE_VA
    return MotorParams(
        r_main=r_main,
        l_main=leak,
        r_aux=v["aux_ohms"] * a2 * r_main,
        l_aux=v["aux_leak"] * a2 * leak,
        r_rotor=v["r_rotor"] * base,
        l_rotor=leak,
        l_mutual=v["x_mutual"] * base / w,
        ratio=v["ratio"],
        pole_pairs=plate.poles // 2,
        inertia_kg_m2=inertia_from_h(H_S, plate.volts * plate.rla_a, 2.0 * w / plate.poles),
        c_main_j_per_k=900.0 * size,
        c_aux_j_per_k=350.0 * size,
        r_winding_k_per_w=0.15 / size,
        ohms_at_c=plate.ohms_at_c,
    )


def behaviour(params: MotorParams, plate: Nameplate) -> dict[str, float]:
    """What a machine does on this plate's line. Raises Faults when it never runs at RLA."""
    line = line_of(plate)
    w = 2.0 * math.pi * plate.hz
    still, peak = psc.locked(params, line), psc.breakdown(params, line)
    slip = psc.slip_at_amps(params, line, plate.rla_a)
    if slip is None or slip > peak.slip:
        raise _never_at_rla(plate)
    rated = psc.at_slip(params, line, slip)
    return {
        "ratio": params.ratio,
        "r_main_ohm": params.r_main,
        "r_aux_ohm": params.r_aux,
        "r_rotor_ohm": params.r_rotor,
        "x_leak_ohm": w * (params.l_main + params.l_rotor),
        "x_mutual_ohm": w * params.l_mutual,
        "lra_a": float(abs(still.i_line)),
        "locked_nm": float(still.torque_nm),
        "breakdown_nm": peak.torque_nm,
        "rated_slip": slip,
        "rated_aux_v": float(abs(rated.v_aux)),
        "rated_nm": float(rated.torque_nm),
    }


def line_of(plate: Nameplate) -> psc.Line:
    """The plate's own stiff line with its run capacitor."""
    return psc.Line(plate.volts, plate.hz, plate.run_f)


def _residuals(logs: Vector, plate: Nameplate) -> list[float]:
    """Plate and priors, each in its own standard deviations."""
    params, by = build(logs, plate), dict(zip(NAMES, logs, strict=True))
    lra = float(abs(psc.locked(params, line_of(plate)).i_line))
    rows = [math.log(lra / plate.lra_a) / LRA_SPREAD]
    grow = SIZE_EXPONENT * math.log(plate.volts * plate.rla_a / SIZE_VA)
    for name, prior in PRIORS.items():
        usual = math.log(prior.usual) + (grow if name in ("r_main", "r_rotor") else 0.0)
        rows.append((by[name] - usual) / prior.spread)
    balanced = math.log(BALANCE.usual * plate.balanced_ratio)
    rows.append((by["ratio"] - balanced) / BALANCE.spread)
    pair = math.log(ROTOR_OVER_MAIN.usual)
    rows.append((by["r_rotor"] - by["r_main"] - pair) / ROTOR_OVER_MAIN.spread)
    windings = plate.windings()
    if windings is not None:
        rows.append(math.log(params.r_main / windings[0]) / OHMS_SPREAD)
        rows.append(math.log(params.r_aux / windings[1]) / OHMS_SPREAD)
    return rows


def _accept(values: dict[str, float], plate: Nameplate) -> None:
    if abs(values["lra_a"] / plate.lra_a - 1.0) > LRA_WITHIN:
        what = f"no motor with these ohms draws LRA {plate.lra_a:g} A"
        raise Faults([Fault("common_run_ohms", what, "readings and plate of the same compressor")])


def _never_at_rla(plate: Nameplate) -> Faults:
    what = (
        f"a motor of LRA {plate.lra_a:g} A with this capacitor never runs steadily at RLA "
        f"{plate.rla_a:g} A"
    )
    return Faults([Fault("rla_a", what, "RLA, LRA and capacitor of the same compressor")])


def _ranges(
    logs: Vector, jacobian: Vector, values: dict[str, float], plate: Nameplate
) -> dict[str, tuple[float, float]]:
    """Ninety per cent ranges: the curvature of the fit carried to each figure, on logarithms."""
    step, here = 1e-3, np.log(list(values.values()))
    columns = []
    for k in range(len(logs)):
        moved = logs.copy()
        moved[k] += step
        beside = np.log(list(behaviour(build(moved, plate), plate).values()))
        columns.append((beside - here) / step)
    slope = np.array(columns).T
    spread = np.sqrt(np.diag(slope @ np.linalg.inv(jacobian.T @ jacobian) @ slope.T))
    factors = np.exp(NINETY * spread)
    pairs = zip(values.items(), factors, strict=True)
    return {name: (value / float(f), value * float(f)) for (name, value), f in pairs}


def _notes(plate: Nameplate) -> tuple[str, ...]:
    notes = ["RLA is a rating, not what a healthy unit draws; rated load is taken as drawing RLA."]
    windings = plate.windings()
    if windings is None:
        notes.append("Without C-R and C-S both resistances rest on what such motors usually have.")
    elif windings[1] < windings[0]:
        notes.append("C-S is below C-R: some rotary units are so, or R and S were exchanged.")
    if not 3.0 <= plate.lra_a / plate.rla_a <= 8.0:
        notes.append("LRA over RLA is outside the 3 to 8 usual for compressors.")
    if plate.volts * plate.rla_a < 1000.0:
        notes.append("Below about 1 kVA such figures are guesses; ranges are too narrow there.")
    return tuple(notes)
