"""Generator set for a compressor: what a start takes, how far the volts dip, what set is needed.

Lumped reactances in per unit, no regulator: the first cycles only. Knows no circuit; a simulated
start on the generator part is the finer answer.
"""

from __future__ import annotations

from trainer.base.errors import TrainerError
from trainer.sizing.ruled import Ruled
from trainer.sizing.tables import codes

#: Transient reactance of a set where none is known: middle of 0.15-0.30 pu (from memory).
USUAL_XD = 0.20
#: Dip at which most tables of sets are given (trade article); contactors may drop beyond.
ACCEPTED_DIP = 0.30
#: Share of a set's rating the running load may take. Common practice, no source.
RUNNING_SHARE = 0.80
#: Rating lost per 1,000 ft of height. Engine practice, from memory.
DERATE_PER_M = 0.035 / 304.8


def start_kva(volts: float, amps: float) -> Ruled:
    """Volt-amps a start takes: V I_LR / 1000 [kVA]."""
    rule = "volts times locked-rotor amps"
    return Ruled(volts * amps / 1000.0, "kVA", rule, "definition")


def dip(set_kva: float, load_kva: float, xd_pu: float = USUAL_XD) -> float:
    """Share of the volts lost: X'd/(X'd + X_m), X_m = S_set/S_start.

    Both reactances in phase, no regulator. From memory.
    """
    return xd_pu / (xd_pu + set_kva / load_kva)


def dip_quick(set_kva: float, load_kva: float, xd_pu: float = USUAL_XD) -> float:
    """Quick form X S_step/S_set, good for small dips only (trade pages)."""
    return xd_pu * load_kva / set_kva


def set_for_dip(load_kva: float, accepted: float = ACCEPTED_DIP, xd_pu: float = USUAL_XD) -> float:
    """The set on which a start makes just the accepted dip: S X'd (1 - d)/d [kVA]."""
    if not 0.0 < accepted < 1.0:
        raise TrainerError(
            f"a dip of {accepted:g} is not possible", hint="give a share such as 0.30"
        )
    return load_kva * xd_pu * (1.0 - accepted) / accepted


def needed_kva(
    start: float,
    running: float,
    accepted: float = ACCEPTED_DIP,
    xd_pu: float = USUAL_XD,
    height_m: float = 0.0,
) -> Ruled:
    """Set needed for a start of ``start`` kVA and ``running`` kVA besides afterwards [kVA].

    The greater of the set that dips just ``accepted`` and running load over 80 %, both raised for
    height above the sea.
    """
    by_dip, by_load = set_for_dip(start, accepted, xd_pu), running / RUNNING_SHARE
    worse = "the start's dip" if by_dip >= by_load else "the running load at 80 % of the set"
    value = max(by_dip, by_load) / derate(height_m)
    percent, reactance = f"{100.0 * accepted:.0f} %", f"X'd {xd_pu:.2f}"
    rule = f"dip of at most {percent} with {reactance} and running load under 80 %: {worse} decides"
    return Ruled(value, "kVA", rule, "dip formula from memory; 30 % dip from a trade article; "
                 "80 % common practice, no source")  # fmt: skip


def derate(height_m: float) -> float:
    """Share of the rating left at a height: 3.5 % less per 1,000 ft (from memory)."""
    left = 1.0 - DERATE_PER_M * height_m
    if left <= 0.0:
        raise TrainerError(f"{height_m:g} m is beyond any engine set", hint="check the height")
    return left


def dip_class(ratio: float) -> str | None:
    """Strictest ISO 8528-5 class (from memory) whose dip this keeps; None when it keeps none."""
    for name, most in codes().generator_dips.classes.items():
        if ratio <= most:
            return name
    return None
