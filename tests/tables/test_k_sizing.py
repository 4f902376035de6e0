"""Check values of codes, supply, flicker, capacitors and shock, each with its source beside it.

"From memory" marks a printed source that was not at hand.
"""

import math

import pytest
from pytest import approx

from trainer.base.errors import TrainerError
from trainer.sizing import capacitors, code, conductors, flicker, generator, supply
from trainer.unit import body

FT = 0.3048
#: Locked-rotor impedance at the line, run capacitor in, of the 230 V motor of Fitzgerald,
#: Kingsley, Umans, Electric Machinery 6th ed., Example 9.5 (computed from its parameters).
LOCKED_OHMS = 1.270 + 2.744j


def test_k41_minimum_circuit_ampacity():
    # NEC 2023 440.33, 440.35: 1.25 x 16.7 + 1.2 = 22.075
    assert code.minimum_circuit_ampacity(16.7, [1.2]).value == approx(22.1, abs=0.1)


def test_k42_breaker_of_a_unit_with_a_fan():
    # NEC 2023 440.22(A), (B)(1): 1.75 x 16.7 + 1.2 = 30.4, rounded down
    assert code.breaker_ceiling(16.7, [1.2]).value == approx(30.425, abs=1e-9)
    assert code.maximum_breaker(16.7, [1.2]).value == 30.0
    # NEC 2023 440.22(A) Exception 2: 2.25 x 16.7 = 37.6, + 1.2 = 38.8
    ceiling = code.breaker_ceiling(16.7, [1.2], will_not_start=True)
    assert round(ceiling.number, 1) == 38.8


def test_k43_breaker_of_a_single_compressor():
    # NEC 2023 440.22(A): 1.75 x 17.9 = 31.3, next size up allowed by Exception 1
    assert round(code.breaker_ceiling(17.9).number, 1) == 31.3
    assert code.maximum_breaker(17.9).value == 35.0
    # Exception 2: 2.25 x 17.9 = 40.3 (40.275)
    assert code.breaker_ceiling(17.9, will_not_start=True).number == approx(40.275, abs=1e-9)


def test_k44_disconnect():
    # NEC 2023 440.12(A)(1): 1.15 x 16.7 = 19.2
    assert code.disconnect_least(16.7).value == approx(19.2, abs=0.1)


def test_k45_locked_amps_from_code_letter():
    # NEC 2023 Table 430.7(B), letter G 5.6-6.29 kVA/hp; 5 hp at 230 V
    low, high = code.locked_rotor_by_letter("G", 5.0, 230.0).window
    assert (low, high) == (approx(121.7, abs=0.1), approx(136.7, abs=0.1))


def test_k46_locked_amps_are_six_times_full_load():
    # NEC 2023 Tables 430.248 and 430.251(A), 3 hp 230 V
    assert code.full_load_current(3.0, 230.0).value == 17.0
    assert code.locked_rotor_current(3.0, 230.0).value == 102.0 == 6 * 17.0


def test_k47_drop_of_a_branch():
    # NEC 2023 Chapter 9 Table 8: 10 AWG stranded 1.24 ohm/kft; 2 x 100 ft, 20 A
    volts = conductors.volt_drop(20.0, conductors.loop_ohms("10 AWG", 100 * FT))
    assert volts == approx(4.96, rel=0.005)
    assert 100 * volts / 240 == approx(2.07, rel=0.005)


def test_k48_drop_while_locked():
    # the same wire at 79 A, resistive part (computed from NEC 2023 Chapter 9 Table 8)
    volts = conductors.volt_drop(79.0, conductors.loop_ohms("10 AWG", 100 * FT))
    assert volts == approx(19.6, rel=0.005)
    assert 100 * volts / 240 == approx(8.2, rel=0.005)


def test_k49_cold_wire():
    # alpha 0.00323 about 75 degC, NEC Chapter 9 Table 8 note (from memory)
    assert conductors.conductor_ohms("10 AWG", 1000 * FT, at_c=20.0) == approx(1.02, rel=0.005)


def test_k50_transformer_ohms():
    # IEEE 8500-node test feeder, reduced to the 240 V series connection, 25 kVA
    z = supply.transformer_ohms(25.0)
    assert (z.real, z.imag) == (approx(0.02765, rel=0.005), approx(0.03917, rel=0.005))


def test_k51_sag_on_25_kva():
    # computed: Fitzgerald 9.5 motor locked, 240 V behind the transformer of K50 alone
    found = supply.sag(supply.transformer_ohms(25.0), LOCKED_OHMS, 240.0)
    assert found.pct == approx(1.54, rel=0.02)
    assert (found.volts, found.amps) == (approx(236.3, rel=0.02), approx(78.2, rel=0.02))


