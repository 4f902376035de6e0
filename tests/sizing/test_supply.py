"""Transformer, drop and sag at their edges."""

from pytest import approx

from trainer.sizing import supply


def test_one_half_of_a_transformer():
    # IEEE 8500-node test feeder, reduced: R 1.8 %, X 2.04 % of 120^2/25000 = 0.576 ohm
    assert supply.transformer_half_ohms(25.0) == approx(0.010368 + 0.0117504j)


def test_service_drop_of_100_ft():
    # 100 ft of 1/0 aluminium: 2 x 0.0201 = 0.0402 ohm (NEC 2023 Chapter 9 Table 8)
    z = supply.drop_ohms(30.48)
    assert (z.real, z.imag) == (approx(0.0402), approx(0.006))


def test_no_source_impedance_no_sag():
    found = supply.sag(0j, 1.0 + 2.0j, 240.0)
    assert found.ratio == approx(0.0, abs=1e-12)
    assert found.volts == approx(240.0)


def test_a_source_like_the_load_takes_half():
    found = supply.sag(1.0 + 2.0j, 1.0 + 2.0j, 240.0)
    assert found.pct == approx(50.0)
