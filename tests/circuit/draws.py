"""Random circuits for hypothesis: any wiring of any parts, as a list that can be shuffled.

Invented values, spread over what a unit holds: links of 0.2 milliohm to insulation.
"""

from __future__ import annotations

import math
from typing import Any

from hypothesis import strategies as st

from tests.circuit.build import Bench

NODES = ("chassis", "a", "b", "c", "d", "e", "f", "g")

Item = tuple[str, tuple[str, ...], tuple[Any, ...]]


def _spread(low: float, high: float) -> st.SearchStrategy[float]:
    """Evenly over the decades from ``low`` to ``high``, rounded so that shrinking reads well."""
    exponent = st.floats(math.log10(low), math.log10(high), allow_nan=False)
    return exponent.map(lambda x: float(f"{10.0**x:.3g}"))


def _nodes(count: int) -> st.SearchStrategy[tuple[str, ...]]:
    return st.tuples(*[st.sampled_from(NODES)] * count)


def items(sources: bool = True, machines: bool = True) -> st.SearchStrategy[list[Item]]:
    """Lists of 1 to 16 elements between eight nodes; both ends may be the same node."""
    kinds = [
        st.tuples(st.just("r"), _nodes(2), st.tuples(_spread(2e-4, 1e6))),
        st.tuples(st.just("s"), _nodes(2), st.tuples(st.booleans())),
        st.tuples(st.just("c"), _nodes(2), st.tuples(_spread(1e-9, 1e-3), _spread(1e-3, 10.0))),
        st.tuples(st.just("l"), _nodes(2), st.tuples(_spread(1e-3, 1e3), _spread(1e-6, 1.0))),
        st.tuples(st.just("t"), _nodes(4), st.tuples(_spread(0.5, 20.0))),
    ]
    if sources:
        line = st.tuples(st.just("v"), _nodes(2), st.tuples(_spread(1.0, 480.0), _angles()))
        kinds += [line, line]
    if machines:
        kinds.append(st.tuples(st.just("m"), _nodes(3), st.tuples()))
    return st.lists(st.one_of(kinds), min_size=1, max_size=16)


def _angles() -> st.SearchStrategy[float]:
    return st.sampled_from([0.0, math.pi / 2, math.pi, 2.0])


def names_of(drawn: list[Item]) -> list[tuple[str, Item]]:
    """Every item with a name that stays with it when the list is shuffled."""
    return [(f"{item[0]}{k}", item) for k, item in enumerate(drawn)]


def lay_out(named: list[tuple[str, Item]], rename: dict[str, str] | None = None) -> Bench:
    """Build the circuit; ``rename`` gives nodes other names (the chassis keeps its own)."""
    bench = Bench()
    new = rename or {}
    for name, (kind, ends, values) in named:
        ends = tuple(new.get(e, e) for e in ends)
        if kind == "t":
            bench.transformer(name, *ends, turns=values[0])
        elif kind == "v":
            bench.line(name, *ends, volts_rms=values[0], phase_rad=values[1])
        else:
            method = {"r": bench.r, "s": bench.s, "c": bench.c, "l": bench.l, "m": bench.machine}
            method[kind](name, *ends, *values)
    return bench
