"""Shipped scenarios with bits exchanged, left out and put elsewhere: told, never a crash."""

import copy
from typing import Any

import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.outside import examples
from trainer.base.errors import Fault
from trainer.cli.checking import check_file
from trainer.scenario.load import jobs_dir

BASES = [
    yaml.safe_load((jobs_dir() / f"{name}.yaml").read_text(encoding="utf-8"))
    for name in ("make-it-dead", "dual-capacitor-unit")
]
JUNK: list[Any] = [
    None, True, -1, 3.7, 1e300, "", "can.H", "7.a", [], {}, [[]], {"a": 1}, ["4"], "100 V",
    "-5 uF", "1e999 V", {"type": "start-88-108"}, "9" * 400, {"draw": "charge"}, "contactor",
]  # fmt: skip


def paths(data: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place in the data but its top."""
    below = data.items() if isinstance(data, dict) else enumerate(data)
    found = []
    for key, value in below:
        found.append((*path, key))
        if isinstance(value, dict | list):
            found += paths(value, (*path, key))
    return found


@st.composite
def mangled(draw: st.DrawFn) -> Any:
    data = copy.deepcopy(draw(st.sampled_from(BASES)))
    for _ in range(draw(st.integers(1, 4))):
        *way, last = draw(st.sampled_from(paths(data)))
        here = data
        for key in way:
            here = here[key]
        if draw(st.booleans()):
            here[last] = copy.deepcopy(draw(st.sampled_from(JUNK)))
        else:
            del here[last]
    return data


@settings(
    max_examples=examples(60), deadline=None, derandomize=True, database=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)  # fmt: skip
@given(data=mangled())
def test_a_mangled_file_is_told_and_never_crashes(data, tmp_path):
    path = tmp_path / "mangled.yaml"
    path.write_text(yaml.safe_dump(data, allow_unicode=True), encoding="utf-8")
    found = check_file(path, simulate=False, seeds=[0])
    assert all(isinstance(fault, Fault) and fault.what for fault in found.faults)
    assert all(fault.where.startswith(str(path)) for fault in found.faults)
