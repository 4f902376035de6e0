"""Our own symbols, in the manner of ordinary schematics: two bars a contact, a ring a coil.

Each lies level between its anchors ``a`` and ``b``. Knows geometry; must know no part.
"""

from __future__ import annotations

from math import cos, pi, sin

from trainer.sheet.shapes import Box, Line, Point, Ring, Shape, Symbol, Words, moved

#: From the middle of a symbol to either anchor, and how high it reaches.
REACH, TALL = 28.0, 15.0
_STEPS = 8


def symbol(name: str, at: Point) -> Symbol:
    """The symbol of this name with its middle at a point. Raises KeyError."""
    shapes = tuple(moved(s, at) for s in SYMBOLS[name])
    anchors = {"a": (at[0] - REACH, at[1]), "b": (at[0] + REACH, at[1])}
    return Symbol(name, at, shapes, anchors)


def _line(*points: Point, width: float = 1.4) -> Line:
    return Line(points, width)


def _leads(gap: float) -> tuple[Shape, ...]:
    """Leads from both anchors to ``gap`` from the middle."""
    return _line((-REACH, 0.0), (-gap, 0.0)), _line((gap, 0.0), (REACH, 0.0))


def _arc(centre: Point, radius: float, start: float, end: float) -> Line:
    """Part of a circle, angles in half turns, 0 to the right and 0.5 upwards."""
    angles = (pi * (start + (end - start) * k / _STEPS) for k in range(_STEPS + 1))
    return Line(tuple((centre[0] + radius * cos(t), centre[1] - radius * sin(t)) for t in angles))


def _bars() -> tuple[Shape, ...]:
    return (
        *_leads(5.0), _line((-5.0, -10.0), (-5.0, 10.0), width=1.9),
        _line((5.0, -10.0), (5.0, 10.0), width=1.9),
    )  # fmt: skip


def _loops(count: int, radius: float = 5.0) -> tuple[Shape, ...]:
    first = -radius * (count - 1)
    arcs = (_arc((first + 2 * radius * k, 0.0), radius, 1.0, 0.0) for k in range(count))
    return (*_leads(radius * count), *arcs)


def _zigzag() -> tuple[Shape, ...]:
    teeth = [(-16.0 + 4.0 * k, 0.0 if k in (0, 8) else (-7.0 if k % 2 else 7.0)) for k in range(9)]
    return *_leads(16.0), Line(tuple(teeth))


def _closed() -> tuple[Shape, ...]:
    return *_bars(), _line((-11.0, 10.0), (11.0, -10.0))


def _capacitor() -> tuple[Shape, ...]:
    return (
        *_leads(4.0), _line((-4.0, -11.0), (-4.0, 11.0), width=1.9),
        _arc((20.0, 0.0), 16.0, 0.77, 1.23),
    )  # fmt: skip


def _in_box(*inside: Shape) -> tuple[Shape, ...]:
    return *_leads(17.0), Box((-17.0, -12.0), (34.0, 24.0)), *inside


def _lettered(letter: str) -> tuple[Shape, ...]:
    return *_leads(12.0), Ring((0.0, 0.0), 12.0), Words((0.0, 0.0), letter, 9.0)


SYMBOLS: dict[str, tuple[Shape, ...]] = {
    "contact": _bars(),
    "contact closed": _closed(),
    "blade": (
        *_leads(11.0), Ring((-11.0, 0.0), 2.0, True), Ring((11.0, 0.0), 2.0, True),
        _line((-11.0, 0.0), (8.0, -11.0), width=1.9),
    ),
    "breaker": (
        *_leads(11.0), Ring((-11.0, 0.0), 2.0), Ring((11.0, 0.0), 2.0),
        _arc((0.0, 0.0), 11.0, 0.94, 0.06),
    ),
    "coil": (*_leads(11.0), Ring((0.0, 0.0), 11.0)),
    "solenoid": _in_box(_line((-17.0, 12.0), (17.0, -12.0))),
    "winding": _loops(4),
    "secondary": (
        *_loops(3), _line((-15.0, 4.0), (15.0, 4.0)), _line((-15.0, 7.0), (15.0, 7.0)),
    ),
    "capacitor": _capacitor(),
    "start capacitor": (*_capacitor(), _line((-9.0, -11.0), (-9.0, 11.0))),
    "resistor": _zigzag(),
    "thermistor": (*_zigzag(), _line((-15.0, 12.0), (-9.0, 12.0), (12.0, -12.0))),
    "overload": (
        *_leads(11.0), _arc((-5.5, 0.0), 5.5, 1.0, 0.0), _arc((5.5, 0.0), 5.5, 1.0, 2.0),
    ),
    "thermostat": (
        *_bars(), _line((-12.0, 14.0), (-5.0, 14.0), (-5.0, 11.0), (5.0, 11.0), (5.0, 14.0),
                        (12.0, 14.0)),
    ),
    "pressure": (*_closed(), _arc((0.0, 15.0), 5.0, 0.0, 1.0), _line((-5.0, 15.0), (5.0, 15.0))),
    "timed": (
        *_bars(), Ring((0.0, 14.5), 3.5), _line((0.0, 12.5), (0.0, 14.5), (2.0, 14.5), width=0.9),
    ),
    "board": _in_box(Ring((-8.0, 0.0), 1.5, True), Ring((0.0, 0.0), 1.5, True),
                     Ring((8.0, 0.0), 1.5, True)),
    "valves": _in_box(
        _line((-9.0, -8.0), (-9.0, -1.0), (9.0, -4.5), (-9.0, -8.0)),
        _line((9.0, 1.0), (9.0, 8.0), (-9.0, 4.5), (9.0, 1.0)),
    ),
    "generator": _lettered("G"),
    "inverter": _lettered("~"),
    "link": (Line(((-REACH, 0.0), (REACH, 0.0)), 2.6),),
    "earth": (
        _line((-REACH, 0.0), (0.0, 0.0), (0.0, 5.0)), _line((-9.0, 5.0), (9.0, 5.0)),
        _line((-6.0, 8.5), (6.0, 8.5)), _line((-3.0, 12.0), (3.0, 12.0)),
    ),
}  # fmt: skip
