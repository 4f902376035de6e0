"""Supplies, joints, leaks and shorts: by a reading, with a lead lifted, and beside what looks
like it.

"table" is a trade table of fault signatures (common practice, no source; its amps and volts are
computed there on an anchor motor at 230 V); other reasons stand beside the numbers.
"""

from __future__ import annotations

from tests.unit.signatures import (
    INF,
    REST,
    How,
    Row,
    Seen,
    after,
    dead,
    hertz,
    i,
    r,
    uf,
    v,
    volts_in,
)

K1, K7, K8, K10 = "larkspur-row", "signal-house", "mill-race", "weir-cottage"
SOON, WARM = after(500), after(60_000)
ALONE = How(1000, (("transfer", "alternate"),))
UNFED = How(1000, (("disconnect", "open"), ("indoor", "open")), ("indoor.Y",))
PINS, H = dead("comp.C", "comp.S", "comp.R"), dead("can.H")
HERM = ("HERM with its lead off [uF]", uf("can.C", "can.H"))
T1_T2, JOINT = v("contactor.T1", "contactor.T2"), v("wire:5.b", "comp.R")
DIP = ("first volts of a start", volts_in("contactor.T1", "contactor.T2", 0.05, 0.1))
LATER = ("volts 0.2 s on", volts_in("contactor.T1", "contactor.T2", 0.2, 0.25))
HZ = hertz("contactor.L1", "contactor.L2", 0.15, 0.3)
SHELL = ("pin to shell [ohm]", r("comp.C", "chassis"))

TABLE = [
    # table: 1 to 10 V across the joint
    Row("F49", K1, Seen(WARM, "V(wire-R)", JOINT, 1.0, 10.0),
        Seen(dead("comp.C"), "wire to pin [ohm]", r("wire:5.b", "comp.R"), 0.3, 0.5), "F36",
        Seen(WARM, "V(wire-R)", JOINT, 1.0, 10.0), (0.0, 0.2)),
    # table: more than 15 % of dip, so less than 204 V of 240; 3 kVA and 200 ft take 17 %, where a
    # healthy service loses 5. Idle it is fine: see test_signatures_more
    Row("F50", K1, Seen(REST, *DIP, 195.0, 204.0),
        Seen(H, *HERM, 32.9, 37.1), "F22", Seen(REST, *DIP, 195.0, 204.0), (225.0, 235.0)),
    # table: 120 V from one leg to ground, none from the other
    Row("F51", K1, Seen(REST, "V(L2-chassis)", v("contactor.L2", "chassis"), 0.0, 10.0),
        Seen(PINS, "C-R [ohm]", r("comp.C", "comp.R"), 0.72, 0.78), "F36",
        Seen(REST, "V(L2-chassis)", v("contactor.L2", "chassis"), 0.0, 10.0), (118.0, 122.0)),
    # table: more than 110 % of 240 V, and 410 V on the can at 253; here 267 V are there: 433
    Row("F52", K1, Seen(WARM, "V(can)", v("can.C", "can.H"), 425.0, 440.0),
        Seen(H, *HERM, 32.9, 37.1), "over-capacitance",
        Seen(WARM, "V(T1-T2)", T1_T2, 264.0, 275.0), (230.0, 245.0)),
    # table: dips over 30 % and falls under 57 Hz, slowly; an inverter limits at once and stays
    Row("F53", K10, Seen(ALONE, "frequency in a start [Hz]", HZ, 40.0, 57.0),
        Seen(PINS, "C-R [ohm]", r("comp.C", "comp.R"), 0.72, 0.78), "F54",
        Seen(ALONE, *LATER, 140.0, 168.0), (105.0, 120.0)),
    # table: shuts down in seconds at most. Here it goes on limiting until the motor is up, as its
    # surge time allows; what gives it away is that the volts stay where the limit puts them
    Row("F54", K10, Seen(ALONE, *DIP, 105.0, 120.0),
        Seen(PINS, "C-R [ohm]", r("comp.C", "comp.R"), 0.72, 0.78), "F53",
        Seen(ALONE, *LATER, 105.0, 120.0), (140.0, 168.0)),
    # table: low amps and no difference of pressure: 14.5 bar is what stands at rest. Planted is a
    # unit as power returns; that a dip by itself leads there is shown in test_signatures_more
    Row("F55", K8, Seen(WARM, "common's amps", i("4"), 2.0, 6.0),
        Seen(PINS, "C-R [ohm]", r("comp.C", "comp.R"), 0.72, 0.78), "F17",
        Seen(WARM, "discharge pressure [bar]", lambda u: u.slow["hp"]["pressure_pa"] / 1e5,
             14.4, 14.6), (20.0, 27.0)),
    # table: low ohms from Y to ground, fuse open
    Row("F56", K1, Seen(after(3000), "V(R-C) after the fuse", v("indoor.R", "indoor.C"), 0.0, 1.0),
        Seen(UNFED, "Y at the contactor to chassis [ohm]",
             r("contactor.A1", "chassis"), 0.0, 0.5), "transformer fuse open",
        Seen(UNFED, "Y at the contactor to chassis [ohm]",
             r("contactor.A1", "chassis"), 0.0, 0.5), (1e6, INF)),
    # table: low ohms between nets that should be apart
    Row("F57", K1, Seen(SOON, "fan aux amps", i("10"), 1.4, 2.0),
        Seen(dead("comp.S", "fan.3"), "HERM-FAN [ohm]", r("can.H", "can.F"), 0.0, 0.5), "F41",
        Seen(PINS, "pin to shell [ohm]", r("comp.R", "chassis"), 1e6, INF), (0.0, 5.0)),
    # not held at all: 0.1 ohm, some 5 A and more; F49's is at the other end of the motor
    Row("F58", K1, Seen(SOON, "V(wire-T1)", v("wire:4.a", "contactor.T1"), 0.3, 10.0),
        Seen(dead("comp.R"), "wire to T1 [ohm]", r("wire:4.a", "contactor.T1"), 0.25, 0.4), "F49",
        Seen(SOON, "V(wire-T1)", v("wire:4.a", "contactor.T1"), 0.3, 10.0), (0.0, 0.1)),
    # table: LP opens later; the hole empties it with 120 s, and 130 psi of suction are 50 after
    # 115 s of running; F45's is open before the call
    Row("F59", K8, Seen(after(156_000), "V(LP) after 156 s", v("lp.1", "lp.2"), 22.0, 28.0),
        Seen(dead("lp.1"), "LP while it stands [ohm]", r("lp.1", "lp.2"), 0.0, 0.5), "F45",
        Seen(SOON, "V(LP) after a call", v("lp.1", "lp.2"), 0.0, 0.1), (22.0, 28.0)),
    # 120 V over 15 kohm: 8 mA, above the 4 to 6 of a class A device (UL 943, from memory)
    Row("F60", K1, Seen(SOON, "amps in the equipment ground", i("3"), 0.0065, 0.0095),
        Seen(PINS, *SHELL, 1.4e4, 1.6e4), "F41",
        Seen(SOON, "amps in the equipment ground", i("3"), 0.0065, 0.0095), (30.0, 70.0)),
]  # fmt: skip
