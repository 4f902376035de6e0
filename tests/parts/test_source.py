"""Generator and inverter under a heavy load."""

import math

import numpy as np
import pytest

from tests.parts.bench import bench, between, node, run, times
from trainer.circuit.channels import Channel
from trainer.circuit.elements import Inductive, Sense
from trainer.circuit.phasor import solve
from trainer.circuit.transient import Transient
from trainer.parts.source import BatteryInverter, GeneratorSet


def locked_load(e, kva: float, pf: float = 0.42, a: str = "g.1", b: str = "g.2"):
    """An impedance that takes ``kva`` at 240 V."""
    z = 240.0**2 / (kva * 1e3)
    taps = ((node(e, a), 1.0), (node(e, b), -1.0))
    reactance = z * math.sqrt(1.0 - pf**2)
    e.add(Inductive("load", taps, z * pf, reactance / (120.0 * math.pi)))
    return e


def rms(trace, name, start, end):
    inside = (trace.t_s >= start) & (trace.t_s < end)
    return float(np.sqrt(np.mean(trace[name][inside] ** 2)))


def test_idle_volts():
    e = bench({"g": GeneratorSet()})
    solution = solve(e)
    assert abs(solution.volts(node(e, "g.1"), node(e, "g.2"))) == pytest.approx(240.0, rel=1e-4)
    assert abs(solution.volts(node(e, "g.1"), node(e, "g.N"))) == pytest.approx(120.0, rel=1e-4)
    assert abs(solution.volts(node(e, "g.N"))) < 0.1


def test_subtransient_reactance_is_in_the_windings():
    # 10 kVA, 240 V: base 5.76 ohm; bolted, 0.12 per unit and 0.02 resistance
    e = bench({"g": GeneratorSet()}, ("g.1", "g.2"))
    assert abs(solve(e).amps("g~leg1")) == pytest.approx(
        240.0 / (5.76 * abs(complex(0.02, 0.12))), rel=1e-3
    )


def test_published_dip():
    # K62: 10 kVA, X'd 0.20, 19.06 kVA of locked rotor: 27.6 %, reactances alone
    spec = {"transient": "20 %", "resistance": "0.1 %", "regulator_time": "1000 s"}
    e = locked_load(bench({"g": GeneratorSet(**spec, governor_time="20 ms")}), 19.06, pf=0.02)
    _, trace = run(e, 0.6, v=between(e, "g.1", "g.2"))
    assert 1.0 - rms(trace, "v", 0.4, 0.5) / 240.0 == pytest.approx(0.276, abs=0.02)


def test_volts_recover_with_the_regulator():
    e = locked_load(bench({"g": GeneratorSet()}), 12.0)
    _, trace = run(e, 2.5, v=between(e, "g.1", "g.2"))
    assert rms(trace, "v", 0.1, 0.15) < 0.9 * 240.0
    assert rms(trace, "v", 2.3, 2.4) > 0.95 * 240.0


def test_engine_stalls_under_more_watts_than_it_has():
    e = locked_load(bench({"g": GeneratorSet(rating="5 kVA", ceiling="150 %")}), 12.0, pf=0.98)
    _, trace = run(e, 4.0)
    assert times(trace, "gave_up", "g")


@pytest.mark.parametrize(
    ("spec", "why"),
    [
        ({"transient": "5 %"}, "below the subtransient"),
        ({"stalls_at": "60 Hz"}, "own running speed"),
        ({"ceiling": "50 %"}, "cannot even hold"),
    ],
)
def test_impossible_sets(spec, why):
    with pytest.raises(ValueError, match=why):
        GeneratorSet(**spec)


def inverter_on(kva: float, **spec):
    return locked_load(bench({"g": BatteryInverter(**spec)}), kva)


AMPS = {"amps": Sense(amps=(("load", 1.0),))}


def test_inverter_carries_its_rating():
    _, trace = run(inverter_on(4.5), 1.0, **AMPS)
    assert not times(trace, "gave_up", "g")
    assert rms(trace, "amps", 0.8, 0.9) == pytest.approx(4500.0 / 240.0, rel=0.06)


def test_inverter_clips_at_its_surge():
    # 5 kVA, twice for seconds: 41.7 A rms, 58.9 A peak; the load would take 83 A
    _, trace = run(inverter_on(20.0), 0.5, **AMPS)
    late = trace.t_s > 0.2
    assert abs(trace["amps"][late]).max() < 1.25 * 58.9
    assert abs(trace["amps"][late]).max() > 0.8 * 58.9


def test_inverter_shuts_down_after_its_surge_time():
    transient, trace = run(inverter_on(20.0, surge_time="1 s"), 1.5, **AMPS)
    assert times(trace, "gave_up", "g")[0] == pytest.approx(1.0, abs=0.1)
    assert rms(trace, "amps", 1.3, 1.4) < 0.5
    assert transient.snapshot().closed["g~out1"] is False


def test_source_volts_can_be_watched():
    e = bench({"g": GeneratorSet()})
    trace = Transient(e, [Channel("ratio", device="g")]).run(0.1)
    assert np.isfinite(trace["ratio"]).all()
