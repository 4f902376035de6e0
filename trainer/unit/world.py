"""Moves a unit through time: the only caller of the solver for a unit.

A transient wherever something moves, phasors and slow states otherwise, an exact decay of charge
where nothing is energised. What the circuit remembers (charges, currents, fluxes, heat, speeds,
welded contacts) and the states of slow rules go from one call to the next in the unit itself.
Knows analyses; must know no act, no person and no right answer.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from trainer.base.errors import TrainerError, quoted
from trainer.circuit.channels import Channel, Event, Trace
from trainer.circuit.devices import acting_order, remembered_sources
from trainer.circuit.elements import Elements, Ptc, Resistor
from trainer.circuit.layout import HAND_BIT
from trainer.circuit.longrun import LongRun, Stretch
from trainer.circuit.measure import Left
from trainer.circuit.running import SlowRule, Steady
from trainer.circuit.state import CircuitState
from trainer.circuit.transient import Transient
from trainer.parts import Part
from trainer.parts.slow import DefrostRule, HeaterRule, PressureRule, rules_of
from trainer.unit.circuit import Link, elements_of, parts_of
from trainer.unit.layout import Layout, unit_of
from trainer.unit.state import Unit

#: A shaft slower than this stands [rad/s].
STANDS_RAD_S = 1.0
#: A shaft this near to where a steady one would be in its swing is steady. [rad/s]
SWINGS_RAD_S = 15.0
#: A fed motor slower than this hums and does not turn. [rad/s]
HUMS_RAD_S = 5.0
#: The reason to be open that belongs to a hand or a call.
HAND = 1 << HAND_BIT
#: What a slow rule remembers, by its kind.
REMEMBERED = {
    PressureRule: ("pressure_pa", "charge"),
    HeaterRule: ("shell_c",),
    DefrostRule: ("coil_c", "clock_s", "defrosting"),
}


@dataclass(frozen=True)
class Advance:
    """A unit later, and what happened: ``events`` with times from the beginning of the call."""

    unit: Unit
    events: tuple[Event, ...] = ()
    traces: tuple[Trace, ...] = ()
    stretches: tuple[Stretch, ...] = ()


@dataclass
class _Run:
    """One call of ``advance`` under way."""

    unit: Unit
    elements: Elements
    rules: list[SlowRule]
    state: CircuitState
    acts: list[tuple[str, bool]]
    events: list[Event] = field(default_factory=list)
    traces: list[Trace] = field(default_factory=list)
    stretches: list[Stretch] = field(default_factory=list)
    settled: bool = False


def at_rest(layout: Layout, name: str = "") -> Unit:
    """The unit of a layout with contacts as its parts say and everything discharged and cold."""
    return remembering(unit_of(layout, name))


def at_rest_in(unit: Unit, hands: Mapping[str, str]) -> Unit:
    """The unit at rest with verbs done to parts long ago: contacts moved, nothing in motion yet."""
    unit = remembering(unit)
    for part, verb in hands.items():
        closed, reasons = dict(unit.electrics.closed), dict(unit.electrics.reasons)
        for contact, to in contacts_of(unit, part, verb):
            held = reasons.get(contact, 0)
            reasons[contact] = held & ~HAND if to else held | HAND
            closed[contact] = reasons[contact] == 0
        electrics = replace(unit.electrics, closed=closed, reasons=reasons)
        unit = replace(unit, electrics=electrics, hands={**unit.hands, part: verb})
    return unit


def remembering(unit: Unit) -> Unit:
    """The unit with a remembered state for every element it has now."""
    return replace(unit, electrics=completed(elements_of(unit)[0], unit.electrics))


def advance(
    unit: Unit,
    dt_ms: int,
    moves: Iterable[tuple[str, str]] = (),
    extra: Sequence[Link | Resistor] = (),
    channels: Sequence[Channel] = (),
    stride: int = 8,
    watch: bool = False,
) -> Advance:
    """The unit ``dt_ms`` later; ``moves`` are (part, verb) done at the beginning.

    ``watch``: the channels are wanted as waves from the first instant, whatever goes on.

    Times of events and traces count from the beginning of the call [s].
    """
    if dt_ms < 0:
        raise TrainerError("time does not run backwards", hint="a time of 0 ms or more")
    todo = tuple(moves)
    acts = [a for part, verb in todo for a in contacts_of(unit, part, verb)]
    elements, _ = elements_of(unit, extra)
    rules = _rules(unit, elements)
    state = replace(completed(elements, unit.electrics), t_s=0.0)
    run = _Run(unit, elements, rules, state, acts)
    until = dt_ms / 1000.0
    # what is added acts at once: a blade trips a breaker in milliseconds
    steady = None if acts or extra or watch else _repeating(run, unit.settled)
    if steady is not None:
        _steadily(run, steady, until)
    if run.acts or run.state.t_s < until - 1e-9:
        _in_motion(run, until, channels, stride)
    return _later(run, dt_ms, todo)


def move(unit: Unit, part: str, verb: str, dt_ms: int = 1000) -> Advance:
    """A hand does ``verb`` to a part and ``dt_ms`` pass."""
    return advance(unit, dt_ms, ((part, verb),))


def contacts_of(unit: Unit, part: str, verb: str) -> tuple[tuple[str, bool], ...]:
    """The contacts that a verb moves. Raises TrainerError in words a person can use."""
    parts = parts_of(unit.parts)
    if part not in parts:
        raise TrainerError(f"there is nothing called {quoted(part)} to move")
    verbs = parts[part].hand(part)
    if verb not in verbs:
        can = " or ".join(verbs) or "nothing"
        raise TrainerError(f"{part} cannot be told to {quoted(verb)}", hint=f"it does {can}")
    return verbs[verb]


def left(unit: Unit) -> Left:
    """The unit's state as an instrument takes it."""
    s = unit.electrics
    return Left(
        closed=s.closed,
        speeds=mean_speeds(elements_of(unit)[0], s, unit.settled),
        charge_v=trapped_v(unit),
        temps={n: (m.main_c, m.aux_c) for n, m in s.machines.items()},
        ohms=s.resistor_ohms,
    )


