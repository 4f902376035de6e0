"""Runs a netlist through ngspice in batch mode and reads back what was asked for.

Knows the program's command line and its binary record; knows no circuit. For cross-checks
only: nothing else in the package needs that program.
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from trainer.base.errors import NotFoundError, TrainerError
from trainer.circuit.spice import Netlist

COMMAND = "ngspice"
#: A cross-check that takes longer has lost its way. [s]
PATIENCE_S = 300.0


@dataclass(frozen=True)
class SpiceTrace:
    """Samples at the program's own times; ``values`` by channel."""

    t_s: np.ndarray
    values: dict[str, np.ndarray]

    def __getitem__(self, name: str) -> np.ndarray:
        return self.values[name]

    def at(self, name: str, t_s: np.ndarray) -> np.ndarray:
        """A channel at other times, straight between samples."""
        return np.interp(t_s, self.t_s, self.values[name])


def available() -> bool:
    """Whether the program is on this machine."""
    return shutil.which(COMMAND) is not None


def run(netlist: Netlist) -> SpiceTrace:
    """Solve a netlist. Raises TrainerError with the program's own words when it fails."""
    if not available():
        raise NotFoundError(f"{COMMAND} is not installed", hint=f"install {COMMAND}")
    with tempfile.TemporaryDirectory() as folder:
        circuit, record = Path(folder) / "circuit.cir", Path(folder) / "circuit.raw"
        circuit.write_text(netlist.text, encoding="utf-8")
        said = subprocess.run(
            [COMMAND, "-b", "-r", str(record), str(circuit)],
            cwd=folder, capture_output=True, text=True, timeout=PATIENCE_S, check=False,
        )  # fmt: skip
        if not record.exists():
            raise TrainerError(f"{COMMAND} gave no record: {_last_words(said)}")
        vectors = read_raw(record.read_bytes())
    t = vectors["time"]
    if len(t) < 2 or t[-1] < netlist.until_s * (1.0 - 1e-6):
        raise TrainerError(f"{COMMAND} stopped at {t[-1]:.6g} s: {_last_words(said)}")
    return SpiceTrace(t, {n: _sum(vectors, v) for n, v in netlist.vectors.items()})


def read_raw(data: bytes) -> dict[str, np.ndarray]:
    """Vectors of a binary record of real numbers, by lower-case name."""
    mark = b"Binary:\n"
    head, _, body = data.partition(mark)
    lines = head.decode("utf-8", "replace").splitlines()
    count = int(_field(lines, "No. Variables:"))
    first = next(k for k, line in enumerate(lines) if line.startswith("Variables:")) + 1
    names = [lines[first + k].split()[1].lower() for k in range(count)]
    points = len(body) // (8 * count)
    table = np.frombuffer(body[: 8 * count * points], dtype=float).reshape(points, count)
    return {name: table[:, k].copy() for k, name in enumerate(names)}


def _field(lines: list[str], label: str) -> str:
    return next(line[len(label) :] for line in lines if line.startswith(label))


def _sum(vectors: dict[str, np.ndarray], expression: str) -> np.ndarray:
    """Value of ``a -b 2*c`` over the record; nothing at all is zero."""
    total = np.zeros_like(vectors["time"])
    for term in expression.split():
        sign = -1.0 if term.startswith("-") else 1.0
        factor, _, name = term.lstrip("+-").rpartition("*")
        total += sign * float(factor or 1.0) * vectors[name]
    return total


def _last_words(said: subprocess.CompletedProcess) -> str:
    lines = [line for line in (said.stderr + said.stdout).splitlines() if line.strip()]
    return " / ".join(lines[-4:])
