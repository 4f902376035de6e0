"""Bench time passing for the unit: one step of the world as one event.

While nothing turns, switches or holds charge the unit waits, and catches up when somebody looks.
Here and in hazards are the only calls of ``unit.world``. Knows physics; must know no act.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from trainer.base.changing import changed
from trainer.circuit.channels import Channel, Trace
from trainer.session import capturing
from trainer.session.bench import Bench
from trainer.session.events import Happening
from trainer.session.starting import start_data, start_lines
from trainer.unit import world
from trainer.unit.circuit import Link, parts_of
from trainer.unit.state import Unit, electrics_to_plain

#: Direct volts on a capacitor worth calling charged.
CHARGED_V = 0.5
#: Volts of a unit at rest may be of so long ago. [ms]
STALE_MS = 60_000
#: Happenings told in one event.
TOLD_MOST = 60


@dataclass(frozen=True)
class Step:
    """What a step gave: the bench after it and the events that say so."""

    bench: Bench
    events: tuple[Happening, ...]
    traces: tuple[Trace, ...] = ()


def waits(bench: Bench) -> bool:
    """Whether time may pass without asking the world."""
    return not bench.moving and not bench.charged


def pass_time(bench: Bench, ms: int) -> Step:
    """``ms`` later; asks the world only when something is going on."""
    if waits(bench):
        later = changed(bench, at_ms=bench.at_ms + ms)
        return Step(later, (Happening(later.at_ms, "passed", {"ms": ms}),))
    return step(bench, ms)


def fresh(bench: Bench) -> bool:
    """Whether volts and amps of the unit are those of now: nothing goes on, and not for long.

    Heat and pressure go on meanwhile, which ohms would show and volts do not.
    """
    return waits(bench) and bench.at_ms - bench.unit.at_ms <= STALE_MS


def catch_up(bench: Bench) -> Step:
    """The unit brought to bench time."""
    if bench.unit.at_ms >= bench.at_ms:
        return Step(bench, ())
    return step(bench, 0)


def step(
    bench: Bench,
    ms: int,
    moves: tuple[tuple[str, str], ...] = (),
    extra: Sequence[Link] = (),
    more: Sequence[Channel] = (),
) -> Step:
    """Move the world: catch up first, then ``moves`` and ``ms`` more, recording ``more``."""
    lag = bench.at_ms - bench.unit.at_ms
    found: tuple[Happening, ...] = ()
    if lag > 0 and (moves or extra):
        first = _advance(bench, lag, (), ())
        bench, found, lag = first.bench, first.events, 0
    after = _advance(bench, lag + ms, moves, extra, more)
    return Step(after.bench, (*found, *after.events), after.traces)


def _advance(
    bench: Bench,
    ms: int,
    moves: tuple[tuple[str, str], ...],
    extra: Sequence[Link],
    more: Sequence[Channel] = (),
) -> Step:
    began = bench.unit.at_ms
    lines = [*start_lines(bench.unit), *capturing.lines(bench), *more]
    advance = world.advance(bench.unit, ms, moves, extra, lines, stride=4, watch=bool(more))
    unit = advance.unit
    told = [[began + round(1000.0 * e.t_s), e.kind, e.name] for e in advance.events]
    later, event = electrics(bench, unit, dict(moves), told[:TOLD_MOST])
    events = [event]
    caught = capturing.caught(bench, later.at_ms, advance.traces)
    later = capturing.after(later, caught)
    events += caught
    acts = [a for part, verb in moves for a in world.contacts_of(bench.unit, part, verb)]
    started = start_data(bench.unit, bench.hums, advance.traces, advance.events, acts, ms / 1000.0)
    if started:
        events.append(Happening(later.at_ms, "start", started))
    return Step(later, tuple(events), advance.traces)


def electrics(
    bench: Bench, unit: Unit, hands: dict[str, str], told: list[list[Any]]
) -> tuple[Bench, Happening]:
    """The bench with a unit whose state has changed, and the event that carries it."""
    moving, charged, hums = activity(unit)
    data = {
        "state": electrics_to_plain(unit.electrics),
        "slow": {name: dict(s) for name, s in unit.slow.items()},
        "settled": unit.settled,
        "unit_ms": unit.at_ms,
        "hands": hands,
        "moving": moving,
        "charged": charged,
        "hums": list(hums),
        "happenings": told,
    }
    at_ms = max(unit.at_ms, bench.at_ms)
    later = changed(bench, unit=unit, at_ms=at_ms, moving=moving, charged=charged, hums=hums)
    return later, Happening(at_ms, "electrics", data)


class Activity(NamedTuple):
    """Something turns, is fed or is called for; a capacitor holds direct volts; who hums."""

    moving: bool
    charged: bool
    hums: tuple[str, ...]


def activity(unit: Unit) -> Activity:
    now = world.going_on(unit)
    return Activity(now.moving or calling(unit), now.charged_v > CHARGED_V, now.hums)


def calling(unit: Unit) -> bool:
    """Whether a thermostat asks for anything."""
    stats = [n for n, p in parts_of(unit.parts).items() if p.role == "thermostat"]
    return any(unit.electrics.closed.get(f"{name}~Y", False) for name in stats)
