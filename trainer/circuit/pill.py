"""The port matrix of one contact state followed while a thermistor's ohms change.

A resistance that changes changes the nodal matrix by a product of two vectors, so the solved
matrix follows by one too (Sherman and Morrison, 1950, from memory):
(g + d e e')^-1 = g^-1 - g^-1 e e' g^-1 d / (1 + d e' g^-1 e).
Always from the matrix that was last solved, so rounding does not gather. Only for whoever books
no heat: volts across resistors are not followed. Knows arrays only.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from trainer.circuit import layout as lay

Array = NDArray[np.float64]

#: Where a network keeps what it follows, among its modes by contact state.
AT = -1


class Followed(NamedTuple):
    """A solved state: its matrix, and what one ampere through the thermistor does.

    ``per_port`` volts across it per history current, ``seen`` volts of every column per ampere,
    ``ohms`` its own volts per ampere.
    """

    state: int
    siemens: float
    matrix: Array
    per_port: Array
    seen: Array
    ohms: float


def pill_of(core: lay.Core, network: lay.Network) -> int:
    """The resistor of the circuit's one thermistor whose amps nobody observes; else -1."""
    pills = core.devices["resistor"][core.devices["kind"] == lay.DEV_PTC].tolist()
    if len(pills) != 1 or pills[0] in network.observed["resistor"].tolist():
        return -1
    return int(pills[0])


def followed(
    network: lay.Network, state: int, r: int, matrix: Array, x: Array, y: Array, seen: Array
) -> Followed:
    """``x`` node volts per history current, ``y`` per ampere through resistor ``r``."""
    e = network.ends[r]
    siemens = float(network.resistors["siemens"][r])
    return Followed(state, siemens, matrix.copy(), e @ x, seen, float(e @ y))


def follow(base: Followed, siemens: float) -> Array:
    """The matrix with the thermistor at ``siemens``."""
    change = siemens - base.siemens
    share = change / (1.0 + change * base.ohms)
    return base.matrix - np.outer(share * base.per_port, base.seen)
