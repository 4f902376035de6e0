"""Writes a two-winding machine and the load on its shaft as netlist cards.

Each axis is a T of inductances referred to its own winding, with the speed voltage of the rotor
as a behavioural source; the shaft is a current into a capacitor of J farads, so that its volts
are rad/s. Equations and signs: Krause form, see trainer/motor/params.py. Knows nothing of how
the package itself steps them.

Friction follows tanh(speed / EASY): a shaft creeps instead of resting, so loads with a
breakaway torque above the motor's are not to be compared at standstill. Winding heat is left
out.
"""

from __future__ import annotations

import math

from trainer.circuit.elements import Machine
from trainer.circuit.layout import POCKET_FILL_S
from trainer.motor.params import LoadParams, MotorParams

#: Friction reaches three quarters of itself at this speed. [rad/s]
EASY = 0.05


def machine_cards(m: Machine, k: int, hz: float) -> list[str]:
    """Cards of machine number ``k``; all its nodes begin with ``m<k>``."""
    p, key = m.params, f"m{k}"
    a2 = p.ratio**2
    cards = _axis(
        f"{key}q", m.main, (p.r_main, p.l_main, p.l_mutual, p.l_rotor, p.r_rotor),
        f"{p.pole_pairs / p.ratio:.12g}*v({key}w)*v({key}df)",
    )  # fmt: skip
    cards += _axis(
        f"{key}d", m.aux, (p.r_aux, p.l_aux, a2 * p.l_mutual, a2 * p.l_rotor, a2 * p.r_rotor),
        f"{-p.ratio * p.pole_pairs:.12g}*v({key}w)*v({key}qf)",
    )  # fmt: skip
    return cards + _saturation(m, key) + _shaft(p, m.load, key, hz)


def _axis(n: str, ends: tuple[int, int], values: tuple[float, ...], speed_volts: str) -> list[str]:
    """Stator R and leakage, magnetising branch, rotor leakage and R with its speed voltage.

    The rotor's current enters the magnetising branch from above and the speed voltage drives
    it: s = r i_r + d(flux_r)/dt. ``Vm..`` meters the stator, ``V..r`` the rotor, ``V..m`` the
    magnetising inductance; node ``..f`` carries the rotor's flux linkage as volts.
    """
    r, leak, mutual, leak_r, r_r = values
    a, b = ("0" if end == 0 else f"n{end}" for end in ends)
    top, rotor = f"{n}3", f"{n}6" if leak_r > 0.0 else f"{n}3"
    stator = f"{n}2" if leak > 0.0 else top
    cards = [
        f"V{n}s {a} {n}1 0",
        f"R{n}s {n}1 {stator} {r:.12g}",
        f"V{n}m {top} {n}m 0",
        f"L{n}m {n}m {b} {mutual:.15g} ic=0",
        f"B{n}w {n}4 {b} v = {speed_volts}",
        f"V{n}r {n}4 {n}5 0",
        f"R{n}r {n}5 {rotor} {r_r:.12g}",
        f"B{n}f {n}f 0 v = {leak_r:.15g}*i(V{n}r) + {mutual:.15g}*i(V{n}m)",
    ]
    if leak > 0.0:
        cards.append(f"L{n}s {stator} {top} {leak:.15g} ic=0")
    if leak_r > 0.0:
        cards.append(f"L{n}r {rotor} {top} {leak_r:.15g} ic=0")
    return cards


def _saturation(m: Machine, key: str) -> list[str]:
    """Extra magnetising amps beside each magnetising inductance.

    i_extra = i_m * gain * max(0, flux/knee - 1)^2, flux the resultant of both axes referred to
    the main winding.
    """
    p = m.params
    if p.sat_gain == 0.0:
        return []
    main, aux = f"{p.l_mutual:.12g}*i(V{key}qm)", f"{p.ratio * p.l_mutual:.12g}*i(V{key}dm)"
    flux = f"sqrt(({main})*({main}) + ({aux})*({aux}) + 1e-12)"
    over = f"max(0, {flux}/{p.sat_knee_wb:.12g} - 1)"
    cards = [f"B{key}g {key}g 0 v = {p.sat_gain:.12g}*{over}*{over}"]
    for axis, (_, end) in (("q", m.main), ("d", m.aux)):
        bottom = "0" if end == 0 else f"n{end}"
        cards.append(f"B{key}x{axis} {key}{axis}3 {bottom} i = i(V{key}{axis}m)*v({key}g)")
    return cards


