"""Torque balance: stable branch, stall, coasting, shared supplies, both directions."""

from __future__ import annotations

import math

import pytest

from tests.circuit.build import Bench
from trainer.circuit.equilibrium import equilibrium
from trainer.circuit.phasor import PreparedPhasor, prepare

SYNC = 120.0 * math.pi


def psc(volts: float = 230.0, turned: bool = False) -> Bench:
    bench = Bench().line("u", "R", "C", volts).c("rc", "R", "S", 35e-6)
    ends = ("C", "S", "R") if not turned else ("C", "R", "S")
    return bench.machine("m", *ends)


def net(prepared: PreparedPhasor, speeds: dict[str, float], load: float) -> float:
    return prepared.at(speeds).torque("m") - load


def test_rated_torque_of_the_published_machine_is_met_near_its_published_speed() -> None:
    """Fitzgerald, Kingsley, Umans, 6th ed., Example 9.5: 9.75 N m at 3500 r/min on 230 V."""
    found = equilibrium(prepare(psc().elements), {"m": lambda w: 9.75})
    assert found.speeds["m"] * 30.0 / math.pi == pytest.approx(3500.0, abs=2.0)
    assert (found.stalls, found.dead, found.settled) == ((), (), True)


def test_torque_is_balanced_and_falls_with_speed_there() -> None:
    prepared = prepare(psc().elements)
    speeds = equilibrium(prepared, {"m": lambda w: 7.1}, {"m": 200.0}).speeds
    assert net(prepared, speeds, 7.1) == pytest.approx(0.0, abs=1e-7)
    assert net(prepared, {"m": speeds["m"] + 1.0}, 7.1) < 0.0


def test_the_same_balance_from_near_and_far() -> None:
    prepared = prepare(psc().elements)
    loads = {"m": lambda w: 7.1}
    ends = [
        equilibrium(prepared, loads, {"m": w}).speeds["m"] for w in (376.0, 370.0, 250.0, 500.0)
    ]
    assert ends == pytest.approx([ends[0]] * 4, rel=1e-9)


@pytest.mark.parametrize(("volts", "stalls"), [(150.0, False), (135.0, True)])
def test_stall_voltage_of_a_constant_load(volts: float, stalls: bool) -> None:
    """7.1 N m stalls at 142 V (worked out from the example's parameters); from running speed."""
    found = equilibrium(prepare(psc(volts).elements), {"m": lambda w: 7.1})
    assert (found.stalls == ("m",)) is stalls
    assert (found.speeds["m"] == 0.0) is stalls


def test_run_capacitor_alone_cannot_start_against_a_load() -> None:
    """Standing torque with 35 uF is 0.60 N m (worked out from the example's parameters)."""
    prepared = prepare(psc().elements)
    assert equilibrium(prepared, {"m": lambda w: 0.9}, {"m": 0.0}).stalls == ("m",)
    assert equilibrium(prepared, {"m": lambda w: 0.5}, {"m": 0.0}).speeds["m"] > 0.95 * SYNC


def test_exchanged_windings_run_it_backwards_against_a_signed_load() -> None:
    """The main winding behind the capacitor: a weak motor that turns the other way."""
    prepared = prepare(psc(turned=True).elements)
    assert prepared.at({}).torque("m") < 0.0
    found = equilibrium(prepared, {"m": lambda w: math.copysign(0.05, w)}, {"m": 0.0})
    assert found.speeds["m"] < -0.5 * SYNC


def test_without_power_it_coasts_to_rest_and_is_not_a_stall() -> None:
    bench = psc().s("k", "X", "Y", closed=False)
    bench.elements.inductives.clear()
    found = equilibrium(prepare(bench.elements), {"m": lambda w: 1.0})
    assert (found.dead, found.stalls, found.speeds["m"]) == (("m",), (), 0.0)


def test_two_machines_on_one_weak_supply_slow_each_other() -> None:
    bench = Bench().line("u", "R", "C", 230.0, ohms=0.5, henries=1e-3)
    for k in ("1", "2"):
        bench.machine(k, "C", f"S{k}", "R").c(f"rc{k}", "R", f"S{k}", 35e-6)
    prepared = prepare(bench.elements)
    loads = {"1": lambda w: 7.0, "2": lambda w: 3.0}
    found = equilibrium(prepared, loads)
    assert found.settled
    solution = prepared.at(found.speeds)
    assert (solution.torque("1"), solution.torque("2")) == pytest.approx((7.0, 3.0), abs=1e-5)
    alone = equilibrium(prepared, {"1": loads["1"]})
    assert alone.speeds["1"] > found.speeds["1"]


def test_fan_load_from_standstill() -> None:
    """A load that rises with the square of speed is met on the falling branch."""
    prepared = prepare(psc().elements)
    found = equilibrium(prepared, {"m": lambda w: 9.0 * (w / SYNC) ** 2}, {"m": 0.0})
    speed = found.speeds["m"]
    assert prepared.at(found.speeds).torque("m") == pytest.approx(
        9.0 * (speed / SYNC) ** 2, rel=1e-7
    )
    assert speed > 0.9 * SYNC


def test_a_circuit_without_machines_is_settled() -> None:
    assert equilibrium(prepare(Bench().elements), {}).settled
