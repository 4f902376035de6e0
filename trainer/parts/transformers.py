"""Transformers as ideal windings behind series impedances.

Knows how a two-winding and a centre-tapped transformer are written; must know no part.
Per-unit values are on the rating and on the volts of the winding they belong to. Iron is
linear: no inrush of its own, no saturation.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from trainer.circuit.elements import CHASSIS, LEAST_OHMS, Inductive, Source
from trainer.parts.part import Pen


@dataclass(frozen=True)
class CentreTap:
    """Impedances of a centre-tapped secondary [per unit]: full on 240 V, half on 120 V base.

    Star equivalent: full = primary + half_winding/2, half = primary + half_winding.
    Derived from the three short-circuit tests of a three-winding transformer.
    """

    full: complex
    half: complex

    @property
    def winding(self) -> complex:
        """One half winding on its own volts."""
        return 2.0 * (self.half - self.full)

    @property
    def primary(self) -> complex:
        return 2.0 * self.full - self.half

    @property
    def possible(self) -> bool:
        """Whether both halves and the primary come out with no negative part."""
        parts = (self.winding, self.primary)
        return all(z.real >= -1e-12 and z.imag >= -1e-12 for z in parts)


@dataclass(frozen=True)
class Winding:
    """Series resistance and inductance of a branch."""

    ohms: float
    henries: float

    @staticmethod
    def of(z: complex, base_ohms: float, hz: float) -> Winding:
        """From per unit: R = r Z_base, L = x Z_base / w."""
        return Winding(z.real * base_ohms, z.imag * base_ohms / (2.0 * math.pi * hz))

    def plus(self, ohms: float, henries: float) -> Winding:
        return Winding(self.ohms + ohms, self.henries + henries)


def write_centre_tap(
    pen: Pen, source: Source, primary: Winding, halves: Winding, legs: tuple[int, int, int]
) -> None:
    """Source, primary and two halves to (leg 1, leg 2, neutral); source volts are leg to leg.

    Branches ``leg1`` and ``leg2`` carry the current out of leg 1 and into leg 2.
    """
    number = pen.into.source(source)
    one, two, neutral = legs
    star = pen.inside("star")
    pen.into.add(
        Inductive(
            pen.called("primary"),
            ((CHASSIS, 1.0), (star, -1.0)),
            max(primary.ohms, LEAST_OHMS),
            primary.henries,
            number,
            part=pen.name,
        )
    )
    ohms, henries = max(halves.ohms, LEAST_OHMS), halves.henries
    pen.tapped("leg1", ((star, 0.5), (one, -1.0), (neutral, 1.0)), ohms, henries)
    pen.tapped("leg2", ((star, 0.5), (neutral, -1.0), (two, 1.0)), ohms, henries)


@dataclass(frozen=True)
class Rating:
    """Nameplate of a two-winding transformer: secondary volts hold at full resistive load.

    ``resistance`` and ``reactance`` per unit, all of it on the secondary side;
    ``magnetising`` is the no-load current over the rated one.
    """

    va: float
    primary_v: float
    secondary_v: float
    resistance: float
    reactance: float
    magnetising: float
    hz: float

    @property
    def turns(self) -> float:
        """Secondary over primary turns: V2 |1 + r + jx| / V1 gives V2 at full resistive load."""
        loaded = abs(1.0 + complex(self.resistance, self.reactance))
        return self.secondary_v / self.primary_v * loaded

    @property
    def series(self) -> Winding:
        """Both windings' impedance as the secondary sees it."""
        z = complex(self.resistance, self.reactance)
        return Winding.of(z, self.secondary_v**2 / self.va, self.hz)

    @property
    def magnetising_branch(self) -> Winding:
        """Primary copper (half of the resistance) and V1 / (w i_mag): what an ohmmeter finds."""
        ohms = self.resistance / 2.0 * self.primary_v**2 / self.va
        amps = self.magnetising * self.va / self.primary_v
        return Winding(ohms, self.primary_v / (2.0 * math.pi * self.hz * amps))


def write_two_winding(
    pen: Pen, rating: Rating, primary: tuple[int, int], secondary: tuple[int, int]
) -> None:
    """Magnetising branch across the primary, an ideal winding behind its own impedance.

    Branch ``secondary`` carries the current out of the first secondary terminal.
    """
    core, series, n = rating.magnetising_branch, rating.series, rating.turns
    pen.branch("primary", *primary, core.ohms, core.henries)
    taps = ((primary[0], n), (primary[1], -n), (secondary[0], -1.0), (secondary[1], 1.0))
    pen.tapped("secondary", taps, series.ohms, series.henries)


def write_fed_secondary(
    pen: Pen, rating: Rating, secondary: tuple[int, int], phase_rad: float = 0.0
) -> None:
    """The secondary of a transformer whose primary is always alive somewhere else."""
    peak = math.sqrt(2.0) * rating.primary_v * rating.turns
    number = pen.into.source(Source(pen.called("emf"), peak, rating.hz, phase_rad))
    series, taps = rating.series, ((secondary[1], 1.0), (secondary[0], -1.0))
    pen.into.add(
        Inductive(pen.called("secondary"), taps, series.ohms, series.henries, number, part=pen.name)
    )
