"""Reads and writes quantities with their units; the only place that knows "uF".

``parse`` turns text such as "45 uF" into a float in the unit asked for, ``show`` turns a
float into text. Knows no field, file or part. Factors are exact by definition unless noted
(inch, foot, pound and horsepower from the international definitions, NIST SP 811 App. B).
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from difflib import get_close_matches

from trainer.base.errors import FieldError, quoted

_INCH = 0.0254
_FOOT = 12 * _INCH
_POUND = 0.45359237
_POUND_FORCE = _POUND * 9.80665
_TEXT_MOST = 60
#: 4/0 is written -3 by the gauge formula; 40 is the thinnest wire anybody lists.
_GAUGE_THICKEST, _GAUGE_THINNEST = -3.0, 40.0
_NUMBER = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*)", re.DOTALL)
_AUGHTS = re.compile(r"([1-4])/0\s*AWG")


@dataclass(frozen=True)
class Unit:
    """A unit: its quantity and the way to the base unit of that quantity and back.

    ``power`` of ten is kept apart from ``factor`` so that 45 uF is the float 45e-6 exactly.
    """

    quantity: str
    factor: float = 1.0
    offset: float = 0.0
    power: int = 0
    into: Callable[[float], float] | None = None
    back: Callable[[float], float] | None = None

    def to_base(self, value: float) -> float:
        if self.into is not None:
            return float(self.into(value))
        return _times_ten_to(value, self.power) * self.factor + self.offset

    def from_base(self, value: float) -> float:
        if self.back is not None:
            return float(self.back(value))
        return _times_ten_to((value - self.offset) / self.factor, -self.power)


def _times_ten_to(value: float, power: int) -> float:
    return value * float(10**power) if power >= 0 else value / float(10**-power)


def _gauge_to_m2(gauge: float) -> float:
    """Conductor area of an AWG number.

    d = 0.127 mm * 92^((36 - n)/39), area = pi d^2/4; 4/0 (n = -3) to 40.
    Source: ASTM B258 (from memory).
    """
    if not _GAUGE_THICKEST <= gauge <= _GAUGE_THINNEST:
        raise FieldError(f"{gauge:g} AWG is no conductor size", hint="4/0 AWG to 40 AWG")
    diameter_m: float = 0.127e-3 * 92.0 ** ((36.0 - gauge) / 39.0)
    return math.pi * diameter_m**2 / 4.0


def _m2_to_gauge(area_m2: float) -> float:
    """The inverse of ``_gauge_to_m2``; a size between two gauges gives a fraction."""
    diameter_m = math.sqrt(4.0 * area_m2 / math.pi)
    return 36.0 - 39.0 * math.log(diameter_m / 0.127e-3, 92.0)


def _prefixed(quantity: str, symbol: str, prefixes: str) -> dict[str, Unit]:
    """The unit and its prefixed forms, micro under both of its letters."""
    powers = {"p": -12, "n": -9, "u": -6, "m": -3, "k": 3, "M": 6, "G": 9}
    units = {symbol: Unit(quantity)}
    for prefix in prefixes:
        units[prefix + symbol] = Unit(quantity, power=powers[prefix])
    return units


UNITS: dict[str, Unit] = {
    **_prefixed("volts", "V", "umkM"),
    **_prefixed("amps", "A", "numk"),
    **_prefixed("ohms", "ohm", "umkMG"),
    **_prefixed("farads", "F", "pnu"),
    "MFD": Unit("farads", power=-6),
    "mfd": Unit("farads", power=-6),
    **_prefixed("henries", "H", "num"),
    **_prefixed("watts", "W", "umkM"),
    "hp": Unit("watts", 550.0 * _FOOT * _POUND_FORCE),
    **_prefixed("volt-amps", "VA", "mkM"),
    **_prefixed("joules", "J", "umkM"),
    **_prefixed("seconds", "s", "num"),
    "min": Unit("seconds", 60.0),
    "h": Unit("seconds", 3600.0),
    **_prefixed("hertz", "Hz", "mkM"),
    **_prefixed("metres", "m", "umk"),
    "cm": Unit("metres", power=-2),
    "in": Unit("metres", _INCH),
    "ft": Unit("metres", _FOOT),
    "m2": Unit("area"),
    "mm2": Unit("area", power=-6),
    "AWG": Unit("area", into=_gauge_to_m2, back=_m2_to_gauge),
    "degC": Unit("temperature"),
    "degF": Unit("temperature", 5.0 / 9.0, -32.0 * 5.0 / 9.0),
    "K": Unit("temperature difference"),
    "K/W": Unit("thermal resistance"),
    "J/K": Unit("heat capacity"),
    "1/K": Unit("temperature coefficient"),
    "%/K": Unit("temperature coefficient", power=-2),
    "N.m": Unit("torque"),
    "lbf.in": Unit("torque", _POUND_FORCE * _INCH),
    "lbf.ft": Unit("torque", _POUND_FORCE * _FOOT),
    "kg.m2": Unit("inertia"),
    "kg.cm2": Unit("inertia", power=-4),
    "lb.ft2": Unit("inertia", _POUND * _FOOT**2),
    "N": Unit("force"),
    "lbf": Unit("force", _POUND_FORCE),
    "kg": Unit("mass"),
    "lb": Unit("mass", _POUND),
    **_prefixed("pressure", "Pa", "kM"),
    "bar": Unit("pressure", power=5),
    "psi": Unit("pressure", _POUND_FORCE / _INCH**2),
    "%": Unit("ratio", power=-2),
    "pu": Unit("ratio"),
    "ratio": Unit("ratio"),
    "rad": Unit("angle"),
    "deg": Unit("angle", math.pi / 180.0),
    "rad/s": Unit("speed"),
    "rpm": Unit("speed", 2.0 * math.pi / 60.0),
    "A2s": Unit("let-through"),
    "Wb": Unit("flux"),
    **_prefixed("siemens", "S", "num"),
    "1": Unit("number"),
}

#: Other ways of writing a unit, tried when the plain text is not in the table.
_SPELLINGS = (
    ("µ", "u"),
    ("μ", "u"),
    ("Ω", "ohm"),
    ("Ω", "ohm"),
    ("°", "deg"),
    ("·", "."),
    ("²", "2"),
    ("ohms", "ohm"),
    ("A^2s", "A2s"),
    ("A2.s", "A2s"),
)
#: What people write and what they may have meant: refused rather than guessed.
_AMBIGUOUS = {
    "mF": ("F", "mF is read as millifarad by some and as microfarad by others", "uF"),
    "C": ("degC", "C alone is not a temperature unit", "degC"),
    "F": ("degC", "F alone is not a temperature unit", "degF"),
    "S": ("s", "S is siemens", "s"),
    "sec": ("s", "sec is not a unit here", "s"),
    "M": ("m", "M is not a unit", "m"),
}
_EXAMPLES = {
    "V": "240 V", "A": "20 A", "ohm": "1.5 ohm", "F": "45 uF", "H": "3 mH", "W": "70 W",
    "VA": "40 VA", "s": "0.5 s", "Hz": "60 Hz", "m": "50 ft", "m2": "10 AWG", "AWG": "10 AWG",
    "degC": "25 degC", "K": "10 K", "J": "5 J", "N.m": "7 N.m", "kg.m2": "0.002 kg.m2",
    "ratio": "5 %", "rad": "30 deg", "rpm": "3450 rpm", "rad/s": "3450 rpm", "A2s": "400 A2s",
    "S": "10 nS", "Pa": "250 psi", "K/W": "0.5 K/W", "J/K": "900 J/K", "1/K": "0.393 %/K",
    "Wb": "0.9 Wb", "kg": "40 lb", "N": "90 N",
}  # fmt: skip
_PREFIXED_SHOWN = {"V", "A", "ohm", "F", "H", "W", "VA", "J", "s", "Hz", "S", "Pa"}
_SHOWN = {"ohm": "Ω", "degC": "°C", "degF": "°F", "N.m": "N·m", "kg.m2": "kg·m²", "A2s": "A²s",
          "mm2": "mm²", "m2": "m²", "ratio": "", "1": ""}  # fmt: skip


def example(unit: str) -> str:
    """Text a person could write for a value in ``unit``."""
    return _EXAMPLES.get(unit, f"1 {unit}")


def parse(text: object, unit: str) -> float:
    """The value of ``text`` in ``unit``: parse("45 uF", "F") is 45e-6.

    Raises FieldError for anything but a finite number with a unit of the same quantity.
    """
    if not isinstance(text, str):
        raise FieldError(_bare(text), hint=_instead(text, unit))
    stripped = text.strip()
    if len(stripped) > _TEXT_MOST:
        raise FieldError(f"{quoted(text)} is too long for a quantity", hint=example(unit))
    number, symbol = _split(stripped, unit)
    written = _unit_named(symbol, unit, number)
    base = written.to_base(number)
    value = number if written is UNITS[unit] else UNITS[unit].from_base(base)
    if not math.isfinite(value):
        raise FieldError(f"{quoted(text)} is beyond any real value", hint=example(unit))
    return value


def _split(text: str, unit: str) -> tuple[float, str]:
    aughts = _AUGHTS.fullmatch(text)
    if aughts:
        return 1.0 - int(aughts.group(1)), "AWG"
    match = _NUMBER.fullmatch(text)
    if not match:
        raise FieldError(f"{quoted(text)} is no number with a unit", hint=example(unit))
    number, symbol = match.groups()
    if symbol.startswith(","):
        what = f"{quoted(text)} has a comma in its number"
        raise FieldError(what, hint=f"a point and no thousands mark, such as {example(unit)}")
    if not symbol:
        raise FieldError(_bare(number), hint=_instead(number, unit))
    return float(number), symbol


def _unit_named(symbol: str, wanted: str, number: float) -> Unit:
    """The unit that ``symbol`` names; it must measure the same quantity as ``wanted``."""
    ambiguous = _AMBIGUOUS.get(symbol)
    if ambiguous and UNITS[ambiguous[0]].quantity == UNITS[wanted].quantity:
        raise FieldError(ambiguous[1], hint=f"{number:g} {ambiguous[2]}")
    unit = UNITS.get(symbol) or UNITS.get(_respelt(symbol))
    if unit is None:
        raise FieldError(f"{quoted(symbol)} is not a unit known here", hint=_near(symbol, wanted))
    if unit.quantity != UNITS[wanted].quantity:
        written, meant = quoted(f"{number:g} {symbol}"), UNITS[wanted].quantity
        what = f"{written} measures {unit.quantity}, not {meant}"
        raise FieldError(what, hint=f"a value such as {example(wanted)}")
    return unit


def _respelt(symbol: str) -> str:
    for other, ours in _SPELLINGS:
        symbol = symbol.replace(other, ours)
    return symbol


def _near(symbol: str, wanted: str) -> str:
    """The unit of the right quantity that looks most like what was written."""
    quantity = UNITS[wanted].quantity
    fitting = [name for name, unit in UNITS.items() if unit.quantity == quantity]
    for name in fitting:
        if name.lower() == symbol.lower():
            return name
    near = get_close_matches(symbol, fitting, n=1)
    return near[0] if near else f"a value such as {example(wanted)}"


def _bare(value: object) -> str:
    return f"{quoted(value)} has no unit"


def _instead(value: object, unit: str) -> str:
    """What to write for a bare number: the number with the unit of the usual example."""
    if isinstance(value, bool) or not _NUMBER.fullmatch(str(value)):
        return example(unit)
    return f"{value} {example(unit).split()[-1]} (or another unit of {UNITS[unit].quantity})"


def show(value: float, unit: str, digits: int = 3) -> str:
    """``value``, given in ``unit``, as text: show(45e-6, "F") is "45 µF".

    ``digits`` significant digits; prefixes only where the trade uses them. Whole-number
    trailing zeros are dropped. A value that is no number is shown as "--".
    """
    if not math.isfinite(value):
        return "--"
    if unit == "ratio":
        return f"{_digits(value * 100.0, digits)} %"
    if unit == "AWG":
        return f"{1 - round(value)}/0 AWG" if value <= 0 else f"{value:.3g} AWG"
    if unit not in _PREFIXED_SHOWN:
        return f"{_digits(value, digits)} {_SHOWN.get(unit, unit)}".rstrip()
    prefix, scale = _prefix_for(value, unit, digits)
    return f"{_digits(value / scale, digits)} {prefix}{_SHOWN.get(unit, unit)}"


def _prefix_for(value: float, unit: str, digits: int) -> tuple[str, float]:
    """The prefix that leaves 1 to 999 in front; farads never show milli (see ``_AMBIGUOUS``)."""
    steps = [("M", 1e6), ("k", 1e3), ("", 1.0), ("m", 1e-3), ("µ", 1e-6), ("n", 1e-9)]
    if unit == "F":
        steps = [("µ", 1e-6), ("n", 1e-9), ("p", 1e-12)]
    steps = [step for step in steps if _respelt(step[0] + unit) in UNITS]
    if value == 0.0:
        return ("µ", 1e-6) if unit == "F" else ("", 1.0)
    rounded = float(f"{abs(value):.{digits - 1}e}")
    for prefix, scale in steps:
        if rounded >= scale * (1 - 1e-9):
            return prefix, scale
    return steps[-1]


def _digits(value: float, digits: int) -> str:
    """``value`` to so many significant digits, without an exponent in the ordinary range."""
    if value == 0.0:
        return "0"
    exponent = math.floor(math.log10(float(f"{abs(value):.{digits - 1}e}")))
    if not -4 <= exponent < 9:
        return f"{value:.{digits}g}"
    decimals = max(digits - 1 - exponent, 0)
    text = f"{round(value, digits - 1 - exponent):.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
