"""Code arithmetic at its edges. Published rows are in tests/tables."""

import math

import pytest
from pytest import approx

from trainer.base.errors import TrainerError
from trainer.sizing import code


@pytest.mark.parametrize(
    "rla, breaker",
    # NEC 2023 440.22(A) Exception 1 and 240.6(A): 175 % of RLA, next standard size up
    [(20.0, 35.0), (20.01, 40.0), (8.5, 15.0), (8.58, 20.0), (40.0, 70.0)],
)
def test_a_single_compressor_takes_the_next_size_up(rla, breaker):
    assert code.maximum_breaker(rla).value == breaker


@pytest.mark.parametrize(
    "rla, fan, breaker",
    # NEC 2023 440.22(B)(1): 175 % of RLA plus the fan, size at or below
    [(16.0, 2.0, 30.0), (16.0, 1.99, 25.0), (16.6, 0.95, 30.0), (24.0, 3.0, 45.0)],
)
def test_a_unit_with_a_fan_takes_the_size_below(rla, fan, breaker):
    assert code.maximum_breaker(rla, [fan]).value == breaker


def test_no_breaker_is_asked_to_be_under_15_amps():
    # NEC 2023 440.22(A) Exception 3
    assert code.maximum_breaker(4.0).value == 15.0
    assert code.maximum_breaker(4.0, [0.5]).value == 15.0


def test_225_per_cent_is_never_exceeded():
    # NEC 2023 440.22(A) Exception 2: 2.25 x 17.9 = 40.275, so 40 and not 45
    assert code.maximum_breaker(17.9, will_not_start=True).value == 40.0


def test_the_selection_current_counts_when_it_is_greater():
    # NEC 2023 440.32: 125 % of RLA or branch-circuit selection current, whichever is greater
    assert code.minimum_circuit_ampacity(16.0, [1.0], 18.0).value == approx(23.5)
    assert code.minimum_circuit_ampacity(16.0, [1.0], 12.0).value == approx(21.0)


def test_a_disconnect_for_several_loads_carries_their_sum():
    # NEC 2023 440.12(B)(2) (from memory): 1.15 x (16.7 + 1.2)
    found = code.disconnect_least(16.7, [1.2])
    assert found.value == approx(20.585)
    assert "440.12(B)(2)" in found.source


def test_unmarked_locked_rotor_is_six_times_rated():
    # NEC 2023 440.12(C)
    assert code.locked_rotor_unmarked(17.0).value == 102.0


@pytest.mark.parametrize(
    "amps, gauge",
    # NEC 2023 Table 310.16, copper, 60 degC column
    [(15.0, "14 AWG"), (15.1, "12 AWG"), (22.1, "10 AWG"), (30.0, "10 AWG"), (30.1, "8 AWG"),
     (70.0, "4 AWG")],
)  # fmt: skip
def test_conductor_by_the_60_degree_column(amps, gauge):
    assert code.conductor(amps).value == gauge


def test_conductor_by_listed_75_degree_terminals():
    # NEC 2023 Table 310.16, 75 degC column: 10 AWG 35 A
    assert code.conductor(34.0, terminals_c=75).value == "10 AWG"


def test_a_hot_roof_asks_for_a_larger_conductor():
    # 10 AWG, 75 degC insulation at 43 degC: 35 x 0.82 = 28.7 A; NEC 2023 310.15(B)
    assert code.conductor(28.7, ambient_c=43.0).value == "10 AWG"
    assert code.conductor(28.8, ambient_c=43.0).value == "8 AWG"


def test_beyond_the_table_says_so():
    with pytest.raises(TrainerError, match="no copper conductor"):
        code.conductor(71.0)
    with pytest.raises(TrainerError, match="warmer than"):
        code.conductor(20.0, ambient_c=46.0)
    with pytest.raises(TrainerError, match="beyond the shipped list"):
        code.maximum_breaker(60.0)


def test_code_letters_at_both_ends():
    # NEC 2023 Table 430.7(B): A is 0-3.14, V is 22.4 and up
    assert code.locked_rotor_by_letter("A", 1.0, 230.0).window == (0.0, approx(3140 / 230))
    assert code.locked_rotor_by_letter("V", 1.0, 230.0).window[1] == math.inf
    with pytest.raises(TrainerError, match="no code letter"):
        code.locked_rotor_by_letter("I", 1.0, 230.0)


@pytest.mark.parametrize("volts, amps", [(208.0, 113.0), (230.0, 102.0), (240.0, 102.0)])
def test_locked_amps_by_column(volts, amps):
    # NEC 2023 Table 430.251(A), 3 hp
    assert code.locked_rotor_current(3.0, volts).value == amps


def test_a_motor_outside_the_table_is_refused():
    with pytest.raises(TrainerError, match="not in the table"):
        code.full_load_current(4.0, 230.0)
    with pytest.raises(TrainerError, match="no column"):
        code.full_load_current(3.0, 115.0)


def test_every_answer_names_rule_and_source():
    answers = [
        code.minimum_circuit_ampacity(16.7, [1.2]),
        code.maximum_breaker(16.7, [1.2]),
        code.disconnect_least(16.7),
        code.conductor(22.1),
    ]
    assert all(answer.rule and "NEC 2023" in answer.source for answer in answers)
