"""Compiled: contacts that close, part, arc and open, and the table of events.

A contact told to open conducts until its current changes sign. Knows contacts; what moves them
is kernel_devices'.
"""

from __future__ import annotations

import numpy as np

from trainer.circuit import layout as lay
from trainer.circuit.kernel_options import inner, spelled

# typed, as plain truth values would have numba compile their users once for each
ON, OFF = np.bool_(True), np.bool_(False)


@inner
def log_event(tally, events, kind, index, value):
    """Append one event; past the table's end only the count goes on, so that overflow shows."""
    if tally.events < events.shape[0]:
        e = events[tally.events]
        e.step, e.kind, e.index, e.value = tally.step, kind, index, value
    tally.events += 1


@inner
def contact_requests(tally, contacts, events):
    """Start and stop partings; returns how many contacts must close now."""
    closing = 0
    tally.pending = 0
    for s in range(contacts.shape[0]):
        c = contacts[s]
        if c.reasons == 0 or c.welded != 0:
            c.parted = -1
            if c.closed == 0:
                closing += 1
        elif c.closed != 0:
            if c.parted < 0:
                c.parted = tally.step
                log_event(tally, events, lay.EV_PARTED, s, 0.0)
            tally.pending += 1
    return closing


@spelled
def wants_shut(contact):
    """Whether a contact is open and nothing holds it so."""
    return contact.closed == 0 and (contact.reasons == 0 or contact.welded != 0)


@inner
def find_state(tally, contacts, key, closing):
    """Slot of the present contact state, with closing contacts closed or not; -1: not solved."""
    now = np.int64(0)
    for s in range(contacts.shape[0]):
        c = contacts[s]
        if c.closed != 0 or (closing and wants_shut(c)):
            now |= np.int64(1) << s
    for slot in range(min(tally.states, key.shape[0])):
        if key[slot] == now:
            return slot
    return -1


@inner
def close_quietly(tally, contacts, key, quiet, events):
    """Close every contact that wants to be, where no capacitor loop can surge; else leave them.

    Returns whether it did.
    """
    slot = find_state(tally, contacts, key, ON)
    if slot < 0 or quiet[slot] == 0:
        return False
    for s in range(contacts.shape[0]):
        c = contacts[s]
        if wants_shut(c):
            c.closed, c.peak_a, c.a2s = 1, 0.0, 0.0
            log_event(tally, events, lay.EV_CLOSED, s, 0.0)
    return True


@spelled
def crossing(sizes, tally, c, then, now):
    """Where in the last step (0..1) the current of a parted contact reaches zero; 2: nowhere.

    A current below the chopping level, and an arc older than the longest that a gap sustains,
    open at once.
    """
    if c.parted < 0:
        return 2.0
    if c.arcs == 0.0 or abs(now) < lay.CHOP_A:
        return 1.0
    if now * then < 0.0:
        return then / (then - now)
    return 1.0 if (tally.step - c.parted) * sizes.step_s > lay.LONGEST_ARC_S else 2.0


@inner
def open_at_zero(sizes, tally, contacts, volts, before, row, events):
    """Open every contact that has its current zero in the last step, all at the first of them.

    Poles of one switch cross together; one left behind would conduct for half a cycle more.
    Returns where in the step that was, 2 when no contact opened.
    """
    alpha = 2.0
    for turn in range(2):
        for s in range(contacts.shape[0]):
            c = contacts[s]
            then, now = volts[before, c.at], volts[row, c.at]
            at = crossing(sizes, tally, c, then, now)
            if turn == 0:
                alpha = min(alpha, at)
            elif at <= 1.0:
                log_event(tally, events, lay.EV_OPENED, s, then + alpha * (now - then))
                c.closed, c.parted = 0, -1
    return alpha
