"""Time: a hum hurries, a wait goes on until something is so, a capture holds its figure."""

from __future__ import annotations

from typing import Any

from tests.session.jobs import charged, do, kinds, of_kind, on, plain
from trainer.session.opening import opening
from trainer.unit.faults import plant
from trainer.unit.world import remembering


def locked() -> Any:
    return on(remembering(plant(plain(), "F42")))


def test_a_hum_is_told_and_the_next_act_costs_a_second() -> None:
    running = locked()
    events = do(running, "thermostat", to="call")
    said = " ".join(str(e.data["text"]) for e in events if e.kind == "seen")
    assert "omp hums and does not turn" in said
    assert running.bench.hums == ("comp",)
    before = running.bench.at_ms
    do(running, "thermostat", to="off")
    assert running.bench.at_ms - before <= 2000
    assert running.bench.hums == ()


def test_a_motor_that_starts_does_not_hum() -> None:
    running = on(plain())
    do(running, "thermostat", to="call")
    assert running.bench.hums == ()


def test_waiting_until_an_overload_resets() -> None:
    """The protector of a motor that stands opens within a minute and is slow to cool."""
    running = locked()
    do(running, "thermostat", to="call")
    do(running, "wait", seconds=60)
    assert any(kind == "tripped" for kind in happenings(running))
    do(running, "thermostat", to="off")
    waited = of_kind(do(running, "wait until", what="reset"), "did")["to"]
    assert 20.0 < float(str(waited).split()[1]) < 14_400.0  # minutes: common practice, no source
    assert not [e for e in do(running, "wait until", what="reset") if e.kind == "passed"]


def happenings(running: Any) -> list[str]:
    rows = [h for e in running.events if e.kind == "electrics" for h in e.data["happenings"]]
    return [kind for _, kind, _ in rows]


def test_a_lifted_capacitor_does_not_empty_by_waiting() -> None:
    running = on(charged(380.0))
    said = [e for e in do(running, "wait until", what="discharged") if e.kind == "seen"]
    assert "still not so" in str(said[-1].data["text"])


def test_a_thermistor_cools() -> None:
    running = on(opening("ferry-steps", 0)[0])
    do(running, "thermostat", to="call")
    do(running, "thermostat", to="off")
    waited = str(of_kind(do(running, "wait until", what="cold"), "did")["to"])
    assert float(waited.split()[1]) > 30.0  # minutes between starts: common practice, no source


def test_an_armed_clamp_catches_once() -> None:
    running = on(opening("kiln-lane", 0)[0])
    do(running, "take off", cover=next(iter(running.bench.unit.covers_off | _covers(running))))
    do(running, "select", instrument="clamp", setting="inrush")
    do(running, "clamp", wires="1")
    first = do(running, "thermostat", to="call")
    assert kinds(first).count("read") == 1
    assert "read" not in kinds(do(running, "wait", seconds=3))


def _covers(running: Any) -> set[str]:
    from trainer.session.doing import Doing

    return {n for n, c in Doing(running.bench).site.covers.items() if "contactor" in c.hides}


def test_the_thermostat_says_what_it_asks_for() -> None:
    running = on(plain())
    said = do(running, "thermostat", to="call")
    assert any("asks for Y" in str(e.data.get("text", "")) for e in said)
