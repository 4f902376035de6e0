"""Instruments on a dead circuit: what else is connected shows in the reading."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.circuit import draws
from tests.circuit.build import Bench
from tests.outside import examples
from trainer.circuit.dead import (
    DISCHARGE,
    LIVE,
    SHUNTED,
    Dead,
    continuity,
    farads,
    insulation,
    ohms,
)
from trainer.circuit.meter import Meter, Reading

#: Leads taken off, so that hand calculation stays plain.
BARE = Meter(lead_ohms=0.0)


def reading(bench: Bench, function, a: str, b: str, **state) -> Reading:  # type: ignore[no-untyped-def]
    dead = Dead(bench.elements, **state)
    meter = () if function is insulation else (BARE,)
    return function(dead, bench.node(a), bench.node(b), *meter)


def motor() -> Bench:
    return Bench().machine("m", "C", "S", "R")


@pytest.mark.parametrize(
    ("a", "b", "expected"), [("C", "R", 0.58), ("C", "S", 3.37), ("R", "S", 3.95)]
)
def test_windings_of_a_compressor_at_its_terminals(a: str, b: str, expected: float) -> None:
    """Fitzgerald, Kingsley, Umans, 6th ed., Example 9.5: 0.58 and 3.37 ohm; R-S is the sum."""
    assert reading(motor(), ohms, a, b).value == pytest.approx(expected, rel=1e-6)


def test_open_protector_in_common_leaves_only_run_to_start() -> None:
    bench = Bench().machine("m", "inner", "S", "R").s("protector", "C", "inner", closed=False)
    assert reading(bench, ohms, "C", "R").value == math.inf
    assert reading(bench, ohms, "R", "S").value == pytest.approx(3.95, rel=1e-6)


def test_warm_windings_read_higher_by_the_copper_rule() -> None:
    # (234.5 + 75) / (234.5 + 25) = 1.1927 (copper, IEC 60034-1, from memory)
    found = reading(motor(), ohms, "C", "R", temps={"m": (75.0, 75.0)})
    assert found.value == pytest.approx(0.58 * 309.5 / 259.5, rel=1e-6)


def test_leads_add_their_own_resistance() -> None:
    bench = motor()
    found = ohms(Dead(bench.elements), bench.node("C"), bench.node("R"), Meter(lead_ohms=0.2))
    assert found.value == pytest.approx(0.78, rel=1e-6)


def test_a_coil_through_the_rest_of_its_circuit() -> None:
    """15 ohm coil in parallel with a 24 V secondary of 1 ohm reads 0.9375, not 15."""
    bench = Bench().l("coil", "a", "b", 15.0, 0.1).l("secondary", "a", "b", 1.0, 1e-3)
    assert reading(bench, ohms, "a", "b").value == pytest.approx(15 / 16, rel=1e-6)


def test_a_transformer_does_not_pass_the_meter_across() -> None:
    bench = Bench().transformer("t", "h1", "h2", "x1", "x2", turns=10.0, ohms=2.0)
    bench.r("load", "x1", "x2", 100.0)
    assert reading(bench, ohms, "h1", "h2").value == pytest.approx(2.0, rel=1e-6)
    assert reading(bench, ohms, "x1", "x2").value == pytest.approx(100.0, rel=1e-6)
    assert reading(bench, ohms, "h1", "x1").value == math.inf


def test_an_open_contact_among_fifty_terminals_is_over_range() -> None:
    bench = Bench().s("k", "line0", "load0", closed=False)
    for k in range(25):
        bench.r(f"a{k}", f"line{k}", f"line{k + 1}", 1e-3).r(
            f"b{k}", f"load{k}", f"load{k + 1}", 1e-3
        )
    assert reading(bench, ohms, "line0", "load0").value == math.inf


def test_both_leads_on_one_point_read_nothing_but_leads() -> None:
    assert reading(motor(), ohms, "C", "C").value == 0.0


def test_a_good_capacitor_is_open_after_it_has_charged() -> None:
    bench = Bench().c("rc", "a", "b", 45e-6)
    assert reading(bench, ohms, "a", "b").value == math.inf


def test_a_bleed_resistor_climbs_to_its_value() -> None:
    """15 kohm across 108 uF: within 1 % after 4.6 time constants of 1.62 s."""
    bench = Bench().c("sc", "a", "b", 108e-6).r("bleed", "a", "b", 15e3)
    found = reading(bench, ohms, "a", "b")
    assert found.value == pytest.approx(15e3, rel=1e-4)
    assert found.shown_note == "climbs for about 7 s while a capacitor charges"


def test_a_little_charge_falsifies_and_much_swamps() -> None:
    bench = Bench().c("sc", "a", "b", 108e-6).r("bleed", "a", "b", 15e3)
    false = reading(bench, ohms, "a", "b", charge_v={"sc": 0.1})
    assert false.value == pytest.approx(15e3 + 0.1 / 1e-5, rel=1e-3)
    assert "falsify" in false.shown_note
    assert reading(bench, ohms, "a", "b", charge_v={"sc": 300.0}).shown_note == DISCHARGE


@pytest.mark.parametrize("function", [ohms, farads, insulation, continuity])
def test_live_points_show_nothing(function) -> None:  # type: ignore[no-untyped-def]
    found = reading(motor(), function, "C", "R", live_v=240.0)
    assert (found.value, found.shown_note) == (None, LIVE)


def test_continuity_sounds_below_its_threshold() -> None:
    bench = Bench().r("low", "a", "b", 10.0).r("high", "c", "d", 200.0).r("far", "e", "f", 1e3)
    assert reading(bench, continuity, "a", "b").shown_note == "tone"
    assert reading(bench, continuity, "c", "d").shown_note == "no tone"
    assert reading(bench, continuity, "e", "f").value == math.inf


@pytest.mark.parametrize("value", [4.7e-9, 5e-6, 45e-6, 108e-6, 400e-6])
def test_a_capacitor_alone_reads_its_value(value: float) -> None:
    bench = Bench().c("c", "a", "b", value, esr=0.5)
    assert reading(bench, farads, "a", "b").value == pytest.approx(value, rel=2e-4)


def test_series_and_parallel_capacitors() -> None:
    bench = Bench().c("1", "a", "m", 40e-6).c("2", "m", "b", 10e-6).c("3", "a", "b", 5e-6)
    assert reading(bench, farads, "a", "b").value == pytest.approx(13e-6, rel=1e-4)


def test_a_bleed_resistor_makes_a_capacitor_read_high() -> None:
    """1 mA into 15 kohm and 90 uF: I tau ln((15 - 0.1)/(15 - 0.5)) / 0.4 V, 2.0 % high."""
    bench = Bench().c("sc", "a", "b", 90e-6).r("bleed", "a", "b", 15e3)
    expected = 1e-3 * (15e3 * 90e-6) * math.log(14.9 / 14.5) / 0.4
    assert reading(bench, farads, "a", "b").value == pytest.approx(expected, rel=1e-4)
    assert expected == pytest.approx(1.020 * 90e-6, rel=1e-3)


def test_a_winding_across_a_capacitor_keeps_it_off_the_scale() -> None:
    found = reading(motor().c("rc", "R", "S", 45e-6), farads, "R", "S")
    assert (found.value, found.shown_note) == (math.inf, SHUNTED)


def test_a_charged_capacitor_must_be_discharged_first() -> None:
    bench = Bench().c("sc", "a", "b", 108e-6)
    assert reading(bench, farads, "a", "b", charge_v={"sc": -300.0}).shown_note == DISCHARGE
    assert reading(bench, insulation, "a", "b", charge_v={"sc": -300.0}).value is None


def test_charge_behind_an_open_contact_disturbs_by_its_leakage_alone() -> None:
    """300 V behind 1 Gohm: 0.3 uA into 1 kohm, against 100 uA of the meter: 3 ohm."""
    bench = Bench().c("sc", "a", "x", 108e-6).s("k", "x", "b", closed=False).r("w", "a", "b", 1e3)
    found = reading(bench, ohms, "a", "b", charge_v={"sc": 300.0})
    assert found.value == pytest.approx(1003.0, abs=0.5)


def test_an_open_pair_has_no_capacitance() -> None:
    assert reading(Bench().r("w", "a", "b", 0.1), farads, "a", "chassis").value == pytest.approx(
        0.0, abs=1e-12
    )


def test_a_sound_compressor_reads_high_to_the_shell() -> None:
    """Over 100 Mohm is good (common practice, no source)."""
    found = reading(motor(), insulation, "C", "chassis")
    assert found.value is not None
    assert found.value == pytest.approx(5000.0 / 3, rel=1e-3)


def test_a_grounded_winding_reads_its_fault_and_pulls_the_volts_down() -> None:
    found = reading(motor().r("fault", "S", "chassis", 50e3), insulation, "R", "chassis")
    assert found.value == pytest.approx(0.05, rel=1e-3)
    assert found.shown_note == "test volts give way"


def test_insulation_test_leaves_a_capacitor_charged() -> None:
    bench = Bench().c("rc", "a", "chassis", 5e-6)
    assert "rc" in reading(bench, insulation, "a", "chassis").shown_note


@settings(deadline=None, max_examples=examples(60))
@given(draws.items(), st.sampled_from([ohms, farads, insulation, continuity]))
def test_any_wiring_gives_a_reading(drawn: list[draws.Item], function) -> None:  # type: ignore[no-untyped-def]
    bench = draws.lay_out(draws.names_of(drawn))
    found = reading(bench, function, bench.elements.nodes[-1], "chassis")
    assert found.value is not None
    assert found.value >= 0.0


@settings(deadline=None, max_examples=examples(60))
@given(draws.items())
def test_leads_may_be_exchanged(drawn: list[draws.Item]) -> None:
    bench = draws.lay_out(draws.names_of(drawn))
    first, last = (
        bench.elements.nodes[1 if len(bench.elements.nodes) > 1 else 0],
        bench.elements.nodes[-1],
    )
    forth, back = reading(bench, ohms, first, last), reading(bench, ohms, last, first)
    assert forth.value == pytest.approx(back.value, rel=1e-9)
