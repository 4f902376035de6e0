"""Resistance and drop of conductors beyond the published rows."""

from pytest import approx

from trainer.sizing import conductors


def test_solid_wire_has_less_resistance():
    # NEC 2023 Chapter 9 Table 8: 10 AWG solid 1.21, stranded 1.24 ohm/kft
    solid = conductors.conductor_ohms("10 AWG solid", 304.8)
    assert (solid, conductors.conductor_ohms("10 AWG", 304.8)) == (approx(1.21), approx(1.24))


def test_metals_change_with_heat_in_their_own_way():
    # alpha 0.00323 and 0.00330 about 75 degC, NEC Chapter 9 Table 8 note (from memory)
    cold = conductors.conductor_ohms("10 AWG", 304.8, at_c=25.0)
    assert cold == approx(1.24 * (1 - 50 * 0.00323))
    cold = conductors.conductor_ohms("1/0 AWG Al", 304.8, at_c=25.0)
    assert cold == approx(0.201 * (1 - 50 * 0.00330))


def test_reactance_counts_at_a_poor_power_factor():
    # I (R cos + X sin): 10 (0.1 x 0.6 + 0.1 x 0.8) = 1.4 V
    assert conductors.volt_drop(10.0, 0.1 + 0.1j, 0.6) == approx(1.4)
    assert conductors.volt_drop(10.0, 0.1 + 0.1j) == approx(1.0)
