"""How the kernel is compiled: its decorators. Knows numba, no physics.

No fast-math anywhere: results must not depend on how sums are grouped. And no reference counts
(``_nrt``): nothing here allocates, all arrays belong to the caller, and counting every array
that a step hands on took more time than the step. Functions that are called while stepping get
each array but once, and the compiler is told so (``noalias``).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from numba import config, njit

from trainer.circuit.compiled import code_folder
from trainer.circuit.kernel_compiling import KEPT, PARTS

_COMMON = {"nogil": True, "error_model": "numpy", "_nrt": False, "no_rewrites": True}
_INNER = {**_COMMON, "noalias": True, "no_cpython_wrapper": True, "no_cfunc_wrapper": True}
#: For a function that gets an array and the numbers of it as well.
_SHARING = {**_INNER, "noalias": False}


def _kept(function: Callable[..., Any], **options: Any) -> Any:
    """Compile, and keep the code in ``code_folder``.

    numba looks at its folder setting while it decorates; the setting of other code is put back.
    """
    KEPT.add(function.__qualname__)
    others = config.CACHE_DIR
    config.CACHE_DIR = str(code_folder())
    try:
        return njit(cache=True, **options)(function)
    finally:
        config.CACHE_DIR = others


def entry(function: Callable[..., Any]) -> Any:
    """Compile for callers in Python; the code is kept."""
    return _kept(function, no_cfunc_wrapper=True, **_COMMON)


def apart(function: Callable[..., Any]) -> Any:
    """Like ``merged``; another process may compile it meanwhile and keep it (kernel_apart.py)."""
    return _kept(function, forceinline=True, **_INNER)


def inner(function: Callable[..., Any]) -> Any:
    """Compile for callers that are compiled themselves; kept as part of them."""
    return njit(**_INNER)(_part(function))


def sharing(function: Callable[..., Any]) -> Any:
    """Like ``inner``, where two of the arrays are one."""
    return njit(**_SHARING)(_part(function))


def merged(function: Callable[..., Any]) -> Any:
    """Compile into the one place that calls it at every step: handing over is then free."""
    return njit(forceinline=True, **_INNER)(_part(function))


def spelled(function: Callable[..., Any]) -> Any:
    """Take the place of its call before anything is compiled: for small parts of one function."""
    return njit(inline="always", **_INNER)(function)


def _part(function: Callable[..., Any]) -> Callable[..., Any]:
    PARTS.add(function.__qualname__)
    return function
