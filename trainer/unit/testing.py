"""A direct-voltage tester put across a dead unit: what it leaves on capacitors, what it kills.

The tester is a source behind a resistance in the circuit; capacitors charge through whatever
is wired, and electronics that it drives too far are dead afterwards. Knows units and the
transient; must know no act.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from math import pi

from trainer.circuit.channels import Channel
from trainer.circuit.elements import Elements, Inductive, Sense, Source
from trainer.circuit.transient import Transient
from trainer.unit.changes import alter
from trainer.unit.circuit import elements_of, parts_of
from trainer.unit.state import Unit
from trainer.unit.world import completed

#: 500 V that give 1 mA into a short: the usual rating of a hand tester (IEC 61557-2, from memory).
TEST_V, TEST_OHMS = 500.0, 500e3
#: Direct volts between two terminals that an electronic part stands. Invented.
STANDS_V = 350.0
#: What is left of an electronic part: it gives up, waits for ever, or never lets go. Invented.
DEAD: dict[str, dict[str, str]] = {
    "soft_starter": {"gives_up": "0.001 s"},
    "delay_timer": {"delay": "10000000 s"},
    "timed_starter": {"time": "10000000 s"},
}
SAMPLE = 40


def tested(unit: Unit, a: str, b: str, seconds: float) -> tuple[Unit, tuple[str, ...]]:
    """The unit after the tester was on two places, and the parts that did not survive it."""
    shared, nodes = elements_of(unit)
    elements = _with_tester(shared, nodes.at(a), nodes.at(b))
    parts = parts_of(unit.parts)
    electronic = [n for n, part in parts.items() if getattr(part, "kind", "") in DEAD]
    watched = {
        f"{name}:{one}:{other}": (nodes.at(f"{name}.{one}"), nodes.at(f"{name}.{other}"))
        for name in electronic
        for one, other in combinations(parts[name].terminals(), 2)
    }
    channels = [Channel(key, Sense(volts=ends)) for key, ends in watched.items()]
    state = replace(completed(shared, unit.electrics), t_s=0.0)
    run = Transient(elements, channels, state=state)
    trace = run.run(seconds, stride=SAMPLE)
    held = {c.name for c in shared.capacitives}
    after = {n: v for n, v in run.snapshot().capacitor_v.items() if n in held}
    unit = replace(unit, electrics=replace(unit.electrics, capacitor_v=after), settled=False)
    worst = {key: float(abs(values).max()) for key, values in trace.values.items()}
    killed = dict.fromkeys(key.split(":")[0] for key, v in worst.items() if v > STANDS_V)
    for name in killed:
        unit = alter(unit, name, **DEAD[parts[name].kind])  # type: ignore[attr-defined]
    return unit, tuple(killed)


def _with_tester(elements: Elements, a: int, b: int) -> Elements:
    """The circuit with a steady source behind the tester's resistance, red on ``a``."""
    source = Source("tester", TEST_V, 0.0, pi / 2.0)
    number = len(elements.sources)
    lead = Inductive("tester", ((b, 1.0), (a, -1.0)), TEST_OHMS, 0.0, number)
    return replace(
        elements, sources=[*elements.sources, source], inductives=[*elements.inductives, lead]
    )
