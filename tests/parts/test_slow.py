"""Pressure, crankcase heater and defrost rules against closed forms.

Goals and time constants are the module's own, invented; what is asserted is that the rules follow
first-order approaches, switch where the switch says, and let nothing pass unseen.
"""

import math

import pytest

from tests.parts.bench import bench
from trainer.circuit.running import SlowView
from trainer.circuit.state import CircuitState, MachineState
from trainer.parts.heatpump import CoilSensor, DefrostControl
from trainer.parts.motors import Compressor
from trainer.parts.resistive import CrankcaseHeater
from trainer.parts.safeties import PressureSwitch
from trainer.parts.slow import (
    ALL_VAPOUR,
    AMBIENT_C,
    DISCHARGE_PA,
    EQUAL_PA,
    LOOK_S,
    PRESSURE_S,
    RUNNING_K,
    SHELL_S,
    STILL_FAN,
    SUCTION_PA,
    DefrostRule,
    HeaterRule,
    PressureRule,
    reaches_s,
    rules_of,
    towards,
)


def view(comp: float = 370.0, fan: float = 115.0, lift: float = 1.0, **closed: bool) -> SlowView:
    """A unit whose shafts turn so fast; contacts by ``part`` for its ``part~contact``."""
    machines = {
        "comp": MachineState(speed_rad_s=comp, lift=lift), "fan": MachineState(speed_rad_s=fan),
    }  # fmt: skip
    state = CircuitState(
        machines=machines, closed={f"{name}~contact": shut for name, shut in closed.items()}
    )
    return SlowView(0.0, state, None)


def pressure(on: str = "high") -> PressureRule:
    return PressureRule("hp~contact", PressureSwitch(on=on), "comp", "fan")


def test_a_first_order_approach():
    assert towards(0.0, 1.0, 10.0, 10.0) == pytest.approx(1.0 - math.exp(-1.0))
    # 0 to 1 passes one half after tau ln 2
    assert reaches_s(0.0, 1.0, 0.5, 10.0) == pytest.approx(10.0 * math.log(2.0), abs=2e-3)
    assert reaches_s(0.0, 0.4, 0.5, 10.0) == LOOK_S  # never


def test_discharge_pressure_rises_as_one_exponential():
    rule = pressure()
    rule.advance(view(hp=True), PRESSURE_S)
    expected = DISCHARGE_PA + (EQUAL_PA - DISCHARGE_PA) * math.exp(-1.0)
    assert rule.pressure_pa == pytest.approx(expected)
    assert rule.moves(view(hp=True)) == ()


def test_steps_do_not_matter_while_the_drive_stands():
    whole, pieces = pressure(), pressure()
    whole.advance(view(hp=True), 40.0)
    for _ in range(8):
        pieces.advance(view(hp=True), 5.0)
    assert pieces.pressure_pa == pytest.approx(whole.pressure_pa)


def test_a_standing_fan_trips_the_high_switch_when_it_says():
    rule, still = pressure(), view(fan=0.0, hp=True)
    goal = EQUAL_PA + (DISCHARGE_PA - EQUAL_PA) * STILL_FAN
    opens = 4.206e6  # 610 psi, the switch's own default
    due = PRESSURE_S * math.log((goal - EQUAL_PA) / (goal - opens))
    assert due > LOOK_S and rule.patience_s(still) == LOOK_S  # it looks again on the way
    rule.advance(still, LOOK_S)
    assert rule.patience_s(still) == pytest.approx(due - LOOK_S, abs=2e-3)
    rule.advance(still, due - LOOK_S - 0.01)
    assert rule.moves(still) == ()
    rule.advance(still, 0.02)
    assert rule.moves(still) == (("hp~contact", False),)


