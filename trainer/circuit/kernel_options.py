"""How the kernel is compiled, and where the result is kept.

No fast-math anywhere: results must not depend on how sums are grouped. Knows numba, no physics.
"""

from __future__ import annotations

from numba import config

from trainer.circuit.compiled import code_folder

# numba looks at this while it decorates
config.CACHE_DIR = str(code_folder())

_COMMON = {"nogil": True, "error_model": "numpy"}
_NO_PYTHON = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}

#: What Python calls.
ENTRY = {**_COMMON, "cache": True}
#: What only compiled code calls.
INNER = {**_COMMON, **_NO_PYTHON, "cache": True}
#: What is called from one place in every step: becomes part of it, so that handing over a dozen
#: arrays costs nothing.
MERGED = {**_COMMON, **_NO_PYTHON, "forceinline": True}
