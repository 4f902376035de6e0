"""What a study says about the load of a compressor: over the machine's own where it says it.

Knows the kinds of load; shape over a turn and usual friction come from the motor layer.
Knows no circuit.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any, Literal

from trainer.base.fields import NonNegativeNewtonMetres, NonNegativePercent, Seconds
from trainer.motor.load import reciprocating_shape, rotary_shape, scroll_shape
from trainer.motor.params import LoadParams
from trainer.parts.plausible import Plausible

Kind = Literal["scroll", "reciprocating", "rotary", "constant"]

_SHAPES: dict[str, Callable[[], tuple[float, ...]]] = {
    "scroll": scroll_shape,
    "reciprocating": reciprocating_shape,
    "rotary": rotary_shape,
}


class CompressorLoad(Plausible):
    """Every empty value stays as the machine's own load has it.

    ``torque`` is the mean gas torque once the pressures have parted. ``pressures`` standing:
    that torque is there from the first instant; equalised: little until it pumps.
    """

    kind: Kind | None = None
    torque: NonNegativeNewtonMetres | None = None
    pressures: Literal["equalised", "standing"] = "equalised"
    at_rest: NonNegativePercent | None = None
    at_speed: NonNegativePercent | None = None
    coulomb: NonNegativeNewtonMetres | None = None
    breakaway: NonNegativeNewtonMetres | None = None
    pull_down: Seconds | None = None
    equalise: Seconds | None = None
    #: The rotor is stuck.
    locked: bool = False

    def over(self, own: LoadParams) -> LoadParams:
        """The machine's own load with what is stated here laid over it."""
        stated: dict[str, Any] = {
            "run_nm": self.torque,
            "at_rest": self.at_rest,
            "at_speed": self.at_speed,
            "coulomb_nm": self.coulomb,
            "breakaway_nm": self.breakaway,
            "pull_down_s": self.pull_down,
            "equalise_s": self.equalise,
        }
        given = {key: value for key, value in stated.items() if value is not None}
        lift = 1.0 if self.pressures == "standing" or self.kind == "constant" else own.lift
        return replace(own, **{**_of_kind(self.kind), **given, "lift": lift, "locked": self.locked})


def _of_kind(kind: Kind | None) -> dict[str, Any]:
    """Shape of a kind; a constant load is torque alone, without friction."""
    if kind is None:
        return {}
    if kind == "constant":
        none = dict.fromkeys(("coulomb_nm", "breakaway_nm", "viscous_nms", "fan_nm"), 0.0)
        return {**none, "shape": (1.0,), "drives_back": False}
    return {"shape": _shape(kind), "drives_back": kind == "scroll"}


@cache
def _shape(kind: Kind) -> tuple[float, ...]:
    return _SHAPES[kind]()