def _shaft(p: MotorParams, load: LoadParams, key: str, hz: float) -> list[str]:
    """Torque, speed, angle, lift and scroll pocket, each on a node of its own."""
    torque = (
        f"{p.pole_pairs * p.ratio:.12g}*v({key}qf)*i(V{key}dr) "
        f"- {p.pole_pairs / p.ratio:.12g}*v({key}df)*i(V{key}qr)"
    )
    w, r = f"v({key}w)", f"v({key}rel)"
    gas = _gas(load, key)
    moves = f"v({key}te) - {gas}" if load.drives_back else f"v({key}te)"
    resists = f"{load.coulomb_nm:.9g} + {load.fan_nm:.9g}*{r}*{r}"
    if not load.drives_back:
        resists += f" + {gas}"
    cards = [
        f"B{key}te {key}te 0 v = {torque}",
        f"B{key}rel {key}rel 0 v = abs({w})/{p.synchronous_rad_s(hz):.12g}",
        f"C{key}w {key}w 0 {p.inertia_kg_m2:.12g} ic=0",
        f"R{key}w {key}w 0 1e9",
        f"C{key}th {key}th 0 1 ic=0",
        f"B{key}th 0 {key}th i = {w}",
        f"R{key}th {key}th 0 1e12",
        f"C{key}li {key}li 0 1 ic={load.lift:.9g}",
        f"B{key}li 0 {key}li i = {w} > {0.05 * p.synchronous_rad_s(hz):.9g} ? "
        f"min(1, {r})*(1 - v({key}li))/{load.pull_down_s:.9g} : "
        f"-v({key}li)/{load.equalise_s:.9g}",
        f"R{key}li {key}li 0 1e12",
    ]
    if load.drives_back:
        cards += _pocket(load, key)
    if not load.locked:
        cards.append(
            f"B{key}w 0 {key}w i = {moves} - {load.viscous_nms:.12g}*{w} "
            f"- tanh({w}/{EASY})*({resists})"
        )
    return cards


def _share(load: LoadParams, key: str) -> str:
    """Gas torque over its running value: LoadParams, with the lift on its own node."""
    at_rest, rise = load.at_rest, load.at_speed - load.at_rest
    r = f"v({key}rel)"
    return f"((1 - v({key}li))*({at_rest:.9g} + {rise:.9g}*{r}*{r}) + v({key}li))"


def _gas(load: LoadParams, key: str) -> str:
    share = f"v({key}po)" if load.drives_back else _share(load, key)
    return f"{load.run_nm:.12g}*{_shape(load, key)}*{share}"


def _shape(load: LoadParams, key: str) -> str:
    """Gas torque over its mean at the shaft angle, straight between the samples."""
    if len(load.shape) == 1:
        return f"{load.shape[0]:.12g}"
    turn = f"v({key}th)*{1.0 / (2.0 * math.pi):.15g}"
    points = (*load.shape, load.shape[0])
    pairs = ", ".join(f"{j / len(load.shape):.9g}, {y:.9g}" for j, y in enumerate(points))
    return f"pwl({turn} - floor({turn}), {pairs})"


def _pocket(load: LoadParams, key: str) -> list[str]:
    """Trapped gas of a scroll: fills while it turns forwards, leaks away otherwise."""
    want = f"{_share(load, key)}*min(1, 4*v({key}rel))"
    return [
        f"C{key}po {key}po 0 1 ic=0",
        f"R{key}po {key}po 0 1e12",
        f"B{key}po 0 {key}po i = v({key}w) > 0 ? ({want} - v({key}po))/{POCKET_FILL_S:.9g} : "
        f"-v({key}po)/{load.pocket_s:.9g}",
    ]
