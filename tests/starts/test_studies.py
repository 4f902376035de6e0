"""What must hold for every study that is not on an edge: energy, step, order, names."""

from functools import cache
from itertools import product

import pytest
from pytest import approx

from tests.outside import share
from tests.starts.runs import data_of, report_of
from trainer.circuit.elements import LEAKAGE_S
from trainer.circuit.plan import steps_for
from trainer.starts.run import flips, run_start
from trainer.study.load import load_study, studies_dir, study_names
from trainer.study.model import Study

STEADY = [name for name in study_names() if not load_study(name).sensitive]
PEAKS = ("peak_line_a", "start_winding_peak_v", "start_capacitor_peak_v", "run_capacitor_peak_v")


def alone(name):
    """The study without its reference, which would only be energised again."""
    return load_study(name).model_copy(update={"reference": None})


@cache
def plainly(name):
    """Its start as shipped, without the reference."""
    return run_start(alone(name))


def same_findings(a, b):
    return (a.named.outcome, a.named.also) == (b.named.outcome, b.named.also)


@pytest.mark.parametrize("name", STEADY)
def test_energy_is_accounted_for(name):
    energy = data_of(name)["energy_j"]
    assert abs(energy["residual"]) <= 2e-3 * energy["source"] + leaked_j(report_of(name).record)


def leaked_j(record):
    """Most that the insulation of every node to chassis, booked to nobody, can take [J]."""
    watts = len(record.elements.nodes) * LEAKAGE_S * record.roles.volts_rms**2
    return watts * record.end_s


@pytest.mark.parametrize("name", share(STEADY, 4))
def test_halving_the_step_moves_no_peak(name):
    study = alone(name)
    steps = 2 * steps_for(report_of(name).record.roles.hz)
    fine, coarse = run_start(study, steps_per_cycle=steps), plainly(name)
    assert same_findings(fine, coarse)
    ours, theirs = coarse.as_data(), fine.as_data()
    for peak in PEAKS:
        if ours[peak] is not None and ours[peak] > 1.0:
            assert ours[peak] == approx(theirs[peak], rel=5e-3), peak


def reordered(study):
    parts = dict(reversed(study.parts.items()))
    return study.model_copy(update={"parts": parts, "wires": study.wires[::-1]})


def renamed(study):
    """Every part under another name, of another length and order."""
    names = {old: f"z{n}-{old[::-1]}" for n, old in enumerate(study.parts)}

    def end(terminal):
        part, dot, rest = terminal.partition(".")
        return f"{names[part]}.{rest}" if dot else terminal

    wires = [w.model_copy(update={"begin": end(w.begin), "end": end(w.end)}) for w in study.wires]
    acts = [a.model_copy(update={a.verb: names[a.part]}) for a in study.acts]
    watch = {k: names[v] for k, v in study.watch.model_dump(exclude_none=True).items()}
    return study.model_copy(
        update={
            "parts": {names[old]: part for old, part in study.parts.items()},
            "wires": wires,
            "acts": acts,
            "watch": study.watch.model_copy(update=watch),
        }
    )


#: In every run each of the costlier questions is asked of a part of the studies.
TURNED = [*product(share(STEADY, 4, 1), [reordered]), *product(share(STEADY, 4, 3), [renamed])]


@pytest.mark.parametrize(("name", "change"), TURNED)
def test_order_and_names_change_nothing(name, change):
    other, plain = run_start(change(alone(name))), plainly(name)
    assert same_findings(other, plain)
    ours, theirs = plain.as_data(), other.as_data()
    for figure in (*PEAKS, "time_to_90pct_s", "disengage_s", "standing_torque_nm"):
        assert (theirs[figure] is None) == (ours[figure] is None), figure
        if ours[figure] is not None:
            assert theirs[figure] == approx(ours[figure], rel=1e-9, abs=1e-6), figure


@pytest.mark.parametrize("name", share(STEADY, 4, 2))
def test_no_study_is_on_an_edge_unless_it_says_so(name):
    assert flips(load_study(name), studies_dir()) == ()


def test_the_one_on_an_edge_still_chatters():
    named = report_of("relay-chatter").named
    assert load_study("relay-chatter").sensitive
    assert {"chatter", "early_disengage"} <= set(named.also)


def test_studies_are_read_as_written():
    assert isinstance(load_study("psc"), Study)
    assert all(load_study(name).about for name in study_names())
