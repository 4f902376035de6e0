"""Machines and lines for the tests of this folder."""

import math

from trainer.motor.machines import entry
from trainer.motor.params import MotorParams
from trainer.motor.psc import Line


def machine(r1, x1, r2, x2, xm, *, ra=1.0, xa=1.0, ratio=1.0, poles=4, hz=60.0, **more):
    """A machine from ohms at ``hz``."""
    w = 2.0 * math.pi * hz
    return MotorParams(
        r_main=r1,
        l_main=x1 / w,
        r_aux=ra,
        l_aux=xa / w,
        r_rotor=r2,
        l_rotor=x2 / w,
        l_mutual=xm / w,
        ratio=ratio,
        pole_pairs=poles // 2,
        inertia_kg_m2=0.002,
        **more,
    )


def line_of(name, **more):
    """The line of a shipped machine with its run capacitor, or with what ``more`` says."""
    found = entry(name)
    given = {"volts": found.volts, "hz": found.frequency, "run_f": found.run_capacitor}
    return Line(**(given | more))
