"""Assembly and solution of Kirchhoff's equations: exact fractions, islands, transformers."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.circuit import draws
from tests.circuit.build import Bench
from tests.outside import examples
from trainer.circuit.elements import LEAKAGE_S
from trainer.circuit.network import (
    Branch,
    Equations,
    between,
    branches_of,
    dc_paths,
    leaks_of,
    rows_of,
)


def equations_of(bench: Bench) -> tuple[list[Branch], Equations]:
    elements = bench.elements
    table = dc_paths(branches_of(elements)) + leaks_of(elements)
    rows = rows_of(table, len(elements.nodes))
    return table, Equations(rows, np.array([1.0 / b.ohms for b in table]))


def ohms_between(bench: Bench, a: str, b: str) -> float:
    _, equations = equations_of(bench)
    row = between(bench.node(a), bench.node(b), len(bench.elements.nodes))
    return float(equations.volts(row, equations.inject(row))[0])


def exact_ohms(rows: np.ndarray, conductance: list[Fraction], probe: np.ndarray) -> Fraction:
    """Resistance seen by ``probe`` in exact arithmetic (Gauss on the nodal matrix)."""
    n = rows.shape[1]
    whole = [[Fraction(int(x)) for x in row] for row in rows]
    m = [
        [sum((g * r[i] * r[j] for g, r in zip(conductance, whole, strict=True)), Fraction(0))
         for j in range(n)] + [Fraction(int(probe[i]))]
        for i in range(n)
    ]  # fmt: skip
    for i in range(n):
        m[i] = [x / m[i][i] for x in m[i]]
        for k in range(n):
            if k != i and m[k][i]:
                m[k] = [x - m[k][i] * y for x, y in zip(m[k], m[i], strict=True)]
    return sum((Fraction(int(p)) * row[-1] for p, row in zip(probe, m, strict=True)), Fraction(0))


def test_branches_come_in_list_order() -> None:
    bench = Bench().machine("m", "c", "s", "r").c("cap", "r", "s", 1e-6).r("w", "r", "l", 1.0)
    bench.s("k", "l", "x").l("coil", "l", "x", 5.0, 0.1)
    names = [b.name for b in branches_of(bench.elements)]
    assert names == ["w", "k", "coil", "cap", "m.main", "m.aux"]


def test_state_and_resistance_by_name_replace_the_elements_own() -> None:
    bench = Bench().s("k", "a", "b", closed=False).r("ptc", "a", "b", 20.0)
    found = branches_of(bench.elements, {"k": True}, ohms={"ptc": 5e3})
    assert [b.ohms for b in found] == [5e3, 1e-3]


def test_ladder_by_hand() -> None:
    # 10 in series with (20 parallel 5+15) = 10 + 10 ohm
    bench = (
        Bench().r("1", "a", "m", 10).r("2", "m", "b", 20).r("3", "m", "k", 5).r("4", "k", "b", 15)
    )
    assert ohms_between(bench, "a", "b") == pytest.approx(20.0, rel=1e-6)


def test_a_floating_island_keeps_its_digits_behind_links() -> None:
    """60 links of 0.2 milliohm in a floating chain: leakage divides by node count, exactly."""
    bench = Bench()
    for k in range(60):
        bench.r(f"w{k}", f"n{k}", f"n{k + 1}", 2e-4)
    assert ohms_between(bench, "n0", "chassis") == pytest.approx(1 / (61 * LEAKAGE_S), rel=1e-8)
    assert ohms_between(bench, "n0", "n60") == pytest.approx(60 * 2e-4, rel=1e-9)


def test_two_islands_read_through_both_leakages() -> None:
    bench = Bench().r("one", "a", "b", 1.0).r("two", "c", "d", 1.0)
    assert ohms_between(bench, "a", "c") == pytest.approx(2 / (2 * LEAKAGE_S), rel=1e-7)


def test_bolted_short_and_element_on_one_node() -> None:
    bench = Bench().r("short", "a", "b", 0.0).r("self", "a", "a", 3.0).r("big", "a", "b", 1e6)
    assert ohms_between(bench, "a", "b") == pytest.approx(2e-4, rel=1e-6)


def test_no_branch_at_all() -> None:
    table, equations = equations_of(Bench())
    assert table == []
    assert equations.node_volts(equations.respond(np.zeros(0))).tolist() == [0.0]


def test_transformer_conducts_dc_in_its_own_winding_and_in_nothing_else() -> None:
    bench = Bench().transformer("t", "h1", "h2", "x1", "x2", turns=10.0, ohms=2.0)
    assert ohms_between(bench, "h1", "h2") == pytest.approx(2.0, rel=1e-6)
    assert ohms_between(bench, "x1", "x2") == pytest.approx(2.0 / LEAKAGE_S, rel=1e-6)
    assert ohms_between(bench, "h1", "x1") > 1e7


def test_emf_behind_a_link_is_read_without_its_drop() -> None:
    """An unloaded source drives only leakage; its own drop keeps its digits."""
    bench = Bench().r("z", "chassis", "a", 2e-4)
    _, equations = equations_of(bench)
    emf = np.array([100.0, 0.0])
    w = equations.respond(emf)
    assert equations.node_volts(w, emf)[1] == pytest.approx(100.0 / (1.0 + 2e-12), rel=1e-14)
    assert equations.drops(w, emf)[0] == pytest.approx(100.0 * LEAKAGE_S * 2e-4, rel=1e-9)


@settings(deadline=None, max_examples=examples(150))
@given(st.data())
def test_resistance_agrees_with_exact_fractions(data: st.DataObject) -> None:
    """Random networks from 5e3 S to 1e-8 S against exact rational arithmetic, to 1e-10."""
    n = data.draw(st.integers(2, 7))
    ends = st.tuples(st.integers(0, n), st.integers(0, n))
    value = st.sampled_from([5000, 977, 12, 1, Fraction(1, 300), Fraction(1, 10**6)])
    wires = data.draw(st.lists(st.tuples(ends, value), max_size=14))
    rows = np.zeros((len(wires) + n, n + 1))
    for k, ((a, b), _) in enumerate(wires):
        rows[k, a] += 1.0
        rows[k, b] -= 1.0
    rows[np.arange(n) + len(wires), np.arange(n) + 1] = 1.0
    conductance = [Fraction(g) for _, g in wires] + [Fraction(1, 10**8)] * n
    probe = between(*data.draw(ends), n + 1)
    equations = Equations(rows[:, 1:], np.array([float(g) for g in conductance]))
    found = float(equations.volts(probe, equations.inject(probe))[0])
    assert found == pytest.approx(float(exact_ohms(rows[:, 1:], conductance, probe)), rel=1e-10)


@settings(deadline=None, max_examples=examples(100))
@given(draws.items(sources=False))
def test_any_wiring_gives_finite_symmetric_resistances(drawn: list[draws.Item]) -> None:
    bench = draws.lay_out(draws.names_of(drawn))
    ends = bench.elements.nodes
    forth, back = (
        ohms_between(bench, *pair) for pair in ((ends[0], ends[-1]), (ends[-1], ends[0]))
    )
    assert np.isfinite(forth)
    assert forth >= 0.0
    assert forth == pytest.approx(back, rel=1e-9)
