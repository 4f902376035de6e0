"""Each rule on evidence that just shows it and evidence that just does not."""

import pytest
from pytest import approx

from tests.starts.made import AIDED, PLAIN, RIGHT, aid, changed, trip
from trainer.starts import outcome
from trainer.starts.thresholds import thresholds

LIMITS = thresholds()


def also(evidence):
    return outcome.named(evidence, LIMITS).also


def test_the_order_is_the_agreed_one():
    assert outcome.OUTCOMES == (
        "short_circuit", "no_power", "no_current", "tripped", "reverse", "stalled", "chatter",
        "never_disengages", "late_disengage", "early_disengage", "clean",
    )  # fmt: skip


@pytest.mark.parametrize("evidence", [PLAIN, AIDED, changed(AIDED, reference=RIGHT)])
def test_an_ordinary_start_is_clean_and_nothing_else(evidence):
    assert also(evidence) == ("clean",)


@pytest.mark.parametrize(
    "changes, names",
    [
        ({"shorted": True}, ("short_circuit",)),
        ({"energised_at_s": None, "time_to_full_s": None}, ("no_power",)),
        ({"winding_rms_a": 0.49, "speed_at_end": 0.0, "time_to_full_s": None}, ("no_current",)),
        ({"trips": (trip(),)}, ("tripped",)),
        ({"speed_at_end": -0.06, "time_to_full_s": None}, ("reverse",)),
        ({"speed_at_end": -0.04, "time_to_full_s": None}, ("stalled",)),
        ({"speed_at_end": 0.89}, ("stalled",)),
        ({"contactor_recloses": 3}, ("chatter",)),
    ],
)
def test_findings_without_an_aid(changes, names):
    assert also(changed(PLAIN, **changes)) == names


@pytest.mark.parametrize(
    "changes, names",
    [
        ({"aid": aid(recloses=1)}, ("early_disengage",)),
        ({"aid": aid(recloses=2)}, ("early_disengage",)),
        ({"aid": aid(recloses=3)}, ("chatter", "early_disengage")),
        ({"in_at_never": True, "in_after_full": True}, ("never_disengages",)),
        ({"in_after_full": True}, ("late_disengage",)),
        ({"opened_speed": 0.5, "least_speed_after_opening": 0.44}, ("early_disengage",)),
        ({"opened_speed": 0.5, "least_speed_after_opening": 0.46}, ("clean",)),
        (
            {"opened_speed": 0.5, "least_speed_after_opening": 0.1, "time_to_full_s": None,
             "speed_at_end": 0.0},
            ("stalled", "early_disengage"),
        ),
    ],
)  # fmt: skip
def test_findings_about_the_start_capacitor(changes, names):
    assert also(changed(AIDED, **changes)) == names


@pytest.mark.parametrize(
    "time_s, opened_s, speed, early",
    [
        (0.27, 0.05, 0.5, True),  # 1.35 times the reference's 0.2 s
        (0.25, 0.05, 0.5, False),  # 1.25 times
        (0.27, 0.28, 0.95, False),  # left after full speed: cannot have slowed it
        (0.27, 0.26, 0.96, False),  # left at more speed than the reference's: a low line
    ],
)
def test_a_start_that_takes_longer_because_the_aid_left(time_s, opened_s, speed, early):
    evidence = changed(
        AIDED, reference=RIGHT, time_to_full_s=time_s, opened_s=opened_s, opened_speed=speed,
        least_speed_after_opening=speed,
    )  # fmt: skip
    assert ("early_disengage" in also(evidence)) is early


def test_a_thermistor_is_neither_late_nor_never():
    own_time = aid()
    own_time = type(own_time)(True, False, own_time.spans, own_time.opened_s)
    assert also(changed(AIDED, aid=own_time, in_after_full=True, in_at_never=True)) == ("clean",)


def test_over_torque_is_torque_alone():
    over = outcome.over_torque(changed(AIDED, standing_nm=6.9, reference=RIGHT), LIMITS)
    assert over == outcome.OverTorque(True, approx(6.9 / 3.4))
    assert not outcome.over_torque(changed(AIDED, standing_nm=6.7, reference=RIGHT), LIMITS).over


def test_over_torque_needs_something_to_compare_with():
    assert outcome.over_torque(AIDED, LIMITS) == outcome.OverTorque(False, None)
    plain = type(RIGHT)("plain", 0.2, None, 0.5, aided=False)
    found = outcome.over_torque(changed(AIDED, reference=plain), LIMITS)
    assert found == outcome.OverTorque(False, approx(6.8))


@pytest.mark.parametrize(
    "time_s, longer", [(0.21, True), (0.203, False), (0.1, False), (None, True)]
)
def test_high_current_lasts_longer_only_when_speed_comes_later(time_s, longer):
    evidence = changed(AIDED, reference=RIGHT, time_to_full_s=time_s)
    assert outcome.high_current_longer(evidence, LIMITS) is longer


def test_no_current_lasts_no_longer():
    dead = changed(AIDED, reference=RIGHT, winding_rms_a=0.0, time_to_full_s=None)
    assert outcome.high_current_longer(dead, LIMITS) is None
    assert outcome.high_current_longer(AIDED, LIMITS) is None
