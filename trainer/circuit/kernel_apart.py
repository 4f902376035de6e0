"""The first compile, part of it in a second process at the same time.

The other process leaves what it compiled in the folder of kept code, where this one finds it. If
that fails for whatever reason, nothing is found and this one compiles it itself. Knows processes
and numba; no circuit.
"""

from __future__ import annotations

import inspect
import subprocess
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import numpy as np
from numba import boolean, float64, int64, typeof

from trainer.circuit import layout as lay
from trainer.circuit.compiled import helper
from trainer.circuit.kernel_compiling import other, quicker
from trainer.circuit.kernel_stretch import settle

#: Longest that the other process is waited for [s]; it takes about five.
PATIENCE_S = 60.0
#: What functions get beside arrays and records.
SCALARS = dict.fromkeys(("state", "row", "rows_kept", "tick", "steps", "stride"), int64) | {
    "ticks": boolean,
    "steady_tol": float64,
}


def compile_now(function: Any) -> None:
    """Compile the kernel's entry, or fetch what was compiled before."""
    with quicker(), helped():
        function.compile(types_of(function))


@contextmanager
def helped() -> Iterator[None]:
    """Meanwhile ``settle`` is compiled by the other process, if there is one."""
    child = helper()
    if child is None:
        yield
        return

    def waiting(whole: Callable[..., Any]) -> Callable[..., Any]:
        def compile_when_there(sig: Any) -> Any:
            wait_for(child)
            return whole(sig)

        return compile_when_there

    try:
        with other(settle, "compile", waiting):
            yield
    finally:
        child.kill()
        child.wait()


def wait_for(child: subprocess.Popen[bytes]) -> None:
    """Wait until the other process is done, or for as long as makes sense."""
    try:
        child.wait(PATIENCE_S)
    except subprocess.TimeoutExpired:
        child.kill()


def types_of(function: Any) -> tuple[Any, ...]:
    """Argument types of one of the kernel's functions, by their names."""
    known = {name: _type(*kind) for name, kind in lay.KINDS.items()} | SCALARS
    return tuple(known[name] for name in inspect.signature(function.py_func).parameters)


def _type(element: Any, dimensions: int) -> Any:
    return typeof(np.zeros((1,) * dimensions, element) if dimensions else np.zeros(1, element)[0])


def compile_part() -> None:
    """The other process: compile and keep ``settle``."""
    with quicker():
        settle.compile(types_of(settle))
