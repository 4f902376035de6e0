"""Start capacitor and potential relay as a pair, and the soft starter's class.

A maker's table is followed first. Without one the first shipped capacitor is taken that turns
the load on a low line and has a relay class that fits. Knows the motor by
its phasors; must know no course of a start.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from trainer.base.units import show
from trainer.motor import psc
from trainer.motor.params import MotorParams
from trainer.parts.gear import RelayClass
from trainer.sizing import relay, start_capacitor
from trainer.sizing.nameplate_file import MakerTable
from trainer.sizing.ruled import Ruled
from trainer.sizing.sizing import RelayKit
from trainer.sizing.tables import StartCapacitor, start_gear

#: Standing torque on a low line over the load's torque at rest. Invented margin.
TORQUE_MARGIN = 1.25
#: A sheet gives the highest drop-out only; a relay may let go as low as this share. Invented.
LEAST_DROPOUT_SHARE = 0.5
_INVENTED = "classes invented for this program; rules common practice, no source"


@dataclass(frozen=True)
class Case:
    """One motor on its line with what it must turn: what every choice here needs."""

    params: MotorParams
    line: psc.Line
    rla_a: float
    rated_slip: float
    at_rest_nm: float


def from_maker(case: Case, table: MakerTable) -> RelayKit | None:
    """The kit of the maker's table, with what the rules here hold against it."""
    if table.start_capacitor is None or table.relay is None:
        return None
    row = table.relay
    low, high = table.start_capacitor
    needed = _needs(case, table.start_capacitor, row.pickup)
    return RelayKit(
        label=f"{show(low, 'F').split()[0]}-{show(high, 'F')}",
        range_f=table.start_capacitor,
        relay="as the sheet gives it",
        pickup_v=row.pickup,
        dropout_v=(LEAST_DROPOUT_SHARE * row.dropout_most, row.dropout_most),
        continuous_v=row.continuous,
        source=f"maker's start-parts table ({table.sheet}), which comes first",
        from_maker=True,
        misfits=tuple(relay.misfits(row, needed)),
    )


def by_rules(case: Case) -> Iterator[RelayKit]:
    """Shipped capacitors that turn the load, each with the relay class that fits it.

    Inside the rules of thumb the smallest first; then all others, the nearest to them first: the
    motor's own volts win.
    """
    return (pair for pair, faults in _pairs(case) if not faults)


def nearly(case: Case) -> Iterator[RelayKit]:
    """Pairs with just one thing against them, named in ``misfits``: for a simulated start to judge.

    The rules take every bound at its worst at once; such a pair may still start cleanly.
    """
    for pair, faults in _pairs(case):
        if len(faults) == 1:
            yield replace(pair, misfits=(*pair.misfits, *faults))


def _pairs(case: Case) -> Iterator[tuple[RelayKit, list[str]]]:
    """Every capacitor that turns the load with every relay class, and what is against the pair."""
    inside, others = start_capacitor.in_order(case.rla_a, case.line.run_f)
    for can in [*inside, *others]:
        if not turns_the_load(case, can.range[0]):
            continue
        for name, row in start_gear().relay_classes.items():
            faults = relay.misfits(row, _needs(case, can.range, row.pickup))
            yield _kit(can, name, row, outside=can in others), faults


def turns_the_load(case: Case, start_f: float) -> bool:
    """Whether standing torque on an 85 % line beats the load at rest by a quarter."""
    low = replace(case.line, volts=relay.LOW_LINE * case.line.volts)
    torque = start_capacitor.standstill_torque(case.params, low, start_f)
    return torque >= TORQUE_MARGIN * case.at_rest_nm


def figures(case: Case, kit: RelayKit | None) -> dict[str, Ruled]:
    """Windows of start capacitor and relay by name."""
    if kit is None:
        return {"start_capacitor": _no_kit(case)}
    need = _needs(case, kit.range_f, kit.pickup_v)
    return {
        "start_capacitor": _window(case, kit),
        "relay_pickup": need.pickup,
        "relay_dropout": need.dropout,
        "relay_continuous": need.continuous,
    }


def starter_class(rla_a: float, lra_a: float) -> Ruled:
    """Smallest class with 1.25 RLA and LRA inside; None when the table ends before it."""
    rule = "1.25 times RLA within the class and LRA within six times the class"
    for name, row in start_gear().starter_classes.items():
        if 1.25 * rla_a <= row.amps and lra_a <= row.locked_amps:
            return Ruled(name, "", rule, _INVENTED)
    return Ruled(None, "", rule, _INVENTED, "larger than every shipped class")


def _needs(case: Case, range_f: tuple[float, float], pickup_v: tuple[float, float]) -> relay.Needs:
    start_f, middle = start_capacitor.middle_f(range_f), sum(pickup_v) / 2.0
    return relay.needs(case.params, case.line, start_f, case.rated_slip, middle)


def _kit(can: StartCapacitor, name: str, row: RelayClass, outside: bool) -> RelayKit:
    note = ("outside the rules of thumb: the motor's own volts decide",) if outside else ()
    return RelayKit(
        label=can.label,
        range_f=can.range,
        relay=f"class {name}",
        pickup_v=row.pickup,
        dropout_v=(row.dropout_least, row.dropout_most),
        continuous_v=row.continuous,
        source=_INVENTED,
        misfits=note,
    )


def _window(case: Case, kit: RelayKit) -> Ruled:
    """Microfarads that go with the kit's relay: rule of thumb cut off where V(S-C) is too high."""
    thumb = start_capacitor.by_rule_of_thumb(case.rla_a, case.line.run_f)
    most = start_capacitor.most_by_standstill(case.params, case.line, kit.pickup_v[0])
    limit = most.number if most.value is not None else 0.0
    low, high = thumb.window if thumb.value else (kit.range_f[0], limit)
    window = min(low, kit.range_f[0]), max(min(high, limit), kit.range_f[1])
    rule = f"{thumb.rule}, and {most.rule} ({show(limit, 'F')})"
    found = Ruled(window, "F", rule, most.source, f"{kit.label} with relay {kit.relay}")
    remarks = [remark for remark in (thumb.note, most.note) if remark]
    return found.noted("; ".join(remarks)) if remarks else found


def _no_kit(case: Case) -> Ruled:
    thumb = start_capacitor.by_rule_of_thumb(case.rla_a, case.line.run_f)
    note = "no shipped pair of start capacitor and relay class suits this motor and its load"
    return thumb.noted(note)
