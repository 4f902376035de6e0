"""Fields: text with a unit in, SI out."""

import math

import pytest
from pydantic import ValidationError

from trainer.base import fields, units
from trainer.base.fields import (
    AnyVolts,
    Celsius,
    Farads,
    Gauge,
    NonNegativeSeconds,
    Ohms,
    Percent,
    Radians,
    Record,
    Rpm,
    SquareMetres,
)


class Can(Record):
    size: Farads
    esr: Ohms = 0.1
    at: NonNegativeSeconds = 0.0


class Odds(Record):
    volts: AnyVolts
    slip: Percent
    angle: Radians
    speed: Rpm
    gauge: Gauge
    area: SquareMetres
    heat: Celsius


def test_si_out_and_defaults_as_written():
    can = Can.model_validate({"size": "45 uF"})
    assert (can.size, can.esr, can.at) == (45e-6, 0.1, 0.0)


def test_each_name_is_the_unit_that_comes_out():
    odds = Odds.model_validate(
        {
            "volts": "-1.5 V",
            "slip": "5 %",
            "angle": "180 deg",
            "speed": "3450 rpm",
            "gauge": "10 AWG",
            "area": "2.5 mm2",
            "heat": "77 degF",
        }
    )
    assert odds.volts == -1.5
    assert odds.slip == 0.05
    assert odds.angle == pytest.approx(math.pi)
    assert (odds.speed, odds.gauge, odds.area) == (3450.0, 10.0, 2.5e-6)
    assert odds.heat == pytest.approx(25.0)


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"size": "0 uF"}, "'0 uF' must be above zero"),
        ({"size": "-45 uF"}, "'-45 uF' must be above zero"),
        ({"size": "45 uF", "at": "-1 s"}, "'-1 s' must be at least zero"),
        ({"size": 45e-6}, "'4.5e-05' has no unit"),
        ({"size": "45 V"}, "'45 V' measures volts, not farads"),
    ],
)
def test_refused(given, message):
    with pytest.raises(ValidationError, match=message):
        Can.model_validate(given)


def test_percent_is_at_most_all():
    class Share(Record):
        share: Percent

    with pytest.raises(ValidationError, match="must be at most 100 %"):
        Share.model_validate({"share": "101 %"})


def test_nothing_is_colder_than_absolute_zero():
    class Room(Record):
        heat: Celsius

    with pytest.raises(ValidationError, match="must be at least -273 °C"):
        Room.model_validate({"heat": "-300 degC"})


def test_records_are_frozen_and_refuse_strangers():
    can = Can.model_validate({"size": "45 uF"})
    with pytest.raises(ValidationError):
        can.size = 1.0
    with pytest.raises(ValidationError, match="extra"):
        Can.model_validate({"size": "45 uF", "colour": "grey"})


def test_plain_numbers_must_exist():
    class Count(Record):
        ratio: float

    for odd in ("nan", "inf", float("inf")):
        with pytest.raises(ValidationError):
            Count.model_validate({"ratio": odd})


def test_every_quantity_reads_its_own_example():
    for name, kind in vars(fields).items():
        metadata = getattr(kind, "__metadata__", ())
        if metadata and isinstance(metadata[0], fields.Quantity):
            assert metadata[0](metadata[0].example) == units.parse(
                metadata[0].example, metadata[0].unit
            ), name