def test_k52_sag_on_10_kva():
    # computed as K51, 10 kVA: .0691 + j.0979 ohm
    assert supply.transformer_ohms(10.0) == approx(0.0691 + 0.0979j, rel=0.005)
    found = supply.sag(supply.transformer_ohms(10.0), LOCKED_OHMS, 240.0)
    assert found.pct == approx(3.76, rel=0.02)


def test_k53_sag_on_25_kva_with_conductors():
    # computed as K51 with 100 ft 1/0 aluminium and 50 ft 10 AWG copper, resistance only
    loops = conductors.loop_ohms("1/0 AWG Al", 100 * FT)
    loops += conductors.loop_ohms("10 AWG", 50 * FT)
    source = supply.transformer_ohms(25.0) + loops
    assert source == approx(0.192 + 0.039j, rel=0.005)
    found = supply.sag(source, LOCKED_OHMS, 240.0)
    assert found.pct == approx(3.82, rel=0.02)
    assert found.volts == approx(230.8, rel=0.02)


# IEC 61000-4-15 ed. 2 (2010) performance test, as tabulated in a flickermeter verification
# script of a national metrology institute; 110 a minute is outside the analytical method.
@pytest.mark.parametrize("per_min, d_pct", [(1, 3.181), (7, 1.694), (39, 1.040)])
def test_k55_pst_one_points_120_v_60_hz(per_min, d_pct):
    factor = flicker.lamp_factor("120 V 60 Hz")
    assert flicker.pst(d_pct, 10 * per_min, factor) == approx(1.0, rel=0.05)


@pytest.mark.parametrize("per_min, d_pct", [(1, 2.715), (7, 1.450), (39, 0.894)])
def test_k56_pst_one_points_230_v_50_hz(per_min, d_pct):
    factor = flicker.lamp_factor("230 V 50 Hz")
    assert flicker.pst(d_pct, 10 * per_min, factor) == approx(1.0, rel=0.05)


def test_k57_pst_is_linear_in_the_change():
    # by the formula
    assert flicker.pst(4.0, 6) == approx(2 * flicker.pst(2.0, 6), rel=0.005)


def test_k58_ten_steps_in_ten_minutes():
    # IEC 61000-3-3 analytical method (from memory): 10 steps of 2.724 %
    assert flicker.pst(2.724, 10) == approx(0.983, rel=0.01)


def test_k59_one_change_for_pst_one():
    # IEC 61000-3-3 analytical method (from memory)
    assert flicker.change_for_pst(1.0, 1) == approx(5.69, rel=0.01)
    assert flicker.pst(5.69, 1) == approx(1.0, rel=0.01)


def test_k60_reference_impedance():
    # IEC TR 60725 (from memory): 0.4 + j0.25 ohm
    assert flicker.reference_impedance() == approx(0.4 + 0.25j, rel=1e-12)
    assert round(abs(flicker.reference_impedance()), 4) == 0.4717


def test_k61_amps_for_four_per_cent():
    # computed from the IEC TR 60725 impedance (from memory): 230 V, power factor 0.4
    amps = flicker.amps_for_dmax(flicker.reference_impedance(), 4.0, 0.4, 230.0)
    assert amps == approx(23.6, rel=0.01)


def test_k62_generator_dip():
    # dip formula (from memory): 10 kVA, X'd 0.20, 19.06 kVA locked
    lost = generator.dip(10.0, 19.06, 0.20)
    assert 100 * lost == approx(27.6, rel=0.01)
    assert 1 - lost == approx(0.724, rel=0.01)


def test_k63_energy_of_a_start_capacitor():
    # W = C V^2/2 at the peak of 330 V rms
    assert capacitors.peak_of(330.0) == approx(466.7, rel=0.002)
    assert capacitors.stored_j(108e-6, capacitors.peak_of(330.0)) == approx(11.76, rel=0.002)


def test_k64_energy_of_a_run_capacitor():
    # W = C V^2/2 at the peak of 440 V rms
    assert capacitors.peak_of(440.0) == approx(622.3, rel=0.002)
    assert capacitors.stored_j(40e-6, capacitors.peak_of(440.0)) == approx(7.74, rel=0.002)


