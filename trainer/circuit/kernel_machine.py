"""Compiled: the two-winding machine and its shaft within one step.

Each winding is a constant conductance and a history current at its port; rotor circuits are
eliminated axis by axis. Equations: Krause form, stationary frame (source in motor/params.py).
Row ``a`` of a stretch is the instant before, row ``b`` the one being computed; ``keep`` is 1 in
a trapezoidal step and 0 in a damped half-step, which forgets the volts of the instant before.
Ports ``j`` and ``j + 1`` are the main and auxiliary winding.
"""

from __future__ import annotations

import math

from trainer.circuit import layout as lay
from trainer.circuit.kernel_options import merged, spelled

PER_TURN = 0.5 / math.pi


@spelled
def axis_amps(ax, at):
    """Stator and rotor amps of one axis from its flux linkages and extra amps."""
    push = ax.lm * at.extra
    stator, rotor = at.stator + push, at.rotor + push
    return ax.yr * stator - ax.ym * rotor, ax.ys * rotor - ax.ym * stator


@spelled
def saturation(k, axes, flux, row, w):
    """Extra magnetising amps over the ordinary ones, at the resultant flux of both axes.

    i_extra = (flux/L) * gain * max(0, flux/knee - 1)^2
    """
    square = 0.0
    for x in range(2):
        i, ir = axis_amps(axes[w + x], flux[row, w + x])
        linked = axes[w + x].lm * (i + ir - flux[row, w + x].extra) * axes[w + x].to_main
        square += linked * linked
    over = max(0.0, math.sqrt(square) * k.per_knee - 1.0)
    return k.sat_gain * over * over


@spelled
def windings(machines, axes, flux, shaft, volts, hist, a, b, m, j, h, keep):
    """History currents of both windings; row b keeps what ``rotors`` needs of them.

    Speed voltages are extrapolated from three points (two leave a slip error of
    5/12 (omega h)^2); extra amps of saturated iron by a straight line through the last step
    (amps that lag give energy from nowhere).
    """
    k, speed, w = machines[m], shaft[a, m].speed, 2 * m
    half, share = 0.5 * h * keep, 0.5 + 0.5 * keep
    first, second, third = (23.0 / 6.0, -16.0 / 6.0, 5.0 / 6.0) if keep > 0.0 else (1.0, 0.0, 0.0)
    grow = 0.0
    if k.sat_gain != 0.0:
        grow = saturation(k, axes, flux, a, w)
    for x in range(2):
        ax, old, new = axes[w + x], flux[a, w + x], flux[b, w + x]
        i, ir = axis_amps(ax, old)
        felt = (i + ir - old.extra) * grow
        change = felt - old.felt
        new.extra = felt + share * change
        new.felt = felt + (share - 1.0) * change  # a whole step before the end of this one
        new.speed_v = ax.turns * speed * flux[a, w + 1 - x].rotor
        new.speed_v2 = old.speed_v
        ahead = first * new.speed_v + second * old.speed_v + third * old.speed_v2
        push = ax.lm * new.extra
        stator = old.stator + half * (volts[a, j + x] - ax.ohms * i) + push
        rotor = old.rotor + 0.5 * h * ahead - half * ax.rotor_ohms * ir + push
        hist[b, j + x] = (stator - ax.pull * rotor) * ax.per_den
        new.rotor = rotor


@spelled
def rotors(sizes, tally, machines, axes, shape, flux, shaft, amps, a, b, m, j, keep, weight):
    """Fluxes, torque and shaft once the amps of the windings are known."""
    heat, torque, w = 0.0, 0.0, 2 * m
    for x in range(2):
        ax, new, i = axes[w + x], flux[b, w + x], amps[b, j + x]
        ir = (new.rotor - ax.lm * i) * ax.per_lr
        new.stator = ax.ls * i + ax.lm * (ir - new.extra)
        new.rotor = ax.lr * ir + ax.lm * (i - new.extra)
        new.rotor_a = ir
        heat += ax.rotor_ohms * ir * ir
    for x in range(2):
        torque -= axes[w + x].turns * flux[b, w + 1 - x].rotor * flux[b, w + x].rotor_a
    shaft_step(machines[m], shape, shaft[a, m], shaft[b, m], m, torque, sizes.step_s, keep)
    seconds = weight * sizes.step_s
    tally.rotor_j += seconds * heat
    tally.shaft_j += seconds * torque * shaft[b, m].speed


