"""Questions at the text bench cost nothing and tell only what one knows without looking."""

from __future__ import annotations

import pytest

from tests.session.jobs import do, on, plain
from trainer.session.acts import ACTS
from trainer.session.asking import answer, helped


def test_help_names_every_act_once() -> None:
    lines = [line.strip() for line in helped("").splitlines()]
    for name in ACTS:
        assert sum(line == name or line.startswith(f"{name} ") for line in lines) >= 1


@pytest.mark.parametrize("name", list(ACTS))
def test_help_of_an_act_tells_its_fields(name: str) -> None:
    text = helped(name)
    assert all(f"  {f}:" in text for f in ACTS[name].model_fields if f != "act")


def test_where_and_hold() -> None:
    running = on(plain())
    do(running, "open", part="disconnect")
    do(running, "lock", part="disconnect")
    do(running, "select", instrument="meter", setting="V ac")
    assert "Locks: disconnect (learner)" in str(answer(running.bench, "where am I?"))
    assert "In hand: meter, on V ac" in str(answer(running.bench, "what do I hold"))
    assert "Covers on: disconnect-front, control-panel" in str(answer(running.bench, "where"))


def test_places_are_names_and_not_what_is_on_them() -> None:
    running = on(plain())
    said = str(answer(running.bench, "places can"))
    assert "can.H" in said
    assert "wire" not in said
    assert "contactor" in str(answer(running.bench, "places nothing"))


def test_readings_are_read_back() -> None:
    running = on(plain())
    do(running, "take off", cover="control-panel")
    do(running, "select", instrument="meter", setting="V ac")
    do(running, "measure", red="contactor.L1", black="contactor.L2")
    assert "contactor.L1 and contactor.L2: 240" in str(answer(running.bench, "readings"))


def test_an_act_is_no_question() -> None:
    running = on(plain())
    before = len(running.events)
    assert answer(running.bench, "look unit") is None
    assert answer(running.bench, "wires") is not None
    assert len(running.events) == before
