"""Where compiled code is kept between runs, and how to have all of it compiled ahead.

Kept per user, version and processor in the platform's cache folder, and there per state of the
kernel's sources: numba notices a change in the file it compiled, not in a file that one uses.
Knows files, processes and one small circuit; compiles nothing until a stepper is asked for.
"""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path

from trainer.base.places import cache_dir

_HERE = Path(__file__).resolve().parent


@cache
def code_folder() -> Path:
    """The folder for code compiled from the kernel's sources as they are now."""
    digest = hashlib.sha256()
    for source in sorted([*_HERE.glob("kernel*.py"), _HERE / "layout.py"]):
        digest.update(source.read_bytes())
    return cache_dir() / f"kernel-{digest.hexdigest()[:16]}"


#: What the second process runs; it gets this one's path for imports.
HELPER = """
import sys
sys.path[:] = sys.argv[1:]
from trainer.circuit.kernel_apart import compile_part
compile_part()
"""


@cache
def helper() -> subprocess.Popen[bytes] | None:
    """A second process that compiles part of the kernel and keeps it where this one will look.

    Begun at once, before this process has a compiler itself. None where the kernel is kept
    already, and where there is no second core or no interpreter to begin.
    """
    kept = any(code_folder().rglob("kernel.run-*.nbi"))
    frozen = getattr(sys, "frozen", False)
    if kept or frozen or not sys.executable or (os.cpu_count() or 1) < 2:
        return None
    try:
        return subprocess.Popen(
            [sys.executable, "-c", HELPER, *sys.path],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
        )
    except OSError:
        return None


def stepper() -> Callable[..., None]:
    """The stepping kernel, compiled or fetched on first use."""
    helper()
    from trainer.circuit import kernel, kernel_apart

    if not kernel.run.overloads:
        kernel_apart.compile_now(kernel.run)
    run: Callable[..., None] = kernel.run
    return run


def warm() -> None:
    """Have the stepping kernel, and all a first start needs, before anybody waits for it."""
    stepper()
    from trainer.circuit.elements import CHASSIS, Elements
    from trainer.circuit.transient import Transient

    elements = Elements()
    elements.resistor("link", elements.node("end"), CHASSIS, 1.0)
    Transient(elements).run(1e-3)