@spelled
def gas_share(k, r):
    """Gas torque as a share of the running torque at relative speed r: see motor.params."""
    return (1.0 - k.lift) * (k.at_rest + (k.at_speed - k.at_rest) * r * r) + k.lift


@spelled
def turn_shape(shape, m, angle):
    """Gas torque over its mean at this shaft angle, linear between samples."""
    n = shape.shape[1]
    if n == 1:
        return shape[m, 0]
    turn = angle * PER_TURN
    place = (turn - math.floor(turn)) * n
    j = min(int(place), n - 1)
    f = place - j
    after = j + 1 if j + 1 < n else 0
    return shape[m, j] * (1.0 - f) + shape[m, after] * f


@spelled
def shaft_step(k, shape, old, out, m, torque, h, keep):
    """Speed and angle of a machine; friction holds the shaft at rest but never turns it."""
    speed, new, net = old.speed, 0.0, 0.0
    dt = h if keep > 0.0 else 0.5 * h
    if k.locked == 0:
        r = abs(speed) * k.per_sync
        resist = k.coulomb + k.fan * r * r + k.viscous * abs(speed)
        rest, free = k.breakaway, torque
        gas = k.run_nm * turn_shape(shape, m, old.angle)
        if k.drives_back != 0:
            free -= gas * k.pocket
        else:
            gas *= gas_share(k, r)
            resist += gas
            rest += gas
        if speed != 0.0:
            net = free - math.copysign(resist, speed)
            mean = 0.5 * (net + old.net) if keep > 0.0 else net
            new = speed + dt * mean * k.per_inertia
        elif abs(free) > rest:
            net = free - math.copysign(rest, free)
            new = dt * net * k.per_inertia
        if speed * new < 0.0:
            new, net = 0.0, 0.0
    out.speed, out.net, out.torque = new, net, torque
    out.angle = old.angle + dt * 0.5 * (speed + new)


@spelled
def axis_damping(ax, old, new):
    """Field energy a backward-Euler half-step loses: half the change of flux times of amps."""
    i0, r0 = axis_amps(ax, old)
    i1, r1 = axis_amps(ax, new)
    return 0.5 * ((new.stator - old.stator) * (i1 - i0) + (new.rotor - old.rotor) * (r1 - r0))


@merged
def slow_states(sizes, machines, axes, shaft, amps, row, dt):
    """Winding heat, pressures and scroll pocket of every machine, once a tick.

    Returns True when a winding has warmed enough for its resistance to be brought up to date.
    """
    stale = False
    for m in range(sizes.machines):
        k, warmed = machines[m], 0.0
        for x in range(2):
            ax, j = axes[2 * m + x], sizes.inductives + sizes.capacitives + 2 * m + x
            loss = ax.ohms * amps[row, j] * amps[row, j] - (ax.warm_c - k.shell) / k.r_heat
            ax.warm_c += dt / ax.heat_c * loss
            warmed = max(warmed, abs(ax.warm_c - ax.last_c))
        pressures(k, shaft[row, m].speed, dt)
        if warmed > lay.REFRESH_K and k.alpha > 0.0:
            stale = True
            for x in range(2):
                axes[2 * m + x].last_c = axes[2 * m + x].warm_c
    return stale


@spelled
def pressures(k, speed, dt):
    """Lift grows while pumping and equalises at rest; a scroll's pocket follows quickly."""
    r = min(1.0, max(0.0, speed * k.per_sync))
    if r > 0.05:
        k.lift += dt / k.pull_down * r * (1.0 - k.lift)
    else:
        k.lift -= dt / k.equalise * k.lift
    if speed > 0.0:
        want = gas_share(k, r) * min(1.0, 4.0 * r)
        k.pocket += dt / lay.POCKET_FILL_S * (want - k.pocket)
    else:
        k.pocket -= dt / k.pocket_s * k.pocket
