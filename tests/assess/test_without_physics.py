"""Marking builds no circuit and calls no solver: everything it says is in the events."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.assess.made import beginning, scripted
from tests.assess.test_chain import written

PROGRAM = """
import sys, json
from pathlib import Path
from trainer.assess.marking import mark_file
mark = mark_file(Path(sys.argv[1])).mark
print(json.dumps([float(mark.total), sorted(sys.modules)]))
"""


def test_no_entry_of_a_solver_is_called(monkeypatch):
    beginning("hum-and-no-turn", 0)  # the opening itself may use what it likes
    script = scripted()
    import trainer.circuit.dead
    import trainer.circuit.phasor
    import trainer.circuit.transient
    import trainer.unit.world

    def never(*args: object, **more: object) -> None:
        raise AssertionError("a solver was called while marking")

    for module in (trainer.circuit.dead, trainer.circuit.phasor, trainer.circuit.transient):
        for name, entry in list(vars(module).items()):
            own = getattr(entry, "__module__", "") == module.__name__
            if own and callable(entry) and not isinstance(entry, type) and not name.startswith("_"):
                monkeypatch.setattr(module, name, never)
    for name in ("advance", "at_rest", "contacts_of"):
        monkeypatch.setattr(trainer.unit.world, name, never)
    assert script.marked().mark.total > 0


@pytest.fixture(scope="module")
def alone(tmp_path_factory) -> tuple[float, set[str]]:
    """(the total, modules loaded) of a process that marks one file."""
    path = written(tmp_path_factory.mktemp("m") / "a.attempt", scripted())
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(path)], capture_output=True, text=True, check=True,
        cwd=Path(__file__).parents[2],
    )  # fmt: skip
    total, modules = json.loads(done.stdout)
    return total, set(modules)


def test_a_process_of_its_own_gives_the_same_mark(alone):
    assert alone[0] == float(scripted().marked("fault").mark.total)


def test_numba_is_not_loaded(alone):
    assert "numba" not in alone[1]
