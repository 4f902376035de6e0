"""Acts of switching, locking, covers and waiting. Knows these acts only; no right order."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from trainer.base.tongue import capital
from trainer.session import acts
from trainer.session.doing import HUM_MS, Doing, Refused
from trainer.session.hearing import heard
from trainer.session.times import cost_ms
from trainer.unit.circuit import parts_of
from trainer.unit.waiting import settled
from trainer.unit.world import contacts_of

#: A called unit is listened to this long. [ms]
LISTEN_MS = 10_000
#: Pieces in which a wait until something goes on, and its end. [ms]
FIRST_WAIT_MS, MOST_WAIT_MS, LONGEST_WAIT_MS = 2_000, 120_000, 14_400_000
CALLS = {"call": "call", "off": "uncall", "cool": "cool", "heat": "heat"}


def thermostat(doing: Doing, act: acts.Thermostat) -> None:
    contacts_of(doing.bench.unit, act.part, CALLS[act.to])
    _move(doing, act.part, CALLS[act.to], cost_ms(act.act))
    verbs = parts_of(doing.bench.unit.parts)[act.part].hand(act.part)
    calls = {contact for verb in CALLS.values() for contact, _ in verbs.get(verb, ())}
    closed = doing.bench.unit.electrics.closed
    asked = [name.partition("~")[2] for name in closed if name in calls and closed[name]]
    doing.say(f"{act.part} asks for {', '.join(asked) or 'nothing'}.")


def open_it(doing: Doing, act: acts.Open) -> None:
    _handle(doing, act.part, "open", cost_ms(act.act))


def close_it(doing: Doing, act: acts.Close) -> None:
    _handle(doing, act.part, "close", cost_ms(act.act))


def _handle(doing: Doing, part: str, verb: str, ms: int) -> None:
    contacts = contacts_of(doing.bench.unit, part, verb)
    lock = doing.bench.locks.get(part)
    if lock is not None:
        raise Refused(f"The handle of {part} does not move: {lock.owner}'s lock is on it.")
    now = doing.bench.unit.electrics.closed
    if all(now.get(contact) == to for contact, to in contacts):
        raise Refused(f"{part} is {verb if verb == 'open' else 'closed'} already.")
    _move(doing, part, verb, ms)
    doing.say(f"{capital(part)} is {'open' if verb == 'open' else 'closed'}.")


def _move(doing: Doing, part: str, verb: str, ms: int) -> None:
    before, first = doing.bench, len(doing.found)
    doing.step(min(ms, HUM_MS), ((part, verb),))
    if ms > HUM_MS and not before.hums and not doing.bench.hums:
        doing.step(ms - HUM_MS)
    doing.say(heard(before, doing.bench, doing.found[first:]))


def try_start(doing: Doing, act: acts.TryStart) -> None:
    _move(doing, act.part, "call", LISTEN_MS)
    doing.did("try start", act.part)
    _move(doing, act.part, "uncall", cost_ms(act.act))


def lock(doing: Doing, act: acts.LockIt) -> None:
    feed = next((f for f in doing.site.feeds if f.isolated_by == act.part), None)
    if act.part not in doing.bench.unit.parts:
        raise Refused(f"There is no {act.part} here.")
    lockable = feed.lockable if feed else act.part == "breaker"
    if not lockable:
        raise Refused(f"{act.part} has no place for a lock.")
    if act.part in doing.bench.locks:
        raise Refused(f"{act.part} has a lock on it already.")
    now = doing.bench.unit.electrics.closed
    if any(now.get(c, False) for c, _ in contacts_of(doing.bench.unit, act.part, "open")):
        raise Refused(f"The hasp of {act.part} takes a lock only with the handle off.")
    doing.pass_time(cost_ms(act.act))
    doing.emit("locked", part=act.part, owner=doing.bench.who)


def tag(doing: Doing, act: acts.TagIt) -> None:
    if act.part not in doing.bench.locks:
        raise Refused(f"There is no lock on {act.part} to hang a tag on.")
    doing.pass_time(cost_ms(act.act))
    doing.emit("tagged", part=act.part, text=act.text)


def unlock(doing: Doing, act: acts.Unlock) -> None:
    lock = doing.bench.locks.get(act.part)
    if lock is None:
        raise Refused(f"There is no lock on {act.part}.")
    if lock.owner != doing.bench.who and act.by == "key":
        raise Refused(f"You have no key: the lock on {act.part} is {lock.owner}'s.")
    doing.pass_time(cost_ms(act.act))
    doing.emit("unlocked", part=act.part)


def take_off(doing: Doing, act: acts.TakeOff) -> None:
    _cover(doing, act.cover, True, cost_ms(act.act))


def put_back(doing: Doing, act: acts.PutBack) -> None:
    _cover(doing, act.cover, False, cost_ms(act.act))


def _cover(doing: Doing, name: str, off: bool, ms: int) -> None:
    if name not in doing.site.covers:
        known = ", ".join(doing.site.covers)
        raise Refused(f"There is no cover called {name}; there are {known}.")
    if doing.site.covers[name].moulded:
        raise Refused(
            f"The {name} is moulded onto its leads and does not come off without them; "
            "what it hides is met where the leads end."
        )
    if (name in doing.bench.unit.covers_off) == off:
        raise Refused(f"The {name} is off already." if off else f"The {name} is on already.")
    doing.pass_time(ms)
    doing.emit("cover", cover=name, off=off)


def wait(doing: Doing, act: acts.Wait) -> None:
    before = doing.bench
    doing.wait(round(1000.0 * act.seconds))
    doing.catch_up()
    doing.say(heard(before, doing.bench, doing.found))


def wait_until(doing: Doing, act: acts.WaitUntil) -> None:
    """Time passes in growing pieces until it is so, at most four hours."""
    before, waited, piece = doing.bench, 0, FIRST_WAIT_MS
    doing.catch_up()
    while not settled(doing.bench.unit, act.what) and waited < LONGEST_WAIT_MS:
        doing.wait(piece)
        doing.catch_up()
        waited, piece = waited + piece, min(round(1.5 * piece), MOST_WAIT_MS)
    doing.say(heard(before, doing.bench, doing.found))
    so = settled(doing.bench.unit, act.what)
    doing.say(f"Waited {waited / 1000:g} s." if so else "After four hours it is still not so.")
    doing.did("wait until", f"{act.what} {waited / 1000:g} s")


def declare(doing: Doing, act: acts.Declare) -> None:
    doing.pass_time(cost_ms(act.act))
    doing.emit("declared")


DO: dict[str, Callable[[Doing, Any], None]] = {
    "thermostat": thermostat, "open": open_it, "close": close_it, "lock": lock, "tag": tag,
    "unlock": unlock, "try start": try_start, "take off": take_off, "put back": put_back,
    "wait": wait, "wait until": wait_until, "declare dead": declare,
}  # fmt: skip
