"""Compressor and fan behind their terminals: amps, volts, direction, ohms, protector."""

import math
from dataclasses import replace

import pytest

from tests.parts.bench import bench, line, node
from trainer.circuit.dead import Dead, insulation, ohms
from trainer.circuit.elements import Elements, Thermal
from trainer.circuit.equilibrium import equilibrium
from trainer.circuit.phasor import prepare, solve
from trainer.motor.machines import entry
from trainer.parts.capacitors import DualCapacitor, RunCapacitor
from trainer.parts.machines import Plate, Sheet, usual_amps
from trainer.parts.motors import Compressor, FanMotor

SYNC_2 = 120.0 * math.pi


def wired(compressor: Compressor, uf: str = "35 uF", volts: float = 230.0) -> Elements:
    """Common on one leg, run on the other, capacitor between run and start."""
    can = RunCapacitor(capacitance=uf, dissipation="0.001 %")
    e = bench({"m": compressor, "c": can}, ("m.R", "c.1"), ("c.2", "m.S"))
    line(e, "m.C", "m.R", volts)
    return e


def steady(e: Elements, torque: float):
    """The steady state of machine m carrying a constant torque."""
    prepared = prepare(e)
    found = equilibrium(prepared, {"m": lambda _: torque})
    return prepared.at(found.speeds), found.speeds["m"]


def test_anchor_running_at_its_load():
    # reference figures of the invented anchor motor at 230 V, 7.2 N m: 13.9 A, S lead 4.8 A,
    # V(S-C) 296 V, capacitor 365 V, speed 0.979
    e = wired(Compressor(machine="anchor", overload=None))
    solution, speed = steady(e, 7.2)
    assert abs(solution.amps("line")) == pytest.approx(13.9, abs=0.05)
    assert abs(solution.amps("m.aux")) == pytest.approx(4.8, abs=0.05)
    assert abs(solution.volts(node(e, "m.S"), node(e, "m.C"))) == pytest.approx(296, abs=1.0)
    assert abs(solution.plates("c")) == pytest.approx(365, abs=1.5)
    assert speed / SYNC_2 == pytest.approx(0.979, abs=1e-3)


def test_anchor_standing_still():
    # the same source: line 79 A, main 81.5 A, start 3.2 A, V(S-C) 19 V, V(cap) 245 V, 0.56 N m
    e = wired(Compressor(machine="anchor", overload=None))
    solution = solve(e)
    assert abs(solution.amps("line")) == pytest.approx(79.0, abs=0.5)
    assert abs(solution.amps("m.main")) == pytest.approx(81.5, abs=0.2)
    assert abs(solution.amps("m.aux")) == pytest.approx(3.2, abs=0.05)
    assert abs(solution.volts(node(e, "m.S"), node(e, "m.C"))) == pytest.approx(19.0, abs=0.5)
    assert abs(solution.plates("c")) == pytest.approx(245.0, abs=0.6)
    assert solution.torque("m") == pytest.approx(0.56, abs=0.01)


def test_ordinary_wiring_turns_forward():
    assert steady(wired(Compressor(machine="anchor")), 1.0)[1] > 0.9 * SYNC_2


def test_legs_exchanged_turn_the_same_way():
    can = RunCapacitor(capacitance="35 uF")
    e = bench({"m": Compressor(machine="anchor"), "c": can}, ("m.R", "c.1"), ("c.2", "m.S"))
    line(e, "m.R", "m.C", 230.0)
    assert solve(e).torque("m") > 0.5


def test_capacitor_on_the_wrong_leg_gives_no_start():
    # the start loop is closed on itself: no drive, no torque
    motor = Compressor(machine="anchor", overload=None)
    can = RunCapacitor(capacitance="35 uF")
    e = bench({"m": motor, "c": can}, ("m.C", "c.1"), ("c.2", "m.S"))
    line(e, "m.C", "m.R", 230.0)
    solution = solve(e)
    assert abs(solution.torque("m")) < 1e-4
    assert abs(solution.amps("line")) == pytest.approx(82.0, abs=1.0)
    assert abs(solution.amps("m.aux")) < 0.01


