"""Where compiled code is kept between runs, and how to have all of it compiled ahead.

Kept per user, version and processor in the platform's cache folder, and there per state of the
kernel's sources: numba notices a change in the file it compiled, not in a file that one uses.
Knows files and one small circuit; compiles nothing until a stepper is asked for.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

from trainer.base.places import cache_dir

_HERE = Path(__file__).resolve().parent


@cache
def code_folder() -> Path:
    """The folder for code compiled from the kernel's sources as they are now."""
    digest = hashlib.sha256()
    for source in sorted([*_HERE.glob("kernel*.py"), _HERE / "layout.py"]):
        digest.update(source.read_bytes())
    return cache_dir() / f"kernel-{digest.hexdigest()[:16]}"


def stepper(arguments: tuple[Any, ...]) -> Callable[..., None]:
    """The stepping kernel for arguments like these, compiled or fetched on first use."""
    from trainer.circuit import kernel, kernel_options

    if not kernel.run.overloads:
        kernel_options.compile_for(kernel.run, arguments)
    run: Callable[..., None] = kernel.run
    return run


def warm() -> None:
    """Compile the stepping kernel, or fetch it from the cache, before anybody waits for it."""
    from trainer.circuit.elements import CHASSIS, Elements
    from trainer.circuit.transient import Transient

    elements = Elements()
    elements.resistor("link", elements.node("end"), CHASSIS, 1.0)
    Transient(elements).run(1e-3)
