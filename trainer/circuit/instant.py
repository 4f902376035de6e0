"""From phasors to an instant: what a circuit in steady state remembers at one moment.

A steady solution gives rms phasors; the transient wants charges, currents, fluxes, speed and
shaft angle. Direct volts still trapped on capacitors are added to the alternating ones.
Knows phasors and states, no time stepping.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping
from dataclasses import replace

from trainer.circuit.elements import Machine
from trainer.circuit.phasor_solution import PhasorSolution
from trainer.circuit.state import CircuitState, MachineState

ROOT2 = math.sqrt(2.0)


def at_instant(
    solution: PhasorSolution,
    base: CircuitState,
    turn_rad: float,
    trapped_v: Mapping[str, float],
) -> CircuitState:
    """State when every source stands at ``2 pi hz t = turn_rad``; contacts as in ``base``."""
    spin = cmath.exp(1j * turn_rad)

    def now(phasor: complex) -> float:
        return ROOT2 * (phasor * spin).imag

    elements = solution.prepared.elements
    live = plates_at(solution, turn_rad)
    capacitor_v = {name: volts + trapped_v.get(name, 0.0) for name, volts in live.items()}
    inductive_a = {i.name: now(solution.amps(i.name)) for i in elements.inductives}
    machines = {
        m.name: _machine(m, solution, base.machines[m.name], spin) for m in elements.machines
    }
    return replace(base, capacitor_v=capacitor_v, inductive_a=inductive_a, machines=machines)


def plates_at(solution: PhasorSolution, turn_rad: float) -> dict[str, float]:
    """Alternating volts on the plates of every capacitor at that instant [V]."""
    spin = cmath.exp(1j * turn_rad)
    capacitives = solution.prepared.elements.capacitives
    return {c.name: ROOT2 * (solution.plates(c.name) * spin).imag for c in capacitives}


def _machine(
    machine: Machine, solution: PhasorSolution, base: MachineState, spin: complex
) -> MachineState:
    """Fluxes from winding and rotor currents; speed with its ripple at twice line frequency.

    Torque of sinusoidal currents is its mean less Re(K e^(2j turn)) with
    K = pairs a Lm (I_main I_rotor_d - I_aux I_rotor_q), rms phasors; so the shaft swings by
    Re(K e^(2j turn) / (2j omega)) / J about its mean speed.
    """
    p = machine.params
    iq, idd, iqr, idr = solution.winding_amps(machine.name)
    main, aux, rq, rd = (ROOT2 * (i * spin).imag for i in (iq, idd, iqr, idr))
    lm_aux = p.ratio**2 * p.l_mutual
    kick = p.pole_pairs * p.ratio * p.l_mutual * (iq * idr - idd * iqr)
    w = 2.0 * math.pi * solution.hz
    mean = solution.speeds[machine.name]
    swing = (kick * spin**2 / (2j * w)).real / p.inertia_kg_m2 if mean != 0.0 else 0.0
    return replace(
        base,
        flux_main=p.l_main * main + p.l_mutual * (main + rq),
        flux_aux=p.l_aux * aux + lm_aux * (aux + rd),
        flux_rotor_main=p.l_rotor * rq + p.l_mutual * (main + rq),
        flux_rotor_aux=p.ratio**2 * p.l_rotor * rd + lm_aux * (aux + rd),
        speed_rad_s=mean - swing,
    )
