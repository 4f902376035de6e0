"""Many starts of one circuit with other numbers: laid out once, solved together.

The contact states that a first start met are solved for a bunch of circuits at once, in a few
long calls that let other threads go on meanwhile; a start is then little more than the kernel,
which lets them go on too. A state that nobody foresaw is solved when the kernel asks for it.
For lines and events only: no heat is booked. Knows elements and arrays; must know no part and no
value that a person turns.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from trainer.circuit import layout as lay
from trainer.circuit.channels import Channel, Trace
from trainer.circuit.elements import Elements
from trainer.circuit.numbers import copied, keep_solved, with_numbers
from trainer.circuit.plan import Plan, make_plan
from trainer.circuit.relax import FastModes, modes_of
from trainer.circuit.states import nodal, observe, refresh, siemens_of
from trainer.circuit.transient import Transient

Array = NDArray[np.float64]
#: When a hand or a call moves which contact, and whether it closes it.
Act = tuple[float, str, bool]


class Many:
    """Starts of circuits that have the shape of ``elements``, each from rest to ``until_s``.

    ``run`` may be called from several threads at once; a bunch of ten or so is enough for what
    is shared to weigh little.
    """

    def __init__(
        self,
        elements: Elements,
        channels: Sequence[Channel],
        acts: Sequence[Act],
        until_s: float,
        *,
        stride: int = 1,
    ) -> None:
        self._channels, self._acts = list(channels), list(acts)
        self._until_s, self._stride = until_s, stride
        self._plan = make_plan(elements, self._channels)
        first = Transient.of_plan(copied(self._plan), self._channels)
        self._start(first)
        core = first.plan.core
        self._met = core.key[: min(int(core.tally["states"]), len(core.key))].tolist()
        self._closed = [n for n, state in enumerate(self._met) if state in first.plan.network.modes]
        keep_solved(self._plan, first.plan)

    def run(self, circuits: Sequence[Elements]) -> list[Trace]:
        """One start of each circuit."""
        plans = [with_numbers(self._plan, elements) for elements in circuits]
        unsolved = [plan for plan in plans if plan.core.tally["stale"]]
        if unsolved:
            solve_together(unsolved, self._met, self._closed)
        return [self._start(Transient.of_plan(plan, self._channels)) for plan in plans]

    def _start(self, transient: Transient) -> Trace:
        for act in self._acts:
            transient.act(*act)
        return transient.run(self._until_s, stride=self._stride)


def solve_together(plans: Sequence[Plan], states: Sequence[int], closed: Sequence[int]) -> None:
    """Give unstepped plans of one shape their matrices of these contact states.

    And the modes of those into which a contact closes, by their places in ``states``. Arrays have
    the plans first, then the states. Volts across resistors are left out: they are for whoever
    books heat.
    """
    cores, networks = [plan.core for plan in plans], [plan.network for plan in plans]
    network = networks[0]
    for core in cores:
        refresh(core)
    count = len(cores[0].contacts)
    shut = np.array([[state >> s & 1 for s in range(count)] for state in states], dtype=bool)
    siemens = np.stack([siemens_of(core.contacts, shut) for core in cores])
    conductance = np.stack([core.step[lay.G] for core in cores])[:, None]
    resistors = np.stack([one.resistors["siemens"] for one in networks])[:, None]
    g = np.stack([nodal(one, s) for one, s in zip(networks, siemens, strict=True)])
    incidence = network.incidence
    ports = (incidence * conductance[..., None, :]) @ incidence.T
    x = np.linalg.solve(g + ports, incidence)
    matrices = observe(network, conductance, siemens, x, resistors=resistors)
    modes = _modes(cores, network, g[:, closed])
    for b, core in enumerate(cores):
        core.mt[: len(states)] = matrices[b]
        core.key[: len(states)] = states
        core.tally["states"] = core.tally["built"] = len(states)
        core.tally["stale"] = 0
        for n, place in enumerate(closed):
            networks[b].modes[states[place]] = FastModes(*(part[b, n] for part in modes))


def _modes(cores: Sequence[lay.Core], network: lay.Network, g: Array) -> FastModes:
    """Modes of the capacitors of every plan in every state."""
    sizes = cores[0].sizes
    mine = slice(int(sizes["inductives"]), int(sizes["inductives"] + sizes["capacitives"]))
    ohms = np.stack([core.ports["ohms"][mine] for core in cores])[:, None]
    farads = np.stack([core.ports["farads"][mine] for core in cores])[:, None]
    found = modes_of(network, mine, ohms, farads, g, float(sizes["step_s"]))
    root = np.broadcast_to(found.root, found.rates.shape)
    return found._replace(root=root)