def test_common_and_start_exchanged_spares_the_protector():
    # both windings in series; the protector in common carries the capacitor's amps only
    e = bench(
        {"m": Compressor(machine="anchor"), "c": RunCapacitor(capacitance="35 uF")},
        ("m.R", "c.1"), ("c.2", "m.C"),
    )  # fmt: skip
    line(e, "m.S", "m.R", 230.0)
    solution = solve(e)
    assert abs(solution.amps("line")) == pytest.approx(27.0, abs=0.7)  # a third of LRA
    assert abs(solution.amps("m~disc")) < 2.0


def test_terminal_ohms():
    # R-S = C-S + C-R; K74 data: Fitzgerald/Kingsley/Umans Example 9.5, 0.58 and 3.37 ohm
    e = bench({"m": Compressor(machine="textbook-3500w", overload=None)})
    read = {
        pair: ohms(Dead(e), node(e, f"m.{pair[0]}"), node(e, f"m.{pair[1]}")).value - 0.2
        for pair in ("CR", "CS", "RS")
    }
    assert read["CR"] == pytest.approx(0.58, abs=0.06)  # a hand meter shows tenths
    assert read["CS"] == pytest.approx(3.37, abs=0.06)
    assert read["RS"] == pytest.approx(3.95, abs=0.06)


@pytest.mark.parametrize(
    ("found", "open_pairs"),
    [
        ("overload_open", {"CR", "CS"}),
        ("main_open", {"CR", "RS"}),
        ("aux_open", {"CS", "RS"}),
        ("good", set()),
    ],
)
def test_what_an_open_reads(found, open_pairs):
    e = bench({"m": Compressor(machine="anchor", found=found)})
    opens = {
        pair
        for pair in ("CR", "CS", "RS")
        if math.isinf(ohms(Dead(e), node(e, f"m.{pair[0]}"), node(e, f"m.{pair[1]}")).value)
    }
    assert opens == open_pairs


def test_insulation_to_the_shell():
    good = bench({"m": Compressor(machine="anchor")})
    assert insulation(Dead(good), node(good, "m.C"), 0).value > 100.0  # Mohm, common practice
    bad = bench({"m": Compressor(machine="anchor", insulation="1 Mohm")})
    assert insulation(Dead(bad), node(bad, "m.R"), 0).value == pytest.approx(1.0, rel=0.05)


def thermal_of(e: Elements, name: str) -> Thermal:
    return next(d for d in e.devices if isinstance(d, Thermal) and d.name == name)


def seconds_to_trip(t: Thermal, amps: float, around: float) -> float:
    """From ambient with the surroundings held: tau ln(rise_end / (rise_end - rise_trip))."""
    tau, end = t.c_j_per_k * t.r_k_per_w, t.ohms * amps**2 * t.r_k_per_w
    room = end - (t.trips_c - around)
    return math.inf if room <= 0.0 else tau * math.log(end / room)


def test_protector_trips_locked_in_3_to_20_seconds():
    t = thermal_of(bench({"m": Compressor(machine="anchor")}), "m~overload")
    # the common lead carries main and start amps: 79 A
    assert seconds_to_trip(t, 78.6, 25.0) == pytest.approx(8.0, rel=1e-2)
    assert seconds_to_trip(t, 0.9 * 78.6, 25.0) < 20.0


def test_protector_holds_rated_amps_and_trips_at_156_percent():
    # NEC 440.52: an integral protector opens at not more than 156 % of rated load, held for long;
    # windings of a loaded compressor at 60 degC, invented
    sheet = Sheet.of_entry(entry("anchor"))
    rated, locked = usual_amps(sheet)
    assert (rated, locked) == (pytest.approx(14.08, abs=0.05), pytest.approx(78.6, abs=0.1))
    t = thermal_of(bench({"m": Compressor(machine="anchor")}), "m~overload")
    assert math.isinf(seconds_to_trip(t, rated, 60.0))
    assert seconds_to_trip(t, 1.56 * rated, 60.0) < 3600.0
    assert t.resets_c == 66.0 and t.machine == "m"


