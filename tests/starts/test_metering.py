"""A meter on studies: dead, live, and where a conductor runs."""

import math

import pytest
from pytest import approx

from tests.starts.variants import study, with_parts
from trainer.base.errors import TrainerError
from trainer.starts.metering import conductor, meter
from trainer.study.build import build

LEADS = 0.2


@pytest.mark.parametrize(
    "pair, ohms",
    # the anchor motor's 0.55 and 2.2 ohm and the 4 mohm overload in common; in circuit the fan's
    # main winding of 24 ohm, its overload and leads (24.14) lie across C and R
    [("CR", 0.5417), ("CS", 2.204), ("RS", 2.738)],
)
def test_ohms_of_the_windings(pair, ohms):
    found = meter(study("psc"), "ohms", f"comp.{pair[0]}", f"comp.{pair[1]}")
    assert found.value == approx(ohms + LEADS, abs=0.005)


def test_an_open_overload_by_ohms():
    which = study("common-open")
    # the trap of a reading in circuit: C to R shows the fan, not the open overload
    assert meter(which, "ohms", "comp.C", "comp.R").value == approx(24.14 + LEADS, abs=0.1)
    assert meter(which, "ohms", "comp.R", "comp.S").value == approx(2.75 + LEADS, abs=0.005)
    alone = which.model_copy(update={"wires": [w for w in which.wires if w.end != "fan.1"]})
    assert math.isinf(meter(alone, "ohms", "comp.C", "comp.R").value)


def test_without_a_time_every_supply_is_off():
    assert meter(study("psc"), "volts", "service.L1", "service.L2").value == approx(0.0, abs=1e-3)


@pytest.mark.parametrize(
    "a, b, at_s, volts, within",
    [
        ("service.L1", "service.L2", 0.04, 240.0, 0.5),
        ("service.L1", "chassis", 0.04, 120.0, 0.5),
        ("comp.C", "comp.R", 0.04, 0.0, 0.01),
        # running: worked out on paper in scenarios/studies/expected.yaml
        ("comp.S", "comp.C", 2.9, 319.3, 5.0),
        ("comp.C", "comp.R", 2.9, 238.0, 1.0),
    ],
)
def test_volts_of_the_plain_start(a, b, at_s, volts, within):
    assert meter(study("psc"), "volts", a, b, at_s).value == approx(volts, abs=within)


def test_a_clamp_on_the_start_lead():
    # run capacitor 35 uF at 402.5 V: 5.31 A
    found = meter(study("psc"), "amps", "comp.S", "can.H", 2.9)
    assert found.value == approx(5.31, rel=0.02)


def test_charge_left_in_the_start_capacitor():
    # left with 724 V after 0.22 s, bleed 15 kohm x 98 uF = 1.47 s; the reading at 2.2 s is the
    # mean of the six cycles before it, so that of 2.15 s
    found = meter(study("potential-relay"), "volts_dc", "sc.1", "sc.2", 2.2)
    assert abs(found.value) == approx(724.0 * math.exp(-1.93 / 1.47), rel=0.02)


def test_ohms_on_live_points_are_refused():
    found = meter(study("psc"), "ohms", "comp.C", "comp.R", 2.0)
    assert found.value is None
    assert "live" in found.shown_note


def test_minutes_later():
    assert meter(study("psc"), "volts", "comp.C", "comp.R", 120.0).value == approx(238.0, abs=1.5)


def test_charge_that_a_study_begins_with():
    which = with_parts(
        "potential-relay", sc={"charge": 300.0, "bleed": None}, pr={"contact_found": "stuck_open"}
    )
    assert meter(which, "volts_dc", "sc.1", "sc.2").value == approx(300.0, rel=0.01)


def test_conductors_are_found_from_either_end():
    elements, _ = build(study("psc"))
    assert conductor(elements, "comp.C", "contactor.T1") == "contactor.T1>comp.C"
    with pytest.raises(TrainerError, match="no conductor runs") as caught:
        conductor(elements, "comp.C", "comp.S")
    assert "contactor.T1" in caught.value.hint


def test_a_terminal_that_is_not_there():
    with pytest.raises(TrainerError, match=r"no point called 'comp\.X'"):
        meter(study("psc"), "ohms", "comp.X", "comp.R")
