"""How the kernel is compiled: its three decorators. Knows numba, no physics.

No fast-math anywhere: results must not depend on how sums are grouped. And no reference counts
(``_nrt``): nothing here allocates, all arrays belong to the caller, and counting every array
that a step hands on took more time than the step.
"""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from numba import config, njit, typeof
from numba.core.types.functions import BaseFunction

from trainer.circuit.compiled import code_folder

_COMMON = {"nogil": True, "error_model": "numpy", "_nrt": False}
_INNER = {**_COMMON, "no_cpython_wrapper": True, "no_cfunc_wrapper": True}


def entry(function: Callable[..., Any]) -> Any:
    """Compile for callers in Python; the code is kept in ``code_folder``.

    numba looks at its folder setting while it decorates; the setting of other code is put back.
    """
    others = config.CACHE_DIR
    config.CACHE_DIR = str(code_folder())
    try:
        return njit(cache=True, no_cfunc_wrapper=True, **_COMMON)(function)
    finally:
        config.CACHE_DIR = others


def inner(function: Callable[..., Any]) -> Any:
    """Compile for callers that are compiled themselves; kept as part of them."""
    return njit(**_INNER)(function)


def merged(function: Callable[..., Any]) -> Any:
    """Compile into the one place that calls it at every step: handing over is then free."""
    return njit(forceinline=True, **_INNER)(function)


def spelled(function: Callable[..., Any]) -> Any:
    """Take the place of its call before anything is compiled: for small parts of one function."""
    return njit(inline="always", **_INNER)(function)


def compile_for(function: Any, arguments: tuple[Any, ...]) -> None:
    """Compile for arguments like these, or fetch what was compiled before.

    The collector of garbage waits meanwhile: it finds none among the million small objects of
    a compiler, and took a sixth of the time to look.
    """
    collects = gc.isenabled()
    gc.disable()
    try:
        with _remembering():
            function.compile(tuple(typeof(argument) for argument in arguments))
    finally:
        if collects:
            gc.enable()


@contextmanager
def _remembering() -> Iterator[None]:
    """Meanwhile what an operator gives for types that it has met is not looked for again.

    Four thousand times numba goes through all that an operator might mean, for 150 answers: a
    fifth of the time. Only what is built in is kept; functions of ours are of another class.
    """
    operators: Any = BaseFunction
    look = operators.get_call_type
    known: dict[Any, Any] = {}

    def get_call_type(self: Any, context: Any, args: Any, kws: Any) -> Any:
        if kws:
            return look(self, context, args, kws)
        key = self, tuple(args)
        if key not in known:
            known[key] = look(self, context, args, kws)
        return known[key]

    operators.get_call_type = get_call_type
    try:
        yield
    finally:
        operators.get_call_type = look
