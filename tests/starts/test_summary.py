"""The summary: plain words for every outcome, nothing cut, cautions at the end."""

import pytest

from tests.starts.runs import report_of
from trainer.starts import outcome
from trainer.starts.summary import WIDTH, summary
from trainer.starts.wording import HEADINGS, number, percent, seconds, torque_sentence
from trainer.study.load import study_names


@pytest.mark.parametrize("name", study_names())
def test_every_study_is_told(name):
    text = summary(report_of(name))
    assert HEADINGS[report_of(name).outcome] in text
    assert "Caution: Training aid only" in text
    assert "None" not in text and "nan" not in text
    assert all(len(line) <= WIDTH + 14 for line in text.splitlines())


def test_every_outcome_has_a_heading():
    assert set(HEADINGS) == set(outcome.OUTCOMES)


@pytest.mark.parametrize(
    "name, words",
    [
        ("over-torque", ["Over-torque", "4.9 times", "does not last longer"]),
        ("never-disengages", ["still in the circuit", "boils and vents"]),
        ("early-open-and-reclose", ["came back once", "closed onto a charged capacitor once"]),
        ("common-open", ["nothing to speak of flows"]),
        ("locked-rotor", ["comp (by heat) opened", "after energising"]),
        ("inverter", ["service (overloaded) gave up"]),
        ("scroll-dip", ["turns backwards at 100 %"]),
        ("low-line", ["The shaft stands still"]),
        ("late-disengage", ["the start capacitor left 0.13 s later"]),
    ],
)
def test_what_matters_is_said(name, words):
    text = " ".join(summary(report_of(name)).split())
    for word in words:
        assert word in text


@pytest.mark.parametrize("value, text", [(0.0213, "21 ms"), (0.0996, "0.10 s"), (3.2, "3.20 s")])
def test_seconds(value, text):
    assert seconds(value) == text


def test_numbers_have_three_figures_at_most():
    assert number(129.2, "A") == "129 A"
    assert number(8.45, "A") == "8.4 A"
    assert percent(0.934) == "93 %"


def test_over_torque_says_nothing_of_time_without_a_reference():
    d = {"over_torque": True, "over_torque_ratio": 2.5, "high_current_longer": None}
    assert "high current" not in torque_sentence(d)
    assert torque_sentence({"over_torque": False}) is None
