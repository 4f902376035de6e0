import pytest
from pytest import approx

from trainer.base.errors import TrainerError
from trainer.sizing import conductors


def test_solid_wire_has_less_resistance():
    # NEC 2023 Chapter 9 Table 8: 10 AWG solid 1.21, stranded 1.24 ohm/kft
    ratio = conductors.ohms_per_m("10 AWG", solid=True) / conductors.ohms_per_m("10 AWG")
    assert ratio == approx(1.21 / 1.24)


def test_a_size_that_is_not_listed_is_refused():
    with pytest.raises(TrainerError, match="not in the shipped table"):
        conductors.ohms_per_m("10 AWG", "aluminium")
    with pytest.raises(TrainerError, match="no solid"):
        conductors.ohms_per_m("6 AWG", solid=True)


def test_reactance_counts_at_a_poor_power_factor():
    # I (R cos + X sin): 10 (0.1 x 0.6 + 0.1 x 0.8) = 1.4 V
    assert conductors.volt_drop(10.0, 0.1 + 0.1j, 0.6) == approx(1.4)
    assert conductors.volt_drop(10.0, 0.1 + 0.1j) == approx(1.0)
