"""Guided mode: an act that breaks a rule of the job, or takes off the equipment ground, is stopped
before it happens.

The assessor's own rules judge the attempt as it would be after the act. Knows rules, nets and the
author's way; must know no shape.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import count
from typing import TYPE_CHECKING, Any

from trainer.base.errors import TrainerError
from trainer.nets.wires import Joined, wires_of
from trainer.session.acts import Act, Touch, act_from
from trainer.session.attempt import answer
from trainer.session.events import ASKED, Happening
from trainer.view.guiding import done, model, same, steps_left, suggestion
from trainer.view.harm import point
from trainer.view.landing import wrong_landing
from trainer.view.language import spelt, tr
from trainer.view.slips import slip_of

if TYPE_CHECKING:
    from trainer.session.attempt import Running
    from trainer.session.bench import Bench
    from trainer.unit.state import Unit

Data = Mapping[str, Any]
#: Acts by which an end comes off or a conductor out.
OFF = ("lift", "cut", "loosen", "take out")
#: Acts in which fingers come to metal.
HANDS = ("touch", "lift", "cut", "loosen", "land", "torque", "strip", "crimp", "cap", "wipe", "scrape")  # fmt: skip
#: From here on a point is live; below, what it does is told by the happenings. Common practice,
#: as for the assessor's live readings [V].
LIVE_V = 50.0


def mistake(
    header: Data, running: Running, act: Data, found: Sequence[Happening]
) -> dict[str, Any] | None:
    """Why guided mode stops an act of which ``found`` would come, or None; not what it would do to
    anybody, which the happenings say themselves.
    """
    unit = running.bench.unit
    return (
        ground_off(header, unit, act)
        or _live(running.bench, act)
        or _against_rules(header, running, act, found)
        or _closed(header, running, act)
        or _unlocked(header, running, act)
        or _unfinished(header, running, act)
        or wrong_landing(header, unit, act)
    )


def _live(bench: Bench, act: Data) -> dict[str, Any] | None:
    """Fingers or the discharge tool on a point that is fed: gloves may keep a shock away and
    still be no way to work.
    """
    kind = act["act"]
    if kind == "discharge":
        bare: Act = Touch(act="touch", place=act["a"], other=act["b"])
    elif kind in HANDS and bench.ppe:
        bare = act_from(dict(act))
    elif kind == "tug" and (place := _landed(bench.unit, act)):
        bare = Touch(act="touch", place=place)
    else:
        return None
    felt = answer(replace(bench, ppe=frozenset()), bare)
    shock = next((h.data for h in felt if h.kind == "shock" and h.data["volts_ac"] > LIVE_V), None)
    if shock is None:
        return None
    a, b = point(shock["place"]), point(shock["other"])
    told = tr("{a} is live: {volts:.0f} V ac to {b}.", a=a, b=b, volts=shock["volts_ac"])
    if kind == "tug":
        why = tr("A pull that finds it loose has a live end in your hand.")
    elif kind == "discharge":
        why = tr(
            "A discharge resistor is made for a capacitor's charge; on a supply it burns, and so does the hand that holds it."
        )
    else:
        why = tr("Only your gloves would keep it from you, and one hole in them is enough.")
    prevents = tr(
        "What prevents it: open, lock, test on a known source, test these points dead, test the tester again."
    )
    return {"title": tr("That point is live"), "lines": [told, why, prevents]}


def _landed(unit: Unit, act: Data) -> str:
    """Where the end of a wire that an act is about is landed; "" where it hangs."""
    wire = next((w for w in wires_of(unit) if w.tag == act["wire"]), None)
    return "" if wire is None else wire.a if act["end"] == "a" else wire.b


def _unlocked(header: Data, running: Running, act: Data) -> dict[str, Any] | None:
    """One's own lock taken off before the way's last step with hands in the unit, or where the way
    leaves it on. A lock that the way does not know may go, and one it took off before as well.
    """
    if act["act"] != "unlock":
        return None
    act = act_from(dict(act)).model_dump(mode="json")  # with what goes without saying
    way, left = model(str(header.get("scenario", ""))), steps_left(header, running)
    taken = next((n for n, step in enumerate(left) if same(step, act)), 0)
    if any(step["act"] in (*HANDS, "tug", "declare dead") for step in left[:taken]):
        why = tr("There is work left with hands in the unit: take it off after that.")
    elif _puts_on(way, act["part"]) and not any(same(step, act) for step in way):
        why = tr("This job ends with it on: whoever comes next puts on his own first.")
    else:
        return None
    part = spelt(str(act["part"]))
    told = tr("It is your lock that keeps {part} open, and only yours.", part=part)
    return {"title": tr("Your lock stays on"), "lines": [told, why]}


def _puts_on(way: Sequence[Data], part: str) -> bool:
    return any(step["act"] == "lock" and step["part"] == part for step in way)


def _closed(header: Data, running: Running, act: Data) -> dict[str, Any] | None:
    """A cover that the author takes off only behind an open switch, while that one is closed."""
    way = model(str(header.get("scenario", "")))
    at = next((n for n, step in enumerate(way) if same(step, act)), 0)
    if act["act"] != "take off" or not at:
        return None
    switches = (str(step["part"]) for step in way[:at] if step["act"] == "open")
    put = {d.get("part"): d["act"] for d in done(running) if d["act"] in ("open", "close")}
    closed = [s for s in switches if put.get(s) != "open"]
    if not closed:
        return None
    part = spelt(closed[0])
    return {
        "title": tr("First: open {part}", part=part),
        "lines": [
            tr("While {part} is closed, what lies behind this cover is live.", part=part),
            tr(
                "A cover is what keeps fingers and screwdrivers from live metal: it comes off once the supply is open."
            ),
        ],
    }


def _unfinished(header: Data, running: Running, act: Data) -> dict[str, Any] | None:
    """Handing over ends the attempt: not while steps of the way are left."""
    step = suggestion(header, running) if act["act"] == "hand over" else None
    if step is None or step["act"]["act"] == "hand over":
        return None
    lines = [
        tr("Handing over ends the attempt. Next would be: {step}.", step=step["say"]),
        str(step["why"]),
    ]
    return {"title": tr("There is more to do"), "lines": lines}


def _against_rules(
    header: Data, running: Running, act: Data, found: Sequence[Happening]
) -> dict[str, Any] | None:
    """What the rules of the job would say of it afterwards."""
    before = len(running.events)
    asked = Happening(running.bench.at_ms, ASKED, dict(act))
    new = [h.numbered(n) for h, n in zip([asked, *found], count(before + 1), strict=False)]
    slip = slip_of(header, [*running.events, *new], before)
    if slip is None:
        return None
    lines = [tr("If it were done, it would be told so:"), *slip["lines"]]
    return {"title": slip["title"], "lines": lines}


def ground_off(header: Data, unit: Unit, act: Data) -> dict[str, Any] | None:
    """The equipment ground about to come off where the job wants it on."""
    from trainer.assess.loading import job_for

    tag = str(act.get("wire"))
    if act.get("act") not in OFF or tag not in unit.conductors:
        return None
    name = str(header.get("scenario", ""))
    if any(same(act, step) for step in model(name)):
        return None  # the author's way takes it off
    try:
        job = job_for(name, int(header["seed"]))
    except TrainerError:
        return None
    wanted = Joined(job.target_wires)
    roots = {wanted.root(place) for place in _earths(unit)}
    wire = next((w for w in wires_of(unit) if w.tag == tag), None)
    ends = [e for e in (wire.a, wire.b) if e] if wire else []
    if not ends or not all(wanted.root(e) in roots for e in ends):
        return None
    return {
        "title": tr("The equipment ground stays on"),
        "lines": [
            tr("Wire {wire} is the equipment ground: {ends}.", wire=tag, ends=", ".join(ends)),
            tr(
                "With it off, a leg that touches the cabinet trips nothing, and the whole cabinet is live to whoever touches it."
            ),
            tr(
                "It is the first on and the last off, with every source open. In this job it stays on."
            ),
        ],
    }


def _earths(unit: Unit) -> Iterator[str]:
    """Where the ground comes in."""
    from trainer.unit.catalogue import type_of

    return (f"{n}.G" for n, p in unit.parts.items() if "G" in type_of(p.type).terminals)
