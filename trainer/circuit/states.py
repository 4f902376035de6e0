"""What belongs to one contact state: its port matrix, and its heat.

The nodal matrix is constant while no contact moves, so node volts are one fixed linear map of
the history currents; the map is kept for every contact state met, the oldest giving way. Heat
in resistors is recovered from the sum of products of history currents of each state.

A step is made a thousand times for every state that is solved, so this is plain numpy: the
kernel comes back (``TALLY.asks``) where it has no matrix to go on with. Knows arrays only.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from trainer.circuit import layout as lay
from trainer.circuit.arrays import stamp
from trainer.circuit.pill import AT, Followed, follow, followed, pill_of
from trainer.circuit.relax import fast_modes, relax, solve

Array = NDArray[np.float64]


def answer(core: lay.Core, network: lay.Network, heat: bool = True) -> None:
    """Give the kernel what it came back for: winding ohms, contacts shut, a matrix.

    ``heat`` False books none: for whoever draws lines only.
    """
    core.tally["asks"] = 0
    if core.tally["stale"]:
        if heat:
            book_all(core, network)
        core.tally["states"] = core.tally["stale"] = 0
        base = network.modes.get(AT)
        network.modes.clear()
        retune(core, network)
        if not refresh(core) and base is not None and not heat:
            follow_pill(core, network, base)
    closing = (core.contacts["closed"] == 0) & wants_shut(core.contacts)
    if closing.any():
        close(core, network, closing)
    if not is_solved(core, pattern(core.contacts)):
        build(core, network, not heat)


def follow_pill(core: lay.Core, network: lay.Network, base: Followed) -> None:
    """Give the state that was solved before its matrix with the thermistor as it is now."""
    if base.state != pattern(core.contacts):
        return
    siemens = float(network.resistors["siemens"][pill_of(core, network)])
    core.mt[0] = follow(base, siemens)
    core.key[0], core.quiet[0] = base.state, 0
    core.tally["states"] = 1
    core.tally["built"] += 1
    network.modes[AT] = base


def wants_shut(contacts: np.ndarray) -> NDArray[np.bool_]:
    """Contacts that nothing holds open, or that are welded."""
    shut: NDArray[np.bool_] = (contacts["reasons"] == 0) | (contacts["welded"] != 0)
    return shut


def pattern(contacts: np.ndarray) -> int:
    """The contact state as a number: a bit for each closed contact."""
    return sum(1 << s for s, shut in enumerate(contacts["closed"].tolist()) if shut)


def is_solved(core: lay.Core, state: int) -> bool:
    """Whether a contact state has its matrix."""
    met = min(int(core.tally["states"]), len(core.key))
    return state in core.key[:met].tolist()


def siemens_of(contacts: np.ndarray, closed: np.ndarray) -> Array:
    """Conductance of every contact [S]."""
    found: Array = np.where(closed, contacts["on_siemens"], contacts["off_siemens"])
    return found


def nodal(network: lay.Network, siemens: Array) -> Array:
    """Nodal matrix of resistors and contacts, without the ports [S]."""
    rows = network.ends[len(network.resistors) :]
    g: Array = network.g_static + rows.T @ (siemens[..., None] * rows)
    return g


def close(core: lay.Core, network: lay.Network, closing: NDArray[np.bool_]) -> None:
    """Close contacts and relax capacitor loops too fast for the step; surges may weld."""
    contacts = core.contacts
    contacts["closed"][closing] = 1
    contacts["peak_a"] = contacts["a2s"] = 0.0
    siemens = siemens_of(contacts, contacts["closed"] != 0)
    now = pattern(contacts)
    if now not in network.modes:
        if len(network.modes) > len(core.key):
            network.modes.clear()
        # a pair that fires twice a cycle comes here each time with the same network
        network.modes[now] = fast_modes(core, network, nodal(network, siemens))
    quiet = relax(core, network, network.modes[now], siemens, closing)
    if not is_solved(core, now):
        build(core, network)
    core.quiet[core.key == now] = quiet
    core.tally["loads"], core.tally["restart"] = 1, lay.WHOLE
    for s in np.flatnonzero(closing).tolist():
        c = contacts[s]
        log_event(core, lay.EV_CLOSED, s, c["a2s"])
        if c["a2s"] > 0.0:
            log_event(core, lay.EV_SURGE, s, c["peak_a"])
        if c["a2s"] > c["weld_a2s"] and c["welded"] == 0:
            c["welded"] = 1
            log_event(core, lay.EV_WELDED, s, c["a2s"])


def log_event(core: lay.Core, kind: int, index: int, value: float) -> None:
    """Append one event; the kernel leaves room for all that can happen at one instant."""
    n = int(core.tally["events"])
    if n < len(core.events):
        core.events[n] = (core.tally["step"], kind, index, value)
    core.tally["events"] = n + 1


def build(core: lay.Core, network: lay.Network, follows: bool = False) -> None:
    """Solve the network of the present contact state into a slot.

    ``follows``: a thermistor's change will then be followed (pill.py).
    """
    tally, contacts = core.tally, core.contacts
    slot = int(tally["states"]) % len(core.key)
    if tally["states"] >= len(core.key):
        book_heat(core, network, range(slot, slot + 1))
    siemens = siemens_of(contacts, contacts["closed"] != 0)
    conductance, incidence = core.step[lay.G], network.incidence
    g = nodal(network, siemens) + (incidence * conductance) @ incidence.T
    x = solve(g, incidence)
    core.mt[slot] = observe(network, conductance, siemens, x)
    network.drops[slot] = network.ends @ x
    core.heat_s[slot] = 0.0
    core.key[slot] = pattern(contacts)
    core.quiet[slot] = 0
    tally["states"] += 1
    tally["built"] += 1
    r = pill_of(core, network) if follows else -1
    if r >= 0:
        y = solve(g, network.ends[r][:, None])
        seen = observe(network, conductance, siemens, y, False)[0]
        state = int(core.key[slot])
        network.modes[AT] = followed(network, state, r, core.mt[slot], x, y[:, 0], seen)


def observe(
    network: lay.Network,
    conductance: Array,
    siemens: Array,
    x: Array,
    whole_amps: bool = True,
    resistors: Array | None = None,
) -> Array:
    """Volts per history current, transposed: ports, contacts, probes, then sums of those.

    ``whole_amps`` False leaves out what a history current itself adds to the amps of its port.
    With the conductances of ``resistors`` all may be of many circuits and contact states.
    """
    p, seen = conductance.shape[-1], network.observed
    whole: Array = np.swapaxes(x, -1, -2) @ network.look
    contact, resistor = seen["contact"], seen["resistor"]
    scale = np.where(contact >= 0, siemens[..., contact] if siemens.shape[-1] else 1.0, 1.0)
    of_all = network.resistors["siemens"] if resistors is None else resistors
    scale[..., resistor >= 0] = of_all[..., resistor[resistor >= 0]]
    whole[..., p:] *= scale[..., None, :]
    for of, to, sign in network.terms.tolist():
        if of < whole.shape[-1]:
            whole[..., to] += sign * whole[..., of]
        else:  # amps of port q are g v + i_h, and volts are taken as -mt i_h
            q = of - whole.shape[-1]
            whole[..., to] += sign * conductance[..., q, None] * whole[..., q]
            if whole_amps:
                whole[..., q, to] -= sign
    return whole


def book_all(core: lay.Core, network: lay.Network) -> None:
    """Book the heat of every contact state met so far."""
    book_heat(core, network, range(min(int(core.tally["states"]), len(core.key))))


def book_heat(core: lay.Core, network: lay.Network, slots: range) -> None:
    """Joules of every resistor, contact and port in some states; then S = 0.

    Volts and amps are rows times history currents, so the sum of their squares over the steps is
    row S row'. Of S, which is symmetric, the kernel keeps up only the half below the diagonal.
    """
    mine, h = slice(slots.start, slots.stop), core.sizes["step_s"]
    lower, rows = np.tril(core.heat_s[mine], -1), network.drops[mine]
    products = lower + np.swapaxes(lower, 1, 2)
    diagonal = range(products.shape[-1])
    products[:, diagonal, diagonal] = core.heat_s[mine, diagonal, diagonal]
    squared = h * of_squares(rows, products)
    count = len(network.resistors)
    states = core.key[mine, None] >> np.arange(len(core.contacts))
    of_contacts = siemens_of(core.contacts, (states & 1) != 0)
    for in_one, siemens in zip(squared, of_contacts, strict=True):
        network.resistors["joules"] += network.resistors["siemens"] * in_one[:count]
        core.contacts["joules"] += siemens * in_one[count:]
    amps = of_squares(port_amps(core, mine), products).sum(axis=0)
    core.ports["joules"] += h * core.ports["ohms"] * amps
    core.heat_s[mine] = 0.0


def of_squares(rows: Array, products: Array) -> Array:
    """row S row' of each row in each state."""
    found: Array = np.einsum("sri,sri->sr", rows @ products, rows)
    return found


