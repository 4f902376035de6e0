"""From a trip curve to heat constants and back."""

import math

import pytest

from trainer.parts.heat import TripCurve


def test_the_given_point_is_on_the_curve():
    curve = TripCurve(holds_a=10.0, trips_a=20.0, after_s=30.0)
    assert curve.seconds(20.0) == pytest.approx(30.0)


def test_it_holds_its_holding_current():
    assert math.isinf(TripCurve(10.0, 20.0, 30.0).seconds(10.0))


def test_element_of_the_curve():
    # tau = 30/ln(4/3) = 104.28 s; r = 100/(0.01 * 100) = 100 K/W
    c, r = TripCurve(10.0, 20.0, 30.0).element(ohms=0.01, rise_k=100.0)
    assert r == pytest.approx(100.0)
    assert c * r == pytest.approx(104.28, rel=1e-4)
