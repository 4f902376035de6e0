"""How the kernel is compiled, and where the result is kept.

No fast-math anywhere: results must not depend on how sums are grouped. Knows numba, no physics.
"""

from __future__ import annotations

from numba import config

from trainer.circuit.compiled import code_folder

# numba looks at this while it decorates
config.CACHE_DIR = str(code_folder())

OPTIONS = {"cache": True, "nogil": True, "error_model": "numpy"}
