"""What eye and ear get of a unit: contactors, hum, shafts turning, trips. Words from facts.

Knows states and happenings; must know no right answer.
"""

from __future__ import annotations

from collections.abc import Sequence

from trainer.base.tongue import capital
from trainer.session.bench import Bench
from trainer.session.events import Happening

#: A shaft faster than this is seen turning; a winding fed at rest hums. [rad/s]
TURNS = 5.0
WORDS = {
    "picked_up": "{name} pulls in with a clack",
    "dropped_out": "{name} drops out",
    "tripped": "{name} trips",
    "welded": "a contact of {name} does not let go: welded",
    "gave_up": "{name} gives up",
}


def heard(before: Bench, after: Bench, found: Sequence[Happening]) -> str:
    """One or two sentences."""
    told = [
        WORDS[kind].format(name=name.partition("~")[0])
        for h in found
        if h.kind == "electrics"
        for _, kind, name in h.data["happenings"]
        if kind in WORDS
    ]
    words = list(dict.fromkeys(told))[:8]
    words += [w for name in after.unit.electrics.machines if (w := _shaft(before, after, name))]
    return (". ".join(capital(w) for w in words) or "Nothing stirs") + "."


def _shaft(before: Bench, after: Bench, name: str) -> str:
    then = before.unit.electrics.machines.get(name)
    now = after.unit.electrics.machines[name]
    turned = then is not None and abs(then.speed_rad_s) > TURNS
    turns = abs(now.speed_rad_s) > TURNS
    if turns:
        if now.speed_rad_s < 0.0:
            return f"{name} still turns backwards" if turned else f"{name} turns backwards"
        return f"{name} still turns" if turned else f"{name} turns"
    if name in after.hums:
        return f"{name} hums and does not turn"
    return f"{name} comes to rest" if turned else ""
