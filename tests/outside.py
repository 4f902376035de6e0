"""What is run only where everything is checked: with outside tools, or for minutes.

CONDENSER_BENCH_CI=1 says so; there a missing tool is a failure, not a skip. Elsewhere a test over a
large product goes over a fixed share of it. Knows that alone.
"""

import os
from collections.abc import Sequence
from itertools import product
from typing import Any

import pytest

CI = os.environ.get("CONDENSER_BENCH_CI") == "1"
only_in_ci = pytest.mark.skipif(not CI, reason="done where every check is: CONDENSER_BENCH_CI=1")


def spread(*axes: Sequence[Any]) -> list[tuple[Any, ...]]:
    """All combinations where everything is checked; elsewhere as few as show every value once."""
    if CI:
        return list(product(*axes))
    return [tuple(axis[n % len(axis)] for axis in axes) for n in range(max(map(len, axes)))]


def share(rows: Sequence[Any], of: int, begin: int = 0) -> list[Any]:
    """All rows where everything is checked; elsewhere one of so many, from ``begin`` on."""
    return list(rows) if CI else list(rows)[begin::of]


def examples(count: int) -> int:
    """How many cases are drawn: all of them where everything is checked, where they are the same
    every time; elsewhere a third, other ones in every run.
    """
    return count if CI else max(4, count // 3)
