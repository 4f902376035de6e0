"""Errors in words: what, where, what to do."""

import pytest

from trainer.base.errors import (
    FAULTS_SHOWN,
    Fault,
    Faults,
    NotFoundError,
    TrainerError,
    UsageError,
    quoted,
)


def test_error_in_words():
    error = TrainerError("the lug is loose", "bench.yaml:3", "tighten it")
    assert str(error) == "bench.yaml:3  the lug is loose; tighten it"


def test_error_without_place_or_hint():
    assert str(TrainerError("the lug is loose")) == "the lug is loose"


@pytest.mark.parametrize(
    ("error", "code"), [(TrainerError, 3), (Faults, 3), (UsageError, 2), (NotFoundError, 4)]
)
def test_exit_codes(error, code):
    assert error.exit_code == code


def test_faults_are_lines():
    faults = Faults([Fault("a.yaml:1  x", "is missing", "x: 1 V"), Fault("a.yaml:2", "is odd")])
    assert str(faults) == "a.yaml:1  x  is missing; write x: 1 V\na.yaml:2  is odd"
    assert faults.what == "2 faults found"


def test_many_faults_are_counted_not_all_spelt():
    text = str(Faults([Fault(f"a.yaml:{n}", "is odd") for n in range(FAULTS_SHOWN + 7)]))
    assert text.endswith("... and 7 more")
    assert len(text.splitlines()) == FAULTS_SHOWN + 1


def test_quoted_is_safe_on_a_terminal():
    assert quoted("\x1b[2Jgone") == "'\\x1b[2Jgone'"
    assert quoted("a\nb") == "'a\\nb'"
    assert quoted("x" * 100) == "'" + "x" * 60 + "...'"
    assert quoted("\udcff") == "'\\udcff'"
    assert quoted("45 µF") == "'45 µF'"