def test_it_recloses_only_below_its_lower_limit():
    rule, stopped = pressure(), view(comp=0.0, fan=0.0, hp=False)
    rule.pressure_pa = 4.3e6
    closes = 2.896e6  # 420 psi, the switch's own default
    due = PRESSURE_S * math.log((4.3e6 - EQUAL_PA) / (closes - EQUAL_PA))
    assert rule.patience_s(stopped) == pytest.approx(due, abs=2e-3)
    rule.advance(stopped, due - 0.01)
    assert rule.moves(stopped) == ()
    rule.advance(stopped, 0.02)
    assert rule.moves(stopped) == (("hp~contact", True),)


def test_suction_pressure_falls_while_it_pumps():
    rule = pressure("low")
    rule.advance(view(hp=True), 1e4)
    assert rule.pressure_pa == pytest.approx(SUCTION_PA)
    assert rule.moves(view(hp=True)) == ()  # 130 psi is far above 50


def test_the_shell_warms_while_running_and_the_heater_lets_go():
    heater = CrankcaseHeater(thermostat=True, closed=True)
    rule = HeaterRule("cch", heater, "comp")
    running = view(cch=True)
    goal = AMBIENT_C + RUNNING_K
    due = SHELL_S * math.log((goal - heater.closes_below) / (goal - heater.opens_above))
    rule.advance(running, due - 1.0)
    assert rule.moves(running) == ()
    rule.advance(running, 2.0)
    assert rule.moves(running) == (("cch~contact", False),)


def defrost() -> DefrostRule:
    parts = {"dfb": DefrostControl(interval="1800 s"), "dt": CoilSensor()}
    elements = bench(parts, ("dfb.d1", "dt.1"), ("dfb.d2", "dt.2"))
    rule = rules_of(parts, elements, "comp")[0]
    assert isinstance(rule, DefrostRule)
    return rule


def test_the_board_reads_its_sensor_through_the_wiring():
    rule = defrost()
    rule.coil_c = -5.0
    # 1 Mohm of the board's own input beside some 40 kohm of sensor: within two degrees
    assert rule.sensed_c(view()) == pytest.approx(-5.0, abs=2.0)


def test_the_clock_counts_running_time_only():
    rule = defrost()
    rule.advance(view(comp=0.0), 500.0)
    assert rule.clock_s == 0.0
    rule.advance(view(), 500.0)
    assert rule.clock_s == 500.0
    assert rule.patience_s(view()) == LOOK_S


def test_a_defrost_ends_on_coil_temperature():
    rule = defrost()
    rule.defrosting, rule.coil_c = True, 10.0
    assert rule.moves(view()) == ()
    rule.coil_c = 25.0  # ends above 18 degC, the board's own default
    assert rule.moves(view()) == rule.board.hand("dfb")["end_defrost"]
    assert not rule.defrosting and rule.clock_s == 0.0


def test_a_defrost_ends_by_the_clock_on_a_coil_that_stays_cold():
    rule = defrost()
    rule.defrosting, rule.coil_c, rule.clock_s = True, -5.0, 719.0
    assert rule.moves(view()) == ()
    rule.clock_s = 720.0  # longest, the board's own default
    assert rule.moves(view())


def test_a_charge_that_leaks_away_opens_the_low_switch_later():
    comp = Compressor(machine="anchor", leak="100 s")
    parts = {"comp": comp, "lp": PressureSwitch(on="low")}
    rule = rules_of(parts, bench(parts), "comp")[0]
    assert isinstance(rule, PressureRule)
    running = view(lp=True)
    rule.advance(running, 20.0)
    assert rule.charge == pytest.approx(math.exp(-0.2))
    assert rule.moves(running) == ()  # begins at 210 psi and is on its way down
    for _ in range(20):
        rule.advance(running, 10.0)
    # 130 psi of suction times exp(-2.2) is 14 psi: under the 50 at which it opens
    assert rule.moves(running) == (("lp~contact", False),)


def test_standing_pressure_stays_while_there_is_liquid():
    rule = pressure("low")
    still = view(comp=0.0)
    rule.charge = 0.5
    assert rule.goal(still) == EQUAL_PA
    rule.charge = ALL_VAPOUR / 2.0
    assert rule.goal(still) == pytest.approx(EQUAL_PA / 2.0)
