"""What a start is called while it is drawn: never something that the whole start takes back."""

from dataclasses import replace

import pytest

from tests.outside import share
from trainer.demo.prepared import opened
from trainer.demo.so_far import NOT_YET, so_far
from trainer.starts import outcome
from trainer.starts.thresholds import thresholds
from trainer.study.load import study_names


@pytest.mark.parametrize("name", share(study_names(), 3, 1))
def test_what_is_reached_stays_and_nothing_else_comes(name):
    study = opened(name)
    found, whole = study.near({}).so_far, study.whole({}).data
    assert set(found.reached) <= set(whole["also"])
    assert set(whole["also"]) <= set(found.reached) | set(found.open)
    assert bool(found.over_torque) == whole["over_torque"]
    if found.ratio is not None:
        assert found.ratio == pytest.approx(whole["over_torque_ratio"], rel=1e-6)


@pytest.mark.parametrize(
    ("study", "values", "name"),
    [
        ("late-disengage", {}, "late_disengage"),
        ("early-open-and-reclose", {}, "early_disengage"),
        ("relay-chatter", {}, "chatter"),
        ("line-short", {}, "short_circuit"),
        ("generator-too-small", {}, "tripped"),
        # more microfarads than the load asks for: the relay opens too soon and falls back
        ("potential-relay", {"start_uf": 274.0}, "early_disengage"),
    ],
)
def test_named_as_it_is_reached(study, values, name):
    assert name in opened(study).near(values).so_far.reached


def test_over_torque_is_named_from_the_first():
    study = opened("over-torque")
    found = study.near({}).so_far
    assert found.over_torque and "Over-torque" in found.sentences[0]
    assert not study.near({"start_uf": 98.0}).so_far.over_torque


@pytest.mark.parametrize(
    ("study", "goes"),
    [
        ("potential-relay", "clean"),
        ("never-disengages", "never_disengages"),
        ("psc", "clean"),
        ("low-line", None),
    ],
)
def test_not_yet_known_is_said(study, goes):
    found = opened(study).near({}).so_far
    assert found.heading == NOT_YET and found.reached == ()
    assert found.as_it_goes == goes
    assert len(found.open) > 1


def test_a_start_is_not_called_anything_before_it_could_be():
    """The same record cut short (a tenth of a second): full speed and the relay lie ahead."""
    lines = opened("class-too-high").near({})
    early = replace(
        lines.evidence, time_to_full_s=None, speed_at_end=0.5, opened_s=None, opened_speed=None,
        aid=replace(lines.evidence.aid, opened_s=None), in_after_full=False,
    )  # fmt: skip
    found = so_far(early, lines.energised_at_s + 0.1, thresholds())
    assert found.reached == () and "clean" in found.open and "stalled" in found.open


def test_every_name_is_one_of_a_report():
    for name in ("psc", "low-line"):
        found = opened(name).near({}).so_far
        assert set(found.open) <= set(outcome.OUTCOMES)
