"""The compiled stepping kernel: one circuit, any wiring, fixed steps.

Nodal companion form. Every moving branch ("port") is a conductance and a history current;
per contact state the port matrix is solved once and kept; a step is: gather history
currents, one matrix-vector product, update histories. Trapezoidal, with damped half-steps
(backward Euler, same conductances) after every change of contact state. A contact told to
open conducts until its current changes sign: the crossing is interpolated, and the step grid
regained by interpolating the half-steps.

Time goes in stretches: the steps up to the next look of the devices. Each step has a row in
the arrays of a stretch, so that heat and samples are taken for several steps at once.

Knows arrays only (layout.py names their fields, plan.py fills them). Called by transient.py.
"""

from __future__ import annotations

import math

from trainer.circuit import layout as lay
from trainer.circuit.kernel_contacts import (
    OFF,
    close_quietly,
    contact_requests,
    find_state,
    open_at_zero,
)
from trainer.circuit.kernel_damped import between, regain_grid
from trainer.circuit.kernel_devices import fast_devices
from trainer.circuit.kernel_options import entry, spelled
from trainer.circuit.kernel_record import cycle_change, move_row
from trainer.circuit.kernel_step import advance
from trainer.circuit.kernel_stretch import settle


@spelled
def advance_phases(sources, h):
    """Turns of every source one step on, kept within one turn."""
    for q in range(sources.shape[0]):
        turns = sources[q].turns + sources[q].hz * h
        sources[q].turns = turns - 1.0 if turns >= 1.0 else turns


@entry
def run(
    sizes, tally, contacts, ports, step, fed, machines, axes, shape, sources, devices, moves, rings,
    fast, key, quiet, mt, heat_s, volts, amps, hist, caps, emf, flux, shaft, flux_values,
    shaft_values, weight, kept, cycle, events, steps, rec, recorded, stride, steady_tol,
):  # fmt: skip
    """Step on; stops after ``steps`` or when cycles agree within ``steady_tol`` (0: never).

    It is long because it is the one place into which the parts of a step are merged: a call of
    its own for each would cost more than the work it does.
    """
    per_tick, watch, h = sizes.per_tick, sizes.watch != 0, sizes.step_s
    p, wide = sizes.ports, sizes.wide
    last_row = volts.shape[0] - 1
    last = tally.step + steps
    to_tick, to_record = per_tick - tally.step % per_tick, stride - tally.step % stride
    tick, per_cycle = tally.step // per_tick, per_tick * lay.TICKS_PER_CYCLE
    closing = contact_requests(tally, contacts, events) > 0
    state = find_state(tally, contacts, key, OFF)
    if closing or state < 0 or tally.stale != 0:
        tally.asks = 1
        return
    restart = tally.restart != 0
    alpha = tally.restart / lay.WHOLE if restart else 1.0
    if tally.loads != 0:
        move_row(volts, amps, caps, emf, flux_values, shaft_values, last_row, lay.FIRST_ROW, wide)
        tally.loads = 0
    room = events.shape[0] - lay.EVENT_ROOM
    while tally.asks == 0 and tally.step < last and tally.events <= room:
        row, before, rows_kept, moved = lay.FIRST_ROW, lay.FIRST_ROW, 0, False
        while True:
            tally.step += 1
            to_tick -= 1
            to_record -= 1
            ends = to_tick == 0 or tally.step == last
            looks = ends or watch or restart or tally.pending > 0
            columns = wide if looks else (sizes.seen if to_record == 0 else p)
            count, keep, late, place = 1, 1.0, 0.0, 0.0
            if restart:
                late = 1.0 - alpha
                place = 2.0 * (1.0 + late)  # the end of the step, in half-steps from row 0
                count, keep = int(math.floor(place + 0.5)) + 1, 0.0
            before = row
            for n in range(1, count + 1):
                dt, share = h, 1.0
                if restart:
                    dt = (0.5 * n - late) * h
                    # booked over one step in all: what lies before its beginning was booked
                    share = min(0.5, max(0.0, 0.5 * (place - (n - 1)))) / (1.0 + late)
                advance(
                    sizes, tally, ports, step, fed, machines, axes, shape, sources, mt, volts, amps,
                    hist, caps, emf, flux, shaft, state, row, row + 1, columns, dt, keep, share,
                )  # fmt: skip
                row += 1
                weight[row] = share
            if restart:
                regain_grid(
                    sizes, ports, axes, volts, amps, caps, emf, flux, shaft, flux_values,
                    shaft_values, late, place, count,
                )  # fmt: skip
                before, row = row + 1, row + 2
                weight[before], weight[row] = 0.0, 0.0
                restart = False
            advance_phases(sources, h)
            if to_record == 0:
                to_record = stride
                kept[rows_kept] = row
                rows_kept += 1
            if tally.pending > 0:
                zero = open_at_zero(sizes, tally, contacts, volts, before, row, events)
                if zero <= 1.0:
                    restart, alpha, moved = True, zero, True
            if fast.shape[0] > 0 and fast_devices(
                sizes, devices, contacts, moves, fast, volts, amps, row
            ):
                moved = True
            if ends or moved:
                break
        ticks = to_tick == 0
        if ticks:
            to_tick = per_tick
            tick += 1
        acted, retuned = settle(
            sizes, tally, contacts, machines, axes, sources, devices, moves, rings, heat_s, volts,
            amps, hist, caps, shaft, weight, kept, cycle, events, rec, recorded, state, row,
            rows_kept, tick, ticks,
        )  # fmt: skip
        moved = moved or acted
        if retuned:
            tally.stale = 1
        if moved and contact_requests(tally, contacts, events) > 0:
            # an opening that waits at alpha is finished as a chop at the end of this step
            restart, alpha = True, 1.0
            if tally.stale != 0 or not close_quietly(tally, contacts, key, quiet, events):
                tally.asks = 1
        if restart:
            state = find_state(tally, contacts, key, OFF)
        if state < 0 or tally.stale != 0:
            tally.asks = 1
        if tally.step % per_cycle == 0:
            change = cycle_change(machines, shaft, cycle, p, row)
            calm = change < steady_tol and tally.pending == 0 and not restart
            tally.steady = tally.steady + 1 if calm else 0
            if steady_tol > 0.0 and tally.steady >= 3:
                last = tally.step
        leaves = tally.asks != 0 or tally.step == last
        leaves = leaves or tally.events > room
        if leaves:
            move_row(volts, amps, caps, emf, flux_values, shaft_values, row, last_row, wide)
        if restart and alpha < 1.0:
            between(
                volts, amps, caps, emf, flux_values, shaft_values, before, row, alpha, lay.FIRST_ROW
            )
        else:
            # what is observed is looked back at only by these
            back = watch or leaves or tally.pending > 0
            columns = wide if back else p
            move_row(volts, amps, caps, emf, flux_values, shaft_values, row, lay.FIRST_ROW, columns)
    tally.restart = max(1, int(alpha * lay.WHOLE)) if restart else 0
