"""Quantities read and written as the trade writes them.

Factors: international inch, pound and foot, standard gravity and the horsepower of 550 ft.lbf/s
(NIST SP 811, App. B). Gauge areas: NEC Chapter 9 Table 8, from memory.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.base import units
from trainer.base.errors import FieldError
from trainer.base.units import UNITS, parse, show


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("45 uF", "F", 45e-6),
        ("45uF", "F", 45e-6),
        ("45 µF", "F", 45e-6),  # micro sign
        ("45 μF", "F", 45e-6),  # Greek mu
        ("45 MFD", "F", 45e-6),
        ("45 uF", "uF", 45.0),
        (" 240 V ", "V", 240.0),
        ("-1.5e2 mV", "V", -0.15),
        ("7.2 kV", "V", 7200.0),
        ("18 kVA", "VA", 18000.0),
        ("10 kΩ", "ohm", 10e3),
        ("2 Mohm", "ohm", 2e6),
        ("300 mohm", "ohm", 0.3),
        ("3 min", "s", 180.0),
        ("20 ms", "s", 0.02),
        ("50 ft", "m", 15.24),
        ("77 degF", "degC", 25.0),
        ("-40 °F", "degC", -40.0),
        ("5 %", "ratio", 0.05),
        ("30 deg", "rad", math.pi / 6),
        ("3600 rpm", "rad/s", 120 * math.pi),
        ("3450 rpm", "rpm", 3450.0),
        ("400 A²s", "A2s", 400.0),
        ("7 N·m", "N.m", 7.0),
        (".5 A", "A", 0.5),
    ],
)
def test_parse(text, unit, value):
    assert parse(text, unit) == pytest.approx(value, rel=1e-12)


def test_microfarads_are_the_float_a_programmer_would_write():
    assert parse("45 uF", "F") == 45e-6


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("1 hp", "W", 745.69987),  # NIST SP 811
        ("1 lbf.in", "N.m", 0.1129848),  # NIST SP 811
        ("1 psi", "Pa", 6894.757),  # NIST SP 811
        ("1 lb.ft2", "kg.m2", 0.04214011),  # NIST SP 811
    ],
)
def test_published_factors(text, unit, value):
    assert parse(text, unit) == pytest.approx(value, rel=1e-6)


@pytest.mark.parametrize(
    ("gauge", "mm2"),
    [("18 AWG", 0.823), ("14 AWG", 2.08), ("10 AWG", 5.261), ("8 AWG", 8.367), ("1/0 AWG", 53.49)],
)  # NEC Chapter 9 Table 8, from memory
def test_gauge_area(gauge, mm2):
    assert parse(gauge, "mm2") == pytest.approx(mm2, rel=2e-3)


def test_gauge_numbers():
    assert parse("2/0 AWG", "AWG") == -1.0
    assert show(-1, "AWG") == "2/0 AWG"
    assert show(10, "AWG") == "10 AWG"


@pytest.mark.parametrize(
    ("text", "unit", "sentence"),
    [
        ("45", "F", "'45' has no unit; 45 uF (or another unit of farads)"),
        (45, "F", "'45' has no unit; 45 uF (or another unit of farads)"),
        ("4,5 uF", "F", "'4,5 uF' has a comma in its number; a point and no thousands mark"),
        ("5 ohm", "F", "'5 ohm' measures ohms, not farads; a value such as 45 uF"),
        ("45 uf", "F", "'uf' is not a unit known here; uF"),
        ("45 mF", "F", "mF is read as millifarad by some and as microfarad by others; 45 uF"),
        ("3 S", "s", "S is siemens; 3 s"),
        ("25 C", "degC", "C alone is not a temperature unit; 25 degC"),
        ("lots", "V", "'lots' is no number with a unit; 240 V"),
        ("1e400 V", "V", "'1e400 V' is beyond any real value; 240 V"),
        ("nan V", "V", "'nan V' is no number with a unit; 240 V"),
        ("99 AWG", "AWG", "99 AWG is no conductor size; 4/0 AWG to 40 AWG"),
        (True, "V", "'True' has no unit; 240 V"),
        (None, "V", "'None' has no unit; 240 V"),
        ([], "V", "'[]' has no unit; 240 V"),
    ],
)
def test_refused_with_what_to_write(text, unit, sentence):
    with pytest.raises(FieldError) as caught:
        parse(text, unit)
    assert str(caught.value).startswith(sentence)


def test_a_long_number_is_refused_at_once():
    with pytest.raises(FieldError, match="too long"):
        parse("9" * 1_000_000, "V")


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (13.92, "A", "13.9 A"),
        (45e-6, "F", "45 µF"),
        (0.0, "F", "0 µF"),
        (0.0012, "F", "1200 µF"),
        (999.96, "V", "1 kV"),
        (230, "V", "230 V"),
        (0.0034, "V", "3.4 mV"),
        (-3.456, "A", "-3.46 A"),
        (22e3, "ohm", "22 kΩ"),
        (0.05, "ratio", "5 %"),
        (3450, "rpm", "3450 rpm"),
        (25, "degC", "25 °C"),
        (0.016, "s", "16 ms"),
        (7200, "s", "7200 s"),
        (float("nan"), "V", "--"),
        (float("inf"), "s", "--"),
    ],
)
def test_show(value, unit, text):
    assert show(value, unit) == text


def test_show_digits():
    assert show(1234.567, "V", digits=5) == "1.2346 kV"


@given(st.sampled_from(sorted(set(UNITS) - {"AWG"})), st.floats(-1e6, 1e6))
def test_every_unit_comes_back(symbol, value):
    unit = UNITS[symbol]
    assert unit.from_base(unit.to_base(value)) == pytest.approx(value, rel=1e-9, abs=1e-9)


@given(st.floats(1e-9, 1e9), st.sampled_from(["V", "A", "ohm", "W", "s", "Hz"]))
def test_what_is_shown_can_be_read_again(value, unit):
    assert parse(show(value, unit, digits=6), unit) == pytest.approx(value, rel=1e-5)


@given(st.text(max_size=80), st.sampled_from(sorted(UNITS)))
def test_any_text_is_a_value_or_a_field_error(text, unit):
    try:
        assert math.isfinite(parse(text, unit))
    except FieldError as error:
        assert error.what
        assert error.hint


def test_examples_can_be_read():
    for unit in UNITS:
        assert math.isfinite(parse(units.example(unit), unit))