def mean_speeds(elements: Elements, state: CircuitState, settled: bool) -> dict[str, float]:
    """Speed of every shaft [rad/s]: its mean where it swings as a steady one does, else now's.

    A running shaft swings about its mean at twice the line's frequency, so the speed of one
    instant is no steady speed; one that still gathers speed swings about no mean.
    """
    now = {name: m.speed_rad_s for name, m in state.machines.items()}
    if not any(now.values()):
        return now
    steady = Steady(elements, replace(state, t_s=0.0))
    swings = steady.instant().machines
    off = [abs(swings[name].speed_rad_s - speed) for name, speed in now.items()]
    return dict(steady.speeds) if settled or max(off) < SWINGS_RAD_S else now


def trapped_v(unit: Unit) -> dict[str, float]:
    """Direct volts on every capacitor: what is there beside the alternating ones [V]."""
    elements, _ = elements_of(unit)
    return trapped_of(elements, completed(elements, unit.electrics))


def trapped_of(elements: Elements, state: CircuitState) -> dict[str, float]:
    """As ``trapped_v``, of a circuit: exact when nothing turns or cycles repeat."""
    return Steady(elements, replace(state, t_s=0.0)).trapped_v


def quiet(elements: Elements, state: CircuitState) -> bool:
    """Whether nothing turns and no motor winding is fed, so that only charge and heat move."""
    return stands(state) and Steady(elements, state).is_quiet


def stands(state: CircuitState) -> bool:
    return all(abs(m.speed_rad_s) <= STANDS_RAD_S for m in state.machines.values())


#: What went on lately, by the very circuit and what it remembers: most acts change neither.
RECENT_MOST = 4
_RECENT: list[tuple[Elements, CircuitState, GoingOn]] = []


@dataclass(frozen=True)
class GoingOn:
    """``moving``: something turns, is fed or wants to switch. ``charged_v``: most direct volts on
    any capacitor. ``hums``: motors that are fed and stand."""

    moving: bool
    charged_v: float
    hums: tuple[str, ...]


def going_on(unit: Unit) -> GoingOn:
    """What happens in a unit left to itself."""
    elements, _ = elements_of(unit)
    for known, state, found in _RECENT:
        if known is elements and state == unit.electrics:
            return found
    found = _going_on(elements, unit.electrics)
    _RECENT.append((elements, unit.electrics, found))
    del _RECENT[:-RECENT_MOST]
    return found


def _going_on(elements: Elements, electrics: CircuitState) -> GoingOn:
    state = replace(completed(elements, electrics), t_s=0.0)
    steady = Steady(elements, state)
    most = max((abs(v) for v in steady.trapped_v.values()), default=0.0)
    hums = tuple(
        m.name
        for m in elements.machines
        if abs(state.machines[m.name].speed_rad_s) < HUMS_RAD_S and steady.fed(m.name)
    )
    return GoingOn(bool(hums) or not (stands(state) and steady.is_quiet), most, hums)


