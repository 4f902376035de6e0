"""Relay windows of the anchor motor (invented) against the figures worked for it by hand."""

import pytest
from pytest import approx

from tests.sizing.motors import ANCHOR, ANCHOR_HZ, ANCHOR_RUN_F, ANCHOR_VOLTS
from trainer.motor import psc
from trainer.parts.gear import RelayClass
from trainer.sizing import relay
from trainer.sizing.tables import start_gear

LINE = psc.Line(ANCHOR_VOLTS, ANCHOR_HZ, ANCHOR_RUN_F)
WITH_98 = 98e-6
#: Slip at the rated load of 7.2 N m.
RATED_SLIP = 0.021


def test_windows_of_the_anchor_motor_with_98_uf():
    # worked from the anchor's V(S-C): 85 and 103 V at rest and 60 % speed, 241 V at 85 %:
    # pickup 1.25 x 1.1 x 103 = 142 to 0.85 x 241 = 205; opening at 190 V leaves 134 V: drop-out
    # under 0.85 x 134 = 114; running 296 V: coil of at least 1.1 x 296 = 326
    found = relay.needs(ANCHOR, LINE, WITH_98, RATED_SLIP, 190.0)
    assert found.pickup.window == (approx(142.0, abs=1.5), approx(205.0, abs=1.5))
    assert found.dropout.number == approx(114.0, abs=2.0)
    assert found.continuous.number == approx(326.0, rel=0.02)


def test_class_b_fits_the_anchor_motor_with_98_uf_and_its_neighbours_do_not():
    assert fitting(WITH_98) == ["B"]


def test_class_c_from_120_uf():
    # worked by hand for this motor: class C with 120-135 uF
    assert fitting(120e-6) == ["C"]


def test_an_oversized_capacitor_leaves_no_class():
    assert fitting(208e-6) == []


def test_pickup_180_is_reached_between_75_and_85_per_cent_speed():
    # common practice, no source: 180 V in the region of 75-85 % speed on a 230 V unit
    line = psc.Line(ANCHOR_VOLTS, ANCHOR_HZ, ANCHOR_RUN_F, 98e-6)
    assert 0.75 <= relay.opening_speed(ANCHOR, line, 180.0) <= 0.85


def test_a_relay_that_opens_at_rest_or_never():
    line = psc.Line(ANCHOR_VOLTS, ANCHOR_HZ, ANCHOR_RUN_F, 300e-6)
    assert relay.opening_speed(ANCHOR, line, 190.0) == 0.0
    assert relay.opening_speed(ANCHOR, LINE, 500.0) is None


def test_no_drop_out_for_a_pickup_that_is_never_reached():
    found = relay.dropout_most(ANCHOR, LINE, WITH_98, 900.0)
    assert found.value is None
    assert "never reaches" in found.note


@pytest.mark.parametrize(
    "change, fault",
    [
        ({"pickup": ("130 V", "190 V")}, "too early"),
        ({"pickup": ("160 V", "215 V")}, "late"),
        ({"dropout_most": "130 V"}, "chatter"),
        ({"continuous": "300 V"}, "burn"),
    ],
)
def test_each_way_not_to_fit_is_named(change, fault):
    need = relay.needs(ANCHOR, LINE, WITH_98, RATED_SLIP, 175.0)
    plain = {
        "pickup": ("160 V", "190 V"), "dropout_least": "40 V", "dropout_most": "90 V",
        "continuous": "340 V", "coil": "5 kohm", "operate": "12 ms", "release": "10 ms",
    }  # fmt: skip
    assert relay.misfits(RelayClass(**plain), need) == []
    faults = relay.misfits(RelayClass(**{**plain, **change}), need)
    assert len(faults) == 1
    assert fault in faults[0]


def fitting(start):
    found = []
    for name, row in start_gear().relay_classes.items():
        middle = sum(row.pickup) / 2
        if not relay.misfits(row, relay.needs(ANCHOR, LINE, start, RATED_SLIP, middle)):
            found.append(name)
    return found
