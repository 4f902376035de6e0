"""The kernel is compiled once, for what it is really handed, part of it by a second process."""

import math
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numba import typeof

from tests.outside import only_in_ci
from trainer.circuit import compiled, kernel, kernel_apart, kernel_compiling
from trainer.circuit.kernel_step import sine
from trainer.circuit.transient import Transient
from trainer.study.build import build
from trainer.study.load import load_study

FRESH = """
from trainer.circuit import compiled
{first}
compiled.warm()
from trainer.circuit import kernel
from trainer.circuit.kernel_apart import settle
print(sum(settle.stats.cache_hits.values()), len(settle.signatures), len(kernel.run.signatures))
"""


def test_the_kernel_is_compiled_for_what_it_is_handed() -> None:
    elements, _ = build(load_study("potential-relay"))
    plan = Transient(elements).plan
    arguments = (*plan.core, 1, np.zeros((0, 1)), plan.recorded, 1, 0.0)
    assert tuple(map(typeof, arguments)) == kernel_apart.types_of(kernel.run)


def test_nothing_else_was_compiled_on_the_way() -> None:
    compiled.warm()
    assert len(kernel.run.signatures) == 1


def test_numba_has_the_insides_that_are_passed_over() -> None:
    assert kernel_compiling._as_known()


def test_no_second_process_where_the_kernel_is_kept() -> None:
    compiled.warm()
    compiled.helper.cache_clear()
    assert compiled.helper() is None


def test_no_second_process_on_one_core(
    monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory
) -> None:
    monkeypatch.setattr(compiled, "code_folder", lambda: tmp_path_factory.mktemp("none"))
    monkeypatch.setattr("os.cpu_count", lambda: 1)
    compiled.helper.cache_clear()
    assert compiled.helper() is None


@only_in_ci
@pytest.mark.parametrize(
    ("first", "hits"),
    [("", 1), ("compiled.HELPER = 'raise SystemExit(1)'", 0)],
    ids=["helped", "help failed"],
)
def test_a_first_compile(
    first: str, hits: int, monkeypatch: pytest.MonkeyPatch, tmp_path: object
) -> None:
    monkeypatch.setenv("CONDENSER_BENCH_CACHE", str(tmp_path))
    program = FRESH.format(first=first)
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert ran.stdout.split() == [str(hits), "1", "1"], ran.stderr


@given(st.floats(0.0, 2.0))
def test_the_sine_of_the_sources(turns: float) -> None:
    # rounding of the angle itself: half a digit of up to 4 pi
    assert sine.py_func(turns) == pytest.approx(math.sin(2.0 * math.pi * turns), abs=2e-15)
    assert abs(sine.py_func(turns)) <= 1.0
