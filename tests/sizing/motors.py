"""Motors for the tests of sizing."""

import math

from trainer.motor.params import MotorParams

_W = 2.0 * math.pi * 60.0
ANCHOR_RATIO = 1.35
#: Anchor motor, invented: 230 V 60 Hz 2-pole, R1m 0.55, X1m 1.25, R2 0.70, X2 1.35, Xm 32 ohm,
#: a 1.35, R1a 2.2, X1a a^2 x 1.25, run capacitor 35 uF.
ANCHOR = MotorParams(
    r_main=0.55,
    l_main=1.25 / _W,
    r_aux=2.2,
    l_aux=ANCHOR_RATIO**2 * 1.25 / _W,
    r_rotor=0.70,
    l_rotor=1.35 / _W,
    l_mutual=32.0 / _W,
    ratio=ANCHOR_RATIO,
    pole_pairs=1,
    inertia_kg_m2=0.002,
)
ANCHOR_VOLTS, ANCHOR_HZ, ANCHOR_RUN_F = 230.0, 60.0, 35e-6
