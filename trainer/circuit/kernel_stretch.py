"""Compiled: what follows each stretch of steps: heat, samples, and at a tick all that looks.

Knows the order of these; what each of them does is in other files.
"""

from __future__ import annotations

from trainer.circuit import layout as lay
from trainer.circuit.kernel_contacts import OFF
from trainer.circuit.kernel_devices import tick_devices
from trainer.circuit.kernel_machine import slow_states
from trainer.circuit.kernel_options import apart
from trainer.circuit.kernel_record import add_squares, book_rows, record


@apart
def settle(
    sizes, tally, contacts, machines, axes, sources, devices, moves, rings, heat_s, volts, amps,
    hist, caps, shaft, weight, kept, cycle, events, rec, recorded, state, row, rows_kept, tick,
    ticks,
):  # fmt: skip
    """Book and record the rows up to ``row``; where ``ticks``, devices look and windings warm.

    ``tick``: the number of this tick. Returns (a contact may have moved, ohms have changed).
    """
    if sizes.books != 0:
        book_rows(hist, weight, heat_s, state, row)
    record(tally, machines, axes, devices, volts, amps, caps, shaft, kept, rows_kept, rec, recorded)
    if not ticks:
        return OFF, OFF
    tick_s = sizes.per_tick * sizes.step_s
    moved, retuned = tick_devices(
        tally, contacts, machines, axes, sources, devices, moves, rings, volts, amps, row, events,
        tick % lay.TICKS_PER_CYCLE, tick_s,
    )  # fmt: skip
    warmed = slow_states(sizes, machines, axes, shaft, amps, row, tick_s)
    add_squares(cycle, amps, row)
    return moved, warmed or retuned
