"""The rungs of a ladder: symbols in series between two joints of the sheet.

A joint where two symbols meet and no more is a step inside a rung; any other is an upright.
Uprights stand in the order of their potential if every symbol were a resistor, so that current
runs from left to right. Knows what can be read off a sheet; must know no shapes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from trainer.sheet.reading import Element, Joint, Sheet, in_order
from trainer.unit.conductor import part_of

#: Ohms that stand for a switch and for a load where only the order of the uprights is asked.
_OHMS = {"source": 1e6, "switch": 0.02, "load": 1.0}
#: Pulls a joint that nothing feeds to the middle.
_LEAK = 1e-9
_RANK = {"source": 0, "switch": 1, "load": 2}


@dataclass(frozen=True)
class Rung:
    """Symbols from ``start`` to ``end``; ``turned`` says which are met from their b side.

    None as an end: no wire can be read there.
    """

    elements: tuple[Element, ...]
    turned: tuple[bool, ...]
    start: Joint | None
    end: Joint | None

    @property
    def rank(self) -> int:
        """Sources first, then feeders, then what they feed."""
        return max(_RANK[e.inner.role] for e in self.elements) if not self.source else 0

    @property
    def source(self) -> bool:
        return all(e.inner.role == "source" for e in self.elements)

    def reversed(self) -> Rung:
        turned = tuple(not t for t in reversed(self.turned))
        return Rung(tuple(reversed(self.elements)), turned, self.end, self.start)


@dataclass(frozen=True)
class Ladder:
    """One circuit without a conductor to any other: ``uprights`` from left to right."""

    uprights: tuple[Joint, ...]
    rungs: tuple[Rung, ...]

    @property
    def title(self) -> str:
        kinds = {e.inner.symbol for r in self.rungs for e in r.elements}
        parts = {e.inner.says for r in self.rungs for e in r.elements}
        if kinds == {"thermistor", "board"} or parts == {"coil sensor"}:
            return "Sensor circuit"
        low = any(e.ends[0].endswith((".A1", ".R", ".Y")) for r in self.rungs for e in r.elements)
        return "24 V circuit" if low else "Line circuit"


def ladders(sheet: Sheet) -> list[Ladder]:
    """The circuits of a sheet, the largest first."""
    whole = [_ladder(sheet, list(group)) for group in _apart(sheet)]
    return sorted(whole, key=lambda one: (-len(one.rungs), one.rungs[0].elements[0].ends))


def _apart(sheet: Sheet) -> list[list[Element]]:
    """Elements in groups that share no joint."""
    groups: list[tuple[set[Joint], list[Element]]] = []
    for element in sheet.elements:
        joints = {sheet.joint(t) for t in element.ends}
        near = [g for g in groups if g[0] & joints]
        merged = (joints.union(*(g[0] for g in near)), [e for g in near for e in g[1]] + [element])
        groups = [g for g in groups if g not in near] + [merged]
    order = {e: n for n, e in enumerate(sheet.elements)}
    return [sorted(elements, key=order.__getitem__) for _, elements in groups]


def _ladder(sheet: Sheet, elements: list[Element]) -> Ladder:
    met: dict[Joint, list[Element]] = {}
    for element in elements:
        for terminal in element.ends:
            met.setdefault(sheet.joint(terminal), []).append(element)
    sources = {sheet.joint(t) for e in elements if e.inner.role == "source" for t in e.ends}
    free = {j for j, here in met.items() if len(j) == 1 and len(here) == 1}
    upright = {j for j, here in met.items() if j not in free and (len(here) != 2 or j in sources)}
    upright = {j for j in upright if not _neutral(j, met[j])}
    if not upright and len(met) > len(free):
        upright = {next(j for j in met if j not in free)}
    levels = _levels(sheet, elements, met)
    rungs = list(_chains(sheet, elements, upright, met))
    loops = {_between(r, sheet) for r in rungs if r.start == r.end is not None} - {None}
    if loops:
        upright |= {j for j in loops if j is not None}
        rungs = list(_chains(sheet, elements, upright, met))
    across = sorted(upright, key=lambda j: (round(levels[j], 6), in_order(j, sheet.layout)))
    rungs = [_forward(r, across) for r in rungs]
    order = {e: n for n, e in enumerate(elements)}
    rungs.sort(key=lambda r: (r.rank, _inward(r, across), min(order[e] for e in r.elements)))
    return Ladder(tuple(across), tuple(rungs))


def _neutral(joint: Joint, here: Sequence[Element]) -> bool:
    """The middle of a source, where nothing else is: a step inside its rung."""
    return len(here) == 2 and all(e.inner.role == "source" for e in here) and len(joint) == 1


def _inward(rung: Rung, across: Sequence[Joint]) -> int:
    """Feeders come in the order in which current meets them: how far in from the nearer pole."""
    if rung.rank != _RANK["switch"]:
        return 0
    last = len(across) - 1
    both = [across.index(j) for j in (rung.start, rung.end) if j is not None]
    return min((min(k, last - k) for k in both), default=last)


def _between(rung: Rung, sheet: Sheet) -> Joint | None:
    """The joint after the first symbol of a rung that comes back to where it began."""
    if len(rung.elements) < 2:
        return None
    return sheet.joint(rung.elements[0].ends[0 if rung.turned[0] else 1])


def _chains(
    sheet: Sheet, elements: list[Element], upright: set[Joint], met: dict[Joint, list[Element]]
) -> Iterable[Rung]:
    """Every element once, gone along in both directions as far as an upright or a free end."""
    left = dict.fromkeys(elements)
    while left:
        first = next(iter(left))
        del left[first]
        ahead, end = _along(sheet, first, first.ends[1], upright, met, left)
        behind, start = _along(sheet, first, first.ends[0], upright, met, left)
        row = [(e, not t) for e, t in reversed(behind)] + [(first, False)] + ahead
        yield Rung(tuple(e for e, _ in row), tuple(t for _, t in row), start, end)


def _along(
    sheet: Sheet, element: Element, terminal: str, upright: set[Joint],
    met: dict[Joint, list[Element]], left: dict[Element, None],
) -> tuple[list[tuple[Element, bool]], Joint | None]:  # fmt: skip
    """The elements that follow from a terminal on, and the upright they end at."""
    found: list[tuple[Element, bool]] = []
    while True:
        joint = sheet.joint(terminal)
        if joint in upright:
            return found, joint
        follow = [e for e in met[joint] if e is not element and e in left]
        if not follow:
            return found, None
        element = follow[0]
        del left[element]
        turned = sheet.joint(element.ends[0]) != joint
        found.append((element, turned))
        terminal = element.ends[0 if turned else 1]


def _forward(rung: Rung, across: Sequence[Joint]) -> Rung:
    """The rung as it runs from left to right; a free end is always to the right."""
    if rung.start is None and rung.end is not None:
        return rung.reversed()
    if rung.start is None or rung.end is None:
        return rung
    return rung.reversed() if across.index(rung.start) > across.index(rung.end) else rung


def _levels(
    sheet: Sheet, elements: list[Element], met: dict[Joint, list[Element]]
) -> dict[Joint, float]:
    """Joint -> 0 at the first pole of the sources to 1 at the last."""
    sources = [e for e in elements if e.inner.role == "source"]
    held: dict[Joint, float] = {}
    for part in dict.fromkeys(e.part for e in sources):
        own = [e for e in sources if e.part == part]
        held.setdefault(sheet.joint(own[0].ends[0]), 0.0)
        held.setdefault(sheet.joint(own[-1].ends[1]), 1.0)
    if not held:
        joints = sorted(met, key=lambda j: (-len(met[j]), in_order(j, sheet.layout)))
        held = {joints[0]: 0.0, joints[-1]: 1.0}
    rows = {j: n for n, j in enumerate(met)}
    table = [[0.0] * len(rows) for _ in rows]
    right = [0.5 * _LEAK] * len(rows)
    for n in range(len(rows)):
        table[n][n] = _LEAK
    for element in elements:
        a, b = (rows[sheet.joint(t)] for t in element.ends)
        gain = 1.0 / _OHMS[element.inner.role]
        for x, y in ((a, b), (b, a)):
            table[x][x] += gain
            table[x][y] -= gain
    for joint, level in held.items():
        row = rows[joint]
        table[row] = [1.0 if k == row else 0.0 for k in range(len(rows))]
        right[row] = level
    return dict(zip(rows, _solved(table, right), strict=True))


def _solved(table: list[list[float]], right: list[float]) -> list[float]:
    """Gaussian elimination with pivots; small tables only."""
    size = len(right)
    rows = [[*row, r] for row, r in zip(table, right, strict=True)]
    for k in range(size):
        best = max(range(k, size), key=lambda n: abs(rows[n][k]))
        rows[k], rows[best] = rows[best], rows[k]
        for n in range(size):
            if n != k and rows[n][k]:
                share = rows[n][k] / rows[k][k]
                rows[n] = [x - share * y for x, y in zip(rows[n], rows[k], strict=True)]
    return [rows[k][size] / rows[k][k] for k in range(size)]


def joint_name(joint: Joint, sheet: Sheet) -> str:
    """One terminal that stands for a joint: a contactor's if there is one, else the first."""
    names = in_order(joint, sheet.layout)
    contactors = [n for n in names if n.rpartition(".")[2] in ("T1", "T2", "A1", "A2")
                  and "contactor" in sheet.layout.parts[part_of(n)].type]  # fmt: skip
    return (contactors or list(names))[0].replace(".", " ")