def test_iron_loss_is_a_resistor_and_counts_once():
    with_iron = {**INLINE, "core_resistance": "500 ohm"}
    e = wired(Compressor(parameters=with_iron, overload=None))
    bare = wired(Compressor(parameters=INLINE, overload=None))
    gain = solve(e).source_va["line"].real - solve(bare).source_va["line"].real
    assert gain == pytest.approx(230.0**2 / 500.0, rel=1e-3)


INLINE = {
    "volts": "230 V",
    "frequency": "60 Hz",
    "poles": 2,
    "run_capacitor": "35 uF",
    "main": {"resistance": "0.55 ohm", "leakage": "1.25 ohm"},
    "aux": {"resistance": "2.2 ohm", "leakage": "2.278 ohm"},
    "rotor": {"resistance": "0.7 ohm", "leakage": "1.35 ohm"},
    "magnetising": "32 ohm",
    "ratio": 1.35,
    "inertia": "0.002 kg.m2",
    "load": {"kind": "scroll", "run": "7.2 N.m"},
}


def test_machine_written_out_in_the_study():
    solution, _ = steady(wired(Compressor(parameters=INLINE, overload=None)), 7.2)
    assert abs(solution.amps("line")) == pytest.approx(13.9, abs=0.05)


def test_machine_from_its_nameplate_draws_its_lra():
    plate = {"volts": "230 V", "rla": "13.9 A", "lra": "79 A", "run_capacitor": "35 uF"}
    e = wired(Compressor(nameplate=plate, overload=None))
    assert abs(solve(e).amps("line")) == pytest.approx(79.0, rel=0.02)
    sheet = Sheet.of_plate(Plate(**plate))
    assert usual_amps(sheet)[0] == pytest.approx(13.9, rel=0.02)


def test_impossible_nameplate_names_its_key():
    plate = {"volts": "230 V", "rla": "20 A", "lra": "15 A", "run_capacitor": "35 uF"}
    with pytest.raises(ValueError, match="LRA 15 A is not above RLA 20 A"):
        Compressor(nameplate=plate)


@pytest.mark.parametrize("spec", [{}, {"machine": "anchor", "parameters": INLINE}])
def test_exactly_one_machine(spec):
    with pytest.raises(ValueError, match="machine is given"):
        Compressor(**spec)


def test_load_of_the_day():
    own = Sheet.of_entry(entry("anchor")).load
    standing = Compressor(machine="anchor", load={"pressures": "standing", "torque": "5 N.m"})
    assert standing.shaft_load(own) == replace(own, lift=1.0, run_nm=5.0)
    constant = Compressor(machine="anchor", load={"kind": "constant", "torque": "5 N.m"})
    load = constant.shaft_load(own)
    assert (load.run_nm, load.lift, load.breakaway_nm, load.viscous_nms) == (5.0, 1.0, 0.0, 0.0)
    rotary = Compressor(machine="anchor", load={"kind": "rotary"})
    assert rotary.shaft_load(own).drives_back is False


def fan_wired(leads: int, back: str) -> Elements:
    can = DualCapacitor(herm="35 uF", fan="5 uF")
    joins = [("m.2" if back == "2" else "m.4", "c.C"), ("c.F", "m.3")]
    e = bench({"m": FanMotor(leads=leads), "c": can}, *joins)
    line(e, "m.1", "m.2", 230.0)
    return e


def test_fan_with_three_and_with_four_leads_is_the_same_circuit():
    three, four = fan_wired(3, "2"), fan_wired(4, "4")
    assert abs(solve(three).amps("line")) == pytest.approx(abs(solve(four).amps("line")), rel=1e-4)
    assert solve(three).torque("m") > 0.0


def test_fan_carries_its_blade():
    e = fan_wired(3, "2")
    machine = e.machines[0]
    sync = machine.params.synchronous_rad_s(60.0)
    prepared = prepare(e)
    speed = equilibrium(prepared, {"m": lambda w: 1.5 * (w / sync) ** 2}).speeds["m"]
    assert 0.88 < speed / sync < 0.97
    assert 0.5 < abs(prepared.at({"m": speed}).amps("line")) < 2.0  # a quarter-horse fan


def test_seized_fan_stands():
    assert bench({"m": FanMotor(seized=True)}).machines[0].load.locked is True
