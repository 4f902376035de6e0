"""The answer of sizing: every figure with its rule and source, the aid chosen, and why.

Plain data; must know no rule. ``choose`` fills it, the command line prints it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from trainer.sizing.ruled import Ruled

AidKind = Literal["none", "relay_kit", "soft_starter"]

CAUTIONS = (
    "Training aid only: invented equipment and simplified physics. The equipment maker's "
    "start-parts table and instructions come first, then the adopted code and your licence.",
    "Rated-load amps are a rating (largest continuous current divided by 1.56 or 1.44), not what "
    "a healthy unit draws.",
    "Make dead, prove it and discharge every capacitor before touching start gear.",
)


@dataclass(frozen=True)
class Aid:
    """Whether a start aid is right here, which, and why; ``notes`` say what else to look at."""

    kind: AidKind
    reason: str
    source: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class RelayKit:
    """A start capacitor and a relay that go together.

    ``label`` is the can, ``relay`` the class; ``misfits`` is what the rules here hold against the
    pair, a maker's table being followed all the same.
    """

    label: str
    range_f: tuple[float, float]
    relay: str
    pickup_v: tuple[float, float]
    dropout_v: tuple[float, float]
    continuous_v: float
    source: str
    from_maker: bool = False
    misfits: tuple[str, ...] = ()


@dataclass(frozen=True)
class Proof:
    """One simulated start: what was energised (``gear`` is its kind) and what came out."""

    what: str
    gear: AidKind
    supply: str
    volts: float
    outcome: str
    time_to_90pct_s: float | None
    peak_line_a: float | None
    details: dict[str, object] = field(default_factory=dict)


#: What each key of the answer holds, for whoever reads ``--json``. SI; volts and amps rms unless
#: a name says peak; None where there is no such value.
FIELDS = {
    "title": "the plate's title",
    "aid": "kind (none, relay_kit, soft_starter), reason, source, notes",
    "kit": "start capacitor and relay that go together: label, range_f [F], relay, pickup_v, "
    "dropout_v, continuous_v [V], source, from_maker, misfits; None when nothing suits",
    "figures": "name -> value (number, text, [least, most] or None), unit, rule, source, note",
    "proofs": "simulated starts: what, gear, supply, volts [V], outcome, time_to_90pct_s [s], "
    "peak_line_a [A], details with the keys of a start report",
    "notes": "what else to know, in sentences",
    "cautions": "what to keep in mind before touching anything",
}


@dataclass(frozen=True)
class Sizing:
    """``figures`` by name, in the order in which a job asks for them.

    ``warnings`` tell of chosen starts that did not come out clean.
    """

    title: str
    figures: dict[str, Ruled]
    kit: RelayKit | None
    aid: Aid
    proofs: tuple[Proof, ...] = ()
    notes: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    cautions: tuple[str, ...] = CAUTIONS

    def as_data(self) -> dict[str, object]:
        """Plain data, SI, for ``--json``; see ``FIELDS``."""
        return {
            "title": self.title,
            "aid": self.aid,
            "kit": self.kit,
            "figures": {name: ruled.as_data() for name, ruled in self.figures.items()},
            "proofs": list(self.proofs),
            "notes": list(self.notes),
            "cautions": list(self.cautions),
        }