def port_amps(core: lay.Core, mine: slice) -> Array:
    """Amps of every port per history current in some states: i = g v + i_h, v = -Z i_h."""
    g = core.step[lay.G]
    z: Array = np.swapaxes(core.mt[mine, :, : len(g)], 1, 2)
    return np.eye(len(g)) - g[:, None] * z


def retune(core: lay.Core, network: lay.Network) -> None:
    """Put the ohms that thermistors have now into the static network."""
    for d in np.flatnonzero(core.devices["kind"] == lay.DEV_PTC).tolist():
        r = int(core.devices["resistor"][d])
        siemens = 1.0 / core.devices["s0"][d]
        pill = network.resistors[r]
        stamp(network.g_static, int(pill["a"]), int(pill["b"]), siemens - pill["siemens"])
        pill["siemens"] = siemens


def refresh(core: lay.Core) -> bool:
    """Derived constants of every machine at the temperatures its windings were last taken at.

    Returns whether they are others than before.
    """
    k, ax = core.machines, core.axes
    half = 0.5 * core.sizes["step_s"]
    alpha, ohms_at = np.repeat(k["alpha"], 2), np.repeat(k["ohms_at"], 2)
    ohms = ax["cold_ohms"] * (1.0 + alpha * (ax["last_c"] - ohms_at))
    if (ohms == ax["ohms"]).all():
        return False  # it was a thermistor that changed
    ax["ohms"] = ohms
    k["per_sync"], k["per_inertia"] = 1.0 / k["sync"], 1.0 / k["inertia"]
    k["per_knee"] = 1.0 / k["sat_knee"]
    det = ax["ls"] * ax["lr"] - ax["lm"] ** 2
    ax["ys"], ax["ym"], ax["yr"] = ax["ls"] / det, ax["lm"] / det, ax["lr"] / det
    ax["per_lr"] = 1.0 / (ax["lr"] + half * ax["rotor_ohms"])
    ax["pull"] = ax["lm"] * ax["per_lr"]
    den = ax["ls"] + half * ax["ohms"] - ax["lm"] * ax["pull"]
    ax["per_den"] = 1.0 / den
    first = int(core.sizes["inductives"] + core.sizes["capacitives"])
    core.step[lay.G, first : first + len(ax)] = half / den
    core.ports["ohms"][first : first + len(ax)] = ax["ohms"]
    return True
