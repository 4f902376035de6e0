"""Contactors, windings, fans, safeties and 24 V parts that failed: by a reading, with a lead
lifted, and beside what looks like it.

"table" is a trade table of fault signatures (common practice, no source; its amps and volts are
computed there on an anchor motor at 230 V); other reasons stand beside the numbers.
"""

from __future__ import annotations

from tests.unit.signatures import (
    CALL,
    INF,
    REST,
    How,
    Row,
    Seen,
    after,
    dead,
    i,
    r,
    uf,
    v,
)

K1, K7, K8 = "larkspur-row", "signal-house", "mill-race"
SOON = after(500)
WELDED = dead("contactor.L1")
PULLED = How(1000, (CALL, ("disconnect", "open")), ("contactor.L1",))
PINS, H = dead("comp.C", "comp.S", "comp.R"), dead("can.H")
C_R, C_S, R_S = ((f"{a}-{b} [ohm]", r(f"comp.{a}", f"comp.{b}")) for a, b in ("CR", "CS", "RS"))
COIL = ("contactor coil [ohm]", r("contactor.A1", "contactor.A2"))
COIL_V = ("V(A1-A2)", v("contactor.A1", "contactor.A2"))
A1 = dead("contactor.A1")
HERM = ("HERM with its lead off [uF]", uf("can.C", "can.H"))

TABLE = [
    # table: 24 V at the coil and 0 A; a 24 V secondary hardly loaded shows up to a tenth more
    Row("F34", K1, Seen(SOON, "coil amps", i("11"), 0.0, 1e-3),
        Seen(dead("contactor.A1", "contactor.A2"), *COIL, 1e6, INF), "Y open",
        Seen(SOON, *COIL_V, 24.0, 28.0), (0.0, 1.0)),
    # the motor has not turned yet: 240 V less what 80 A drop in the supply
    Row("F35", K1, Seen(REST, "V(T1-T2) without a call", v("contactor.T1", "contactor.T2"),
        222.0, 240.0), Seen(WELDED, "L1-T1 without a call [ohm]",
                            r("contactor.L1", "contactor.T1"), 0.0, 0.5),
        "stuck call", Seen(How(500), *COIL_V, 0.0, 1.0), (24.0, 28.0)),
    # table: 2 to 20 V, healthy under 0.2
    Row("F36", K1, Seen(SOON, "V(L1-T1)", v("contactor.L1", "contactor.T1"), 2.0, 20.0),
        # pulled in by the 24 V from indoors with the line off; 0.2 ohm of leads
        Seen(PULLED, "L1-T1 [ohm]", r("contactor.L1", "contactor.T1"), 0.65, 0.75), "F49",
        Seen(SOON, "V(L1-T1)", v("contactor.L1", "contactor.T1"), 2.0, 20.0), (0.0, 0.2)),
    # table: 10 to 18 V on pull-in; a limit switch that opens leaves nothing
    Row("F37", K1, Seen(SOON, *COIL_V, 10.0, 18.0),
        Seen(A1, *COIL, 8.0, 20.0), "F44", Seen(SOON, *COIL_V, 10.0, 18.0), (0.0, 1.0), K7),
    Row("F38", K1, Seen(SOON, "S amps", i("7"), 0.0, 0.01),
        Seen(PINS, *C_S, 1e6, INF), "F21", Seen(PINS, *R_S, 1e6, INF), (2.0, 4.0)),
    # only the start winding draws: 80 A printed would be the main
    Row("F39", K1, Seen(SOON, "amps to R", i("5"), 0.0, 0.01),
        Seen(PINS, *C_R, 1e6, INF), "F40", Seen(PINS, *R_S, 1e6, INF), (2.0, 4.0)),
    Row("F40", K1, Seen(SOON, "common's amps", i("4"), 0.0, 0.01),
        Seen(PINS, *C_R, 1e6, INF), "F39", Seen(PINS, *R_S, 2.0, 4.0), (1e6, INF)),
    # table: pin to shell near 0
    Row("F41", K1, Seen(SOON, "amps in the equipment ground", i("3"), 30.0, 70.0),
        Seen(PINS, "pin to shell [ohm]", r("comp.R", "chassis"), 0.0, 5.0), "F23",
        Seen(PINS, "pin to shell [ohm]", r("comp.R", "chassis"), 0.0, 5.0), (1e6, INF)),
    # table: LRA with everything good; 80 A printed at 230 V, 227 V here
    Row("F42", K1, Seen(SOON, "common's amps", i("4"), 76.0, 81.0),
        Seen(PINS, *C_R, 0.72, 0.78), "F21", Seen(H, *HERM, 32.9, 37.1), (0.0, 0.1)),
    # a free fan is up to speed by then and draws under an ampere
    Row("F43", K1, Seen(after(1500), "fan line amps", i("8"), 2.0, 4.0),
        Seen(dead("can.F"), "FAN [uF]", uf("can.C", "can.F"), 4.7, 5.3), "F24",
        Seen(dead("can.F"), "FAN [uF]", uf("can.C", "can.F"), 4.7, 5.3), (0.0, 0.1)),
    Row("F44", K7, Seen(SOON, "V(HP)", v("hp.1", "hp.2"), 22.0, 28.0),
        Seen(dead("hp.1"), "HP [ohm]", r("hp.1", "hp.2"), 1e6, INF), "F46",
        Seen(SOON, "V(HP)", v("hp.1", "hp.2"), 22.0, 28.0), (0.0, 0.5)),
    Row("F45", K7, Seen(SOON, "V(LP)", v("lp.1", "lp.2"), 22.0, 28.0),
        Seen(dead("lp.1"), "LP [ohm]", r("lp.1", "lp.2"), 1e6, INF), "F44",
        Seen(SOON, "V(LP)", v("lp.1", "lp.2"), 22.0, 28.0), (0.0, 0.5)),
    # 300 s are printed: table: clock it, a wait ends
    Row("F46", K7, Seen(SOON, "V(IN)", v("td.IN", "td.COM"), 22.0, 28.0),
        Seen(dead("td.OUT"), "IN-OUT [ohm]", r("td.IN", "td.OUT"), 1e6, INF), "healthy",
        Seen(after(310_000), "V(OUT) after 310 s", v("td.OUT", "td.COM"), 0.0, 1.0),
        (20.0, 28.0)),
    # a sensor that hangs in air reads as one that is clipped; only its ohms are compared. The
    # board has 1 Mohm of its own
    Row("F47", K8, Seen(dead(), "d1-d2 at the board [ohm]", r("dfb.d1", "dfb.d2"), 0.9e6, 1.1e6),
        Seen(dead("dt.1"), "sensor itself [ohm]", r("dt.1", "dt.2"), 9.5e3, 10.5e3), "healthy",
        Seen(dead(), "d1-d2 at the board [ohm]", r("dfb.d1", "dfb.d2"), 0.9e6, 1.1e6),
        (9.5e3, 10.5e3)),
    # the thermostat stands at cool, so O is there before any call
    # table: coil infinite, or 24 V and pipes unchanged. Only the coil is planted: there are no
    # pipes here, the valve is a coil and nothing hangs on where its spool stands
    Row("F48", K8, Seen(REST, "valve amps at 24 V", i("30"), 0.0, 1e-3),
        Seen(dead("rv.1"), "valve coil [ohm]", r("rv.1", "rv.2"), 1e6, INF), "F17",
        Seen(REST, "V(RV) with O called", v("rv.1", "rv.2"), 22.0, 28.0), (0.0, 1.0)),
]  # fmt: skip
