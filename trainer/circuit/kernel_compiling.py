"""What numba leaves undone while it compiles the kernel, for the sake of time. Knows numba only.

Each of these keeps the result as it is. They lean on numba's insides: where those have other
names than here, numba is left as it is and takes longer.
"""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from types import SimpleNamespace
from typing import Any

from numba.core import codegen, inline_closurecall
from numba.core.cpu import CPUTargetOptions
from numba.core.options import TargetOptions
from numba.core.types.functions import BaseFunction

#: Names of the kernel's functions: those that are kept, and those that are part of others and
#: never called by themselves.
KEPT: set[str] = set()
PARTS: set[str] = set()
#: numba knows this flag, but has no name for it among its options.
CPUTargetOptions.noalias = TargetOptions.Mapping("noalias")


@contextmanager
def quicker() -> Iterator[None]:
    """Meanwhile numba compiles without what the kernel has no use for.

    The collector of garbage waits meanwhile: it finds none among the million small objects of
    a compiler, and took a sixth of the time to look.
    """
    collects = gc.isenabled()
    gc.disable()
    try:
        with _remembering(), _once(), other(inline_closurecall, "copy", _as_they_are):
            yield
    finally:
        if collects:
            gc.enable()


@contextmanager
def _remembering() -> Iterator[None]:
    """Meanwhile what an operator gives for types that it has met is not looked for again.

    Four thousand times numba goes through all that an operator might mean, for 150 answers: a
    fifth of the time. Only what is built in is kept; functions of ours are of another class.
    """
    known: dict[Any, Any] = {}

    def remembering(look: Callable[..., Any]) -> Callable[..., Any]:
        def get_call_type(self: Any, context: Any, args: Any, kws: Any) -> Any:
            if kws:
                return look(self, context, args, kws)
            key = self, tuple(args)
            if key not in known:
                known[key] = look(self, context, args, kws)
            return known[key]

        return get_call_type

    with other(BaseFunction, "get_call_type", remembering):
        yield


def _as_they_are(copies: Any) -> Any:
    """Blocks of a function that takes its call's place are made afresh each time: no copies."""
    return SimpleNamespace(copy=copies.copy, deepcopy=lambda blocks: blocks)


@contextmanager
def _once() -> Iterator[None]:
    """Meanwhile a part is optimised and turned into machine code only within what it is part of.

    numba does both for every function by itself, and again for all it calls: a fifth of the time.
    It also optimises twice, for the sake of reference counts, of which the kernel has none.
    """

    def optimising(whole: Callable[[Any], None]) -> Callable[[Any], None]:
        def optimise(library: Any) -> None:
            if library.name in KEPT:
                passes, builder = library._codegen._module_pass_manager()
                passes.run(library._final_module, builder)
            elif library.name not in PARTS:
                whole(library)

        return optimise

    def finalizing(whole: Callable[[Any], None]) -> Callable[[Any], None]:
        def finalize(library: Any) -> None:
            if library.name in PARTS:
                library._finalize_dynamic_globals()
                library._finalized = True
            else:
                whole(library)

        return finalize

    def binding(whole: Callable[..., None]) -> Callable[..., None]:
        def set_env(self: Any, name: str, env: Any) -> None:
            if self._engine.get_global_value_address(name):  # none where there is no code
                whole(self, name, env)

        return set_env

    with ExitStack() as stack:
        if _as_known():
            library = codegen.JITCodeLibrary
            stack.enter_context(other(library, "_optimize_final_module", optimising))
            stack.enter_context(other(library, "_finalize_final_module", finalizing))
            stack.enter_context(other(codegen.JITCPUCodegen, "set_env", binding))
        yield


def _as_known() -> bool:
    """Whether numba's insides have the names that ``_once`` uses."""
    library, engine = getattr(codegen, "JITCodeLibrary", None), getattr(codegen, "JITCPUCodegen", 0)
    names = "_optimize_final_module", "_finalize_final_module", "_finalize_dynamic_globals"
    known = all(hasattr(library, name) for name in names)
    return known and hasattr(engine, "set_env") and hasattr(engine, "_module_pass_manager")


@contextmanager
def other(owner: Any, name: str, wrap: Callable[[Any], Any]) -> Iterator[None]:
    """Meanwhile a method is what ``wrap`` makes of it."""
    own, before = name in vars(owner), getattr(owner, name)
    setattr(owner, name, wrap(before))
    try:
        yield
    finally:
        if own:
            setattr(owner, name, before)
        else:
            delattr(owner, name)
