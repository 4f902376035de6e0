"""From a bench and an act to events: the only place where circuits are solved and meters read.

Preconditions are those of nature: an act is refused when hands could not do it, never because
it is unwise. Knows every group of acts; must know no mark and no right order.
"""

from __future__ import annotations

from trainer.base.errors import TrainerError
from trainer.session import isolating, measuring, noting, planning, wiring
from trainer.session.acts import Act
from trainer.session.bench import Bench
from trainer.session.doing import Doing, Refused
from trainer.session.events import Happening
from trainer.unit.body import FIBRILLATES

GROUPS = {
    "planning": planning.DO,
    "isolating": isolating.DO,
    "measuring": measuring.DO,
    "wiring": wiring.DO,
    "noting": noting.DO,
}


#: Why nothing more can be done, by how it ended.
OVER = {
    "handed over": "The job is handed over; nothing more can be done.",
    "death": "The attempt ended with that touch.",
    "loss": "The attempt ended there: the unit has lost its refrigerant.",
}


def decide(bench: Bench, act: Act) -> list[Happening]:
    """What happens; the act's own bench time passes first. Never raises for an odd act."""
    doing = Doing(bench)
    if bench.over:
        doing.emit("refused", why=OVER[bench.ended])
        return doing.found
    try:
        GROUPS[act.group][act.act](doing, act)
    except Refused as why:
        doing.emit("refused", why=str(why))
    except TrainerError as error:
        hint = f" ({error.hint})" if error.hint else ""
        doing.emit("refused", why=f"{error.what[:1].upper()}{error.what[1:]}{hint}.")
    ended = _ended(doing)
    if ended:
        doing.emit("over", why=ended)
    return doing.found


def _ended(doing: Doing) -> str:
    """What nobody and no unit comes back from."""
    for happening in doing.found:
        if happening.kind == "shock" and happening.data["effect"] == FIBRILLATES:
            return "death"
        if happening.kind == "pierced":
            return "loss"
    return ""
