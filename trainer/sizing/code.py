"""Code arithmetic on nameplate amps: conductors, breaker, disconnect, locked-rotor amps.

Knows the articles of NEC 2023 that concern a hermetic motor-compressor and the shipped tables;
must know no circuit and no motor model. Every answer carries its rule and source. For study: the
equipment's own marking and the adopted edition decide on a job.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from trainer.base.errors import TrainerError
from trainer.base.units import show
from trainer.sizing.ruled import Ruled
from trainer.sizing.tables import Ampacity, MotorAmpsRow, codes

CONDUCTOR_FACTOR = 1.25
BREAKER_FACTOR = 1.75
BREAKER_FACTOR_IF_NO_START = 2.25
DISCONNECT_FACTOR = 1.15
UNMARKED_LOCKED_FACTOR = 6.0
LEAST_BREAKER_A = 15.0
#: Sums of decimal nameplate amps carry rounding of about 1e-15; this is no real ampere.
_ROUNDING_A = 1e-9


def minimum_circuit_ampacity(
    rla_a: float, others_a: Iterable[float] = (), selection_a: float | None = None
) -> Ruled:
    """Least ampacity of the conductors: 1.25 RLA + the other loads [A].

    ``selection_a`` is the branch-circuit selection current, which counts when it is greater.
    NEC 2023 440.32, 440.33, 440.35.
    """
    value = CONDUCTOR_FACTOR * _rated(rla_a, selection_a) + sum(others_a)
    rule = "125 % of the compressor's rated-load amps plus every other load at 100 %"
    return Ruled(value, "A", rule, "NEC 2023 440.32, 440.33 and 440.35")


def maximum_breaker(
    rla_a: float,
    others_a: Sequence[float] = (),
    selection_a: float | None = None,
    will_not_start: bool = False,
) -> Ruled:
    """Largest breaker or fuse [A].

    A compressor alone: 175 % of RLA, the next standard size up allowed. With other loads: that
    value plus the other loads, not to be exceeded, so the size below. ``will_not_start`` gives
    225 %, never exceeded. No rating is required to be under 15 A. NEC 2023 440.22(A), (B)(1).
    """
    ceiling = breaker_ceiling(rla_a, others_a, selection_a, will_not_start)
    if others_a or will_not_start:
        value = max(_size_at_or_below(ceiling.number), LEAST_BREAKER_A)
        step = "the standard size at or below it"
    else:
        value = max(_size_at_or_above(ceiling.number), LEAST_BREAKER_A)
        step = "the next standard size up is allowed"
    worked = f"{ceiling.number:.1f} A; {step}"
    if others_a and not will_not_start:
        worked += " (rounding down is common practice, no source)"
    return Ruled(value, "A", f"{ceiling.rule} = {worked}", f"{ceiling.source} and 240.6(A)")


def breaker_ceiling(
    rla_a: float,
    others_a: Sequence[float] = (),
    selection_a: float | None = None,
    will_not_start: bool = False,
) -> Ruled:
    """The figure before a standard size is taken [A]. NEC 2023 440.22(A), (B)(1)."""
    factor = BREAKER_FACTOR_IF_NO_START if will_not_start else BREAKER_FACTOR
    value = factor * _rated(rla_a, selection_a) + sum(others_a)
    source = "NEC 2023 440.22(A)"
    source += " Exception 2" if will_not_start else "" if others_a else " Exception 1"
    source += ", 440.22(B)(1)" if others_a else ""
    rule = f"{factor:.0%} of rated-load amps".replace("%", " %")
    return Ruled(value, "A", rule + (" plus the other loads" if others_a else ""), source)


def disconnect_least(
    rla_a: float, others_a: Iterable[float] = (), selection_a: float | None = None
) -> Ruled:
    """Least ampere rating of the disconnect: 115 % of RLA, or of the sum with other loads [A].

    NEC 2023 440.12(A)(1); the sum is 440.12(B)(2) (from memory).
    """
    others = sum(others_a)
    value = DISCONNECT_FACTOR * (_rated(rla_a, selection_a) + others)
    source = "NEC 2023 440.12(A)(1)" + (", 440.12(B)(2) (from memory)" if others else "")
    what = "the sum of all rated-load currents" if others else "the rated-load amps"
    return Ruled(value, "A", f"115 % of {what}", source)


def locked_rotor_unmarked(rla_a: float) -> Ruled:
    """Locked-rotor amps of a compressor that has none marked: 6 RLA [A]. NEC 2023 440.12(C)."""
    value = UNMARKED_LOCKED_FACTOR * rla_a
    return Ruled(value, "A", "six times the rated-load amps", "NEC 2023 440.12(C)")


def locked_rotor_by_letter(letter: str, horsepower: float, volts: float) -> Ruled:
    """Locked-rotor amps, least and most, of a single-phase motor by its code letter [A].

    I = kVA/hp * hp * 1000 / V; the most is 0.01 kVA/hp under the next letter, as the table
    prints it. NEC 2023 Table 430.7(B). The last letter has no upper end: most equals infinity.
    """
    low, high = _letter_range(letter)
    amps_per = horsepower * 1000.0 / volts
    rule = f"code letter {letter}: kVA per horsepower times horsepower, over volts"
    return Ruled((low * amps_per, high * amps_per), "A", rule, codes().code_letters.source)


def full_load_current(horsepower: float, volts: float) -> Ruled:
    """Full-load amps of a single-phase motor by horsepower, 208 or 230 V [A]. Table 430.248."""
    row = _motor_row(horsepower)
    value = row.full_208 if _is_208(volts) else row.full_230
    return Ruled(value, "A", f"{horsepower:g} hp, table", "NEC 2023 Table 430.248")


def locked_rotor_current(horsepower: float, volts: float) -> Ruled:
    """Locked-rotor amps for choosing a disconnect, 208 or 230 V [A]. Table 430.251(A)."""
    row = _motor_row(horsepower)
    value = row.locked_208 if _is_208(volts) else row.locked_230
    return Ruled(value, "A", f"{horsepower:g} hp, table", "NEC 2023 Table 430.251(A)")


def conductor(
    ampacity_a: float, terminals_c: int = 60, insulation_c: int = 75, ambient_c: float = 30.0
) -> Ruled:
    """Smallest copper conductor that carries ``ampacity_a`` at its terminals and in its place.

    At the terminals the column of their rating, 60 degC up to 100 A unless listed for more; along
    the run the insulation's column times the ambient factor. Columns 60 and 75; ambient up to
    45 degC. NEC 2023 110.14(C)(1)(a), 310.16; the small-conductor limit of 240.4(D) gives way to
    Article 440 by 240.4(G).
    """
    share = ambient_factor(ambient_c, insulation_c)
    for name, row in codes().ampacity.copper.items():
        at_terminals, along = _column(row, terminals_c), _column(row, insulation_c) * share
        if min(at_terminals, along) + _ROUNDING_A >= ampacity_a:
            return Ruled(name, "AWG", _conductor_rule(terminals_c, insulation_c, ambient_c),
                         "NEC 2023 110.14(C)(1)(a), Table 310.16, 240.4(G)")  # fmt: skip
    raise TrainerError(
        f"no copper conductor of the shipped table carries {show(ampacity_a, 'A')}",
        hint="look the size up in the adopted code; the table here ends at 4 AWG",
    )


def ambient_factor(ambient_c: float, insulation_c: int) -> float:
    """Share of the ampacity left at ``ambient_c``; 1 up to 30 degC. NEC 2023 310.15(B)."""
    for row in codes().ambient.rows:
        if ambient_c <= row.most:
            return row.at_60_c if insulation_c == 60 else row.at_75_c
    raise TrainerError(
        f"{ambient_c:g} °C is warmer than the shipped ambient table",
        hint="look the factor up in the adopted code; the table here ends at 45 degC",
    )


def _rated(rla_a: float, selection_a: float | None) -> float:
    return max(rla_a, selection_a or 0.0)


def _size_at_or_above(amps: float) -> float:
    for size in codes().standard_sizes.amps:
        if size + _ROUNDING_A >= amps:
            return size
    raise _beyond(amps)


def _size_at_or_below(amps: float) -> float:
    sizes = codes().standard_sizes.amps
    if amps > sizes[-1] + _ROUNDING_A:
        raise _beyond(amps)
    return max((size for size in sizes if size <= amps + _ROUNDING_A), default=LEAST_BREAKER_A)


def _beyond(amps: float) -> TrainerError:
    return TrainerError(
        f"{show(amps, 'A')} is beyond the shipped list of standard sizes",
        hint="check the rated-load amps: the list ends at 100 A",
    )


def _letter_range(letter: str) -> tuple[float, float]:
    table = codes().code_letters.from_kva_per_hp
    if letter not in table:
        raise TrainerError(f"{letter!r} is no code letter", hint=f"use one of {' '.join(table)}")
    above = sorted(value for value in table.values() if value > table[letter])
    return table[letter], (round(above[0] - 0.01, 2) if above else float("inf"))


def _motor_row(horsepower: float) -> MotorAmpsRow:
    table = codes().motor_amps.rows
    for row in table:
        if row.hp == horsepower:
            return row
    listed = ", ".join(f"{row.hp:g}" for row in table)
    raise TrainerError(f"{horsepower:g} hp is not in the table", hint=f"use one of {listed}")


def _is_208(volts: float) -> bool:
    """208 V column for 200-215 V, 230 V column for 220-240 V."""
    if 200.0 <= volts <= 215.0:
        return True
    if 220.0 <= volts <= 240.0:
        return False
    raise TrainerError(f"{show(volts, 'V')} has no column in the table", hint="use 208 V or 230 V")


def _column(row: Ampacity, column_c: int) -> float:
    value = {60: row.at_60_c, 75: row.at_75_c}.get(column_c)
    if value is None:
        raise TrainerError(f"no {column_c} °C column", hint="use 60 or 75")
    return float(value)


def _conductor_rule(terminals_c: int, insulation_c: int, ambient_c: float) -> str:
    text = f"smallest copper in the {terminals_c} °C column of the terminals"
    if ambient_c > 30.0 or insulation_c < terminals_c:
        text += f", and in the {insulation_c} °C insulation column at {ambient_c:g} °C around it"
    return text
