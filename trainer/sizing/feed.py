"""The supply a proof is made on: the site's own line at some share of its volts, or a generator.

Knows the plate and which supply parts exist; must know no start.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from trainer.sizing import site
from trainer.sizing.nameplate_file import NameplateFile, Run, Supply

#: What stands for a supply that the plate does not tell. Invented, a strong one.
USUAL = Supply.model_construct(
    transformer=37.5e3,
    service=Run.model_construct(length=15.0, gauge="1/0 AWG Al"),
    branch=Run.model_construct(length=10.0, gauge="10 AWG"),
)
#: Subtransient over transient reactance of a small set: 0.10-0.20 over 0.15-0.30 (from memory).
SUBTRANSIENT_SHARE = 0.6
#: Plates of this range hang on two legs of a wye. Invented bounds about 208 V.
WYE_V = (195.0, 216.0)


@dataclass(frozen=True)
class Feed:
    """A supply part of a study, its two terminals for the unit, its volts, and words for it."""

    part: dict[str, Any]
    legs: tuple[str, str]
    volts: float
    what: str


def line(plate: NameplateFile, ratio: float) -> Feed:
    """The site's line at so many times the plate's volts, behind its transformer and service."""
    part, legs = _sixty(plate, ratio) if plate.hz > 55.0 else _fifty(plate, ratio)
    return Feed(part, legs, ratio * plate.volts, f"line at {100.0 * ratio:.0f} %")


def generator(plate: NameplateFile, rating_va: float) -> Feed:
    """A generator set of this rating at the plate's volts, with the reactance the plate tells.

    The whole winding feeds the unit: a 115 V unit would overload one half of a 230 V set.
    """
    reactance = plate.generator.transient_reactance
    part = {
        "kind": "generator", "volts": f"{plate.volts!r} V", "hz": f"{plate.hz!r} Hz",
        "rating": f"{rating_va!r} VA", "transient": f"{100.0 * reactance!r} %",
        "subtransient": f"{100.0 * SUBTRANSIENT_SHARE * reactance!r} %",
    }  # fmt: skip
    return Feed(part, ("1", "2"), plate.volts, f"{rating_va / 1000.0:.1f} kVA generator")


def branch_of(plate: NameplateFile) -> Run:
    """The branch circuit, or the usual one."""
    return plate.supply.branch or USUAL.branch or Run.model_construct(length=10.0, gauge="10 AWG")


def _sixty(plate: NameplateFile, ratio: float) -> tuple[dict[str, Any], tuple[str, str]]:
    """Split phase; two legs of a wye about 208 V; one leg to neutral for 115 V."""
    supply = _told(plate.supply)
    service = supply.service
    common = {
        "hz": f"{plate.hz!r} Hz", "transformer": f"{supply.transformer!r} VA",
        "conductor": service.gauge if service else "", "length": f"{_length(service)!r} m",
    }  # fmt: skip
    volts = ratio * plate.volts
    if WYE_V[0] <= plate.volts <= WYE_V[1]:
        return {"kind": "wye_208", "volts": f"{volts!r} V", **common}, ("L1", "L2")
    if plate.volts > 175.0:
        return {"kind": "split_phase_service", "volts": f"{volts!r} V", **common}, ("L1", "L2")
    return {"kind": "split_phase_service", "volts": f"{2.0 * volts!r} V", **common}, ("L1", "N")


def _fifty(plate: NameplateFile, ratio: float) -> tuple[dict[str, Any], tuple[str, str]]:
    """Line to neutral, half of the loop in each."""
    half = site.service_ohms(_told(plate.supply), plate.volts) / 2.0
    ohms = {
        f"{end}_{kind}": f"{value!r} ohm"
        for end in ("phase", "neutral")
        for kind, value in (("resistance", half.real), ("reactance", half.imag))
    }
    volts = f"{ratio * plate.volts!r} V"
    return {"kind": "line_neutral_230", "volts": volts, "hz": f"{plate.hz!r} Hz", **ohms}, (
        "L",
        "N",
    )


def _told(supply: Supply) -> Supply:
    """What the plate tells of transformer and service, the usual where it tells nothing."""
    return Supply.model_construct(
        transformer=supply.transformer or USUAL.transformer,
        service=supply.service or USUAL.service,
        branch=supply.branch,
    )


def _length(run: Run | None) -> float:
    return run.length if run else 0.0