def completed(elements: Elements, state: CircuitState) -> CircuitState:
    """The state with every element of this circuit in it and no other; new ones from rest."""
    pills = {d.resistor for d in elements.devices if isinstance(d, Ptc)}
    ohms = {n: v for n, v in state.resistor_ohms.items() if n in pills}
    kept = _sources_as_built(elements, replace(state, resistor_ohms=ohms))
    if _complete(elements, kept):
        return kept
    fresh = Transient(elements, state=kept).snapshot()
    now = {n: v for n, v in fresh.resistor_ohms.items() if n in pills}
    return replace(fresh, resistor_ohms=now)


def _sources_as_built(elements: Elements, state: CircuitState) -> CircuitState:
    """What only a device may change of a source is as its part says where none has done so."""
    driven = remembered_sources(elements, state)
    if len(elements.sources) != len(state.source_peak):
        return state
    peaks, hertz = list(state.source_peak), list(state.source_hz)
    for q, source in enumerate(elements.sources):
        if q not in driven:
            peaks[q], hertz[q] = source.volts_peak, source.hz
    return replace(state, source_peak=tuple(peaks), source_hz=tuple(hertz))


def _complete(elements: Elements, state: CircuitState) -> bool:
    return (
        {s.name for s in elements.switches} == set(state.closed)
        and {c.name for c in elements.capacitives} == set(state.capacitor_v)
        and {i.name for i in elements.inductives} == set(state.inductive_a)
        and {m.name for m in elements.machines} == set(state.machines)
        and {d.name for d in elements.devices} == set(state.devices)
        and tuple(d.name for d in acting_order(elements)) == state.holders
        and len(elements.sources) == len(state.source_turns)
    )


def _rules(unit: Unit, elements: Elements) -> list[SlowRule]:
    """The slow rules of this unit's parts, each with what it remembered."""
    parts = parts_of(unit.parts)
    rules = rules_of(parts, elements, _of_role(parts, "compressor"), _of_role(parts, "fan"))
    for name, rule in _named(rules):
        for key, value in unit.slow.get(name, {}).items():
            setattr(rule, key, value)
    return rules


def _named(rules: Iterable[SlowRule]) -> Iterable[tuple[str, SlowRule]]:
    for rule in rules:
        own = rule.contact.partition("~")[0] if isinstance(rule, PressureRule) else rule.name  # type: ignore[attr-defined]
        yield own, rule


def _remembered(rules: Iterable[SlowRule]) -> dict[str, Mapping[str, Any]]:
    return {
        name: {key: getattr(rule, key) for key in REMEMBERED[type(rule)]}
        for name, rule in _named(rules)
    }


def _of_role(parts: Mapping[str, Part], role: str) -> str | None:
    return next((n for n, p in parts.items() if p.role == role), None)


def _repeating(run: _Run, settled: bool) -> Steady | None:
    """The steady state this unit is in: known to repeat, or with nothing turning and fed."""
    if not settled and not stands(run.state):
        return None
    steady = Steady(run.elements, run.state, run.rules)
    return steady if settled or steady.is_quiet else None


def _steadily(run: _Run, steady: Steady, until_s: float) -> None:
    """As far as cycles repeat; what wants to switch is left as acts for the transient."""
    steady.run(until_s)
    run.stretches.append(Stretch("running", 0.0, steady.t_s, steady.why))
    run.state = steady.instant()
    run.acts = list(steady.moves)
    run.settled = steady.why == "time"


def _in_motion(run: _Run, until_s: float, channels: Sequence[Channel], stride: int) -> None:
    long = LongRun(run.elements, channels, rules=run.rules, state=run.state, stride=stride)
    for contact, closed in run.acts:
        long.act(run.state.t_s, contact, closed)
    # the first act needs a step to land in, even when no time passes
    history = long.run(max(until_s, run.state.t_s + 1e-3))
    run.state = long.state()
    run.events += history.events
    run.traces += history.traces
    run.stretches += history.stretches
    run.settled = long.mode == "running"


def _later(run: _Run, dt_ms: int, todo: tuple[tuple[str, str], ...]) -> Advance:
    pills = {d.resistor for d in run.elements.devices if isinstance(d, Ptc)}
    ohms = {n: v for n, v in run.state.resistor_ohms.items() if n in pills}
    unit = replace(
        run.unit,
        electrics=replace(run.state, resistor_ohms=ohms),
        slow={**run.unit.slow, **_remembered(run.rules)},
        hands={**run.unit.hands, **dict(todo)},
        at_ms=run.unit.at_ms + dt_ms,
        settled=run.settled,
    )
    return Advance(unit, tuple(run.events), tuple(run.traces), tuple(run.stretches))
