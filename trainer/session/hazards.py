"""What hands and tools meet, computed: a body or a blade is a resistor in the circuit.

Volts before, amps and joules through it, and what IEC 60479 thresholds say of them. To teach
scale: no result here means that a real touch would be safe. Knows bodies and circuits; must know
no right order.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from trainer.circuit.channels import Channel
from trainer.circuit.elements import Resistor, Sense
from trainer.instruments.meeting import Meeting, meet
from trainer.session.doing import Doing
from trainer.session.passing import Step, fresh
from trainer.unit import body
from trainer.unit.circuit import Link

#: Rated gloves in series with a body; a screwdriver's blade. Invented. [ohm]
GLOVE_OHMS, BLADE_OHMS = 1e8, 0.01
GLOVES = "insulating gloves"
#: A hand that can let go does so after a start; one that cannot stays a second. Invented. [s]
STARTLED_S, HELD_S = 0.2, 1.0
#: Least charge that is felt at all, of the order of a static spark. Invented. [J]
PRICK_J = 5e-4
#: Least energy through a blade that anybody notices. Invented. [J]
SPARK_J = 0.001
#: A blade across live points is watched this long. [ms]
BLADE_MS = 100
PROBE_OHMS = 1e8
#: Fewer volts are felt by nobody. Invented. [V]
LEAST_V = 1.0


def touch(doing: Doing, place: str, other: str = "chassis", doer: str = "a hand") -> None:
    """A hand on ``place``, the other on ``other``; an event only if it is felt."""
    if not fresh(doing.bench):
        doing.catch_up()
    meeting = meet(doing.bench.unit)
    a, b = meeting.at(place), meeting.at(other)
    if a == b or meeting.no_more_than(a, b) < LEAST_V:
        return
    live, held = meeting.volts_ac(a, b, PROBE_OHMS), meeting.volts_dc(a, b, PROBE_OHMS)
    volts = max(live, abs(held))
    if volts < LEAST_V:
        return
    ohms = body.body_ohms(volts) + (GLOVE_OHMS if GLOVES in doing.bench.ppe else 0.0)
    found = _through(meeting, a, b, ohms)
    if found["amps"] < body.REACTION_A and found["joules"] < PRICK_J:
        return
    held_on = found["amps"] >= body.LET_GO_A
    for_s = HELD_S if held_on else STARTLED_S
    felt = body.effect(found["amps"], for_s) if live > abs(held) else _jolt(found, abs(held))
    doing.emit(
        "shock", place=place, other=other, doer=doer, volts_ac=round(live, 1),
        volts_dc=round(held, 1) + 0.0, body_ohms=round(ohms), for_s=for_s, effect=felt, **found,
    )  # fmt: skip
    doing.step(round(1000.0 * for_s), extra=(Link("body", place, other, ohms),))


def _through(meeting: Meeting, a: int, b: int, ohms: float) -> dict[str, float]:
    """rms amps while it lasts; peak amps and joules of what capacitors give."""
    added = (Resistor("body", a, b, ohms),)
    amps = math.hypot(*(abs(s.amps("body")) for s in meeting.solutions(added)))
    decay = meeting.decay(added)
    return {
        "amps": round(amps, 5),
        "peak_a": round(abs(decay.amps("body", 0.0)), 5),
        "joules": round(decay.energy_into("body", 0.0, HELD_S), 4),
    }


def _jolt(found: dict[str, float], volts: float) -> str:
    hazard = body.capacitor_hazard(volts, found["joules"])
    return {
        "shock": "a hard jolt: enough volts and joules to injure",
        "thermal": "a burn",
        "treat as hazardous": "a jolt that makes you jump",
        "low": "a prick",
    }[hazard]


def short(doing: Doing, a: str, b: str, name: str = "blade") -> None:
    """A blade across two places: what is stored, or what the supply gives until it trips."""
    doing.catch_up()
    if meet(doing.bench.unit).at(a) != meet(doing.bench.unit).at(b):
        bridge(doing, a, b, name, BLADE_MS)


def bridge(doing: Doing, a: str, b: str, name: str, ms: int, more: Sequence[Channel] = ()) -> Step:
    """Bare metal between two places for ``ms``: the world's step, and an arc if anybody notices.

    Joules and amps are the larger of what capacitors give at once and what the supply does.
    """
    meeting = meet(doing.bench.unit)
    joules, amps = _stored(meeting, a, b)
    live = meeting.volts_ac(meeting.at(a), meeting.at(b), PROBE_OHMS)
    through = Channel(name, Sense(amps=((name, 1.0),)))
    stepped = doing.step(ms, (), (Link(name, a, b, BLADE_OHMS),), (*more, through))
    fed = sum(t.heat_j.get(name, 0.0) for t in stepped.traces)
    waves = [t.values[name] for t in stepped.traces if t.values.get(name, np.zeros(0)).size]
    most = max((float(np.abs(wave).max()) for wave in waves), default=0.0)
    if max(joules, fed) >= SPARK_J:
        doing.emit(
            "arc", a=a, b=b, volts_ac=round(live, 1), joules=round(max(joules, fed), 3),
            peak_a=round(max(amps, most), 1), fed=live > 1.0,
        )  # fmt: skip
    return stepped


def _stored(meeting: Meeting, a: str, b: str) -> tuple[float, float]:
    """Joules into a blade and its first amps from charge alone."""
    decay = meeting.decay((Resistor("blade", meeting.at(a), meeting.at(b), BLADE_OHMS),))
    return decay.energy_into("blade", 0.0, 1.0), abs(decay.amps("blade", 0.0))