def test_k65_bleed_of_15_kohm():
    # t = RC ln(V0/V); 15 kohm is common practice, no source
    assert capacitors.volts_left(108e-6, 15e3, 466.7, 1.62) == approx(466.7 / math.e, rel=0.005)
    assert capacitors.bleed_s(108e-6, 15e3, 466.7) == approx(3.62, rel=0.005)
    assert capacitors.volts_left(108e-6, 15e3, 466.7, 3.62) == approx(50.0, rel=0.005)


def test_k66_largest_bleed_of_108_uf():
    # NEC 2023 460.6: 50 V within a minute
    assert capacitors.largest_bleed(108e-6, 466.7).value == approx(248.6e3, rel=0.005)


def test_k67_largest_bleed_of_40_uf():
    # NEC 2023 460.6: 50 V within a minute
    assert capacitors.largest_bleed(40e-6, 622.3).value == approx(595e3, rel=0.005)


def test_k68_discharge_tool():
    # t = RC ln(V0/V) and P = V^2/R with 20 kohm
    assert capacitors.bleed_s(108e-6, 20e3, 466.7) == approx(4.83, rel=0.005)
    assert capacitors.bleed_peak_w(20e3, 466.7) == approx(10.9, rel=0.005)


def test_k69_hazard_class():
    # electrical-safety page of a national laboratory: 100 V and 10 J
    assert body.capacitor_hazard(467.0, 11.76) == "shock"
    assert body.capacitor_hazard(622.0, 7.74) == "treat as hazardous"


def test_k70_discharge_through_a_body():
    # IEC 60479-2 (from memory): 108 uF at 466.7 V through 1000 ohm, rms over 3 time constants
    assert body.discharge_peak_a(466.7, 1000.0) == approx(0.467, rel=0.005)
    left = capacitors.volts_left(108e-6, 1000.0, 466.7, 0.108)
    assert left == approx(466.7 / math.e, rel=0.005)
    assert body.discharge_rms_a(466.7, 1000.0) == approx(0.191, rel=0.005)


def test_k71_touch_current():
    # IEC TS 60479-1:2005 (from memory): 225 V row, 50 %, 1225 ohm
    assert body.body_ohms(225.0) == 1225.0
    assert 240.0 / body.body_ohms(225.0) == approx(0.196, rel=0.01)
    assert 240.0 / body.body_ohms(225.0) > 0.030


@pytest.mark.parametrize("uf, good", [(42.3, True), (47.7, True), (42.29, False), (47.71, False)])
def test_k76_run_capacitor_tolerance(uf, good):
    # 45 uF +-6 %: 42.3-47.7 uF (trade and component pages)
    assert capacitors.passes_tolerance(45e-6, uf * 1e-6, 0.06, 0.06) is good


@pytest.mark.parametrize("uf, good", [(88, True), (108, True), (87.9, False), (108.1, False)])
def test_k77_start_capacitor_range(uf, good):
    # a start capacitor marked 88-108 uF (trade and component pages)
    assert capacitors.passes_range((88e-6, 108e-6), uf * 1e-6) is good


def test_k78_life_exponent():
    # IEC 60252-1 classes A/B/C/D: rated over endurance hours = 5 at 1.25 U_N (hours from memory)
    for rated_h, test_h in ((30000, 6000), (10000, 2000), (3000, 600), (1000, 200)):
        assert capacitors.life_exponent(rated_h / test_h, 1.25) == approx(7.21, abs=0.01)


def test_k79_film_life():
    # life law L = L_N (U_N/U)^7 (from memory)
    assert capacitors.film_life_h(10000.0, 1.1, exponent=7.0) == approx(5130.0, rel=0.01)


def test_k80_contactor_pull_in():
    # NEMA ICS 2, IEC 60947-4-1 (from memory): 85 % of 24 V
    assert supply.coil_must_pull_in_volts(24.0).number == approx(20.4, abs=1e-9)


def test_k81_least_operating_volts():
    # 208-230 V unit, 10 % under 208 V (from memory)
    assert supply.least_operating_volts(208.0).value == approx(187.0, abs=0.5)


def test_the_analytical_method_refuses_110_changes_a_minute():
    # IEC 61000-3-3 (from memory): changes must lie a second apart
    with pytest.raises(TrainerError, match="beyond the analytical method"):
        flicker.pst(0.844, 1100)


def test_the_locked_impedance_is_that_of_the_published_motor():
    # 230 V over its locked-rotor impedance: 76.1 A, computed from Fitzgerald 9.5
    assert 230.0 / abs(LOCKED_OHMS) == approx(76.1, rel=0.005)
    assert math.cos(math.atan2(2.744, 1.270)) == approx(0.42, abs=0.005)
