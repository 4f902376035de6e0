"""Every shipped study gives what was worked out on paper for it."""

import pytest

from tests.starts.runs import data_of, report_of
from trainer.base.yamlfile import read
from trainer.study.load import load_study, studies_dir, study_names

EXPECTED = read(studies_dir() / "expected.yaml").data


def figure(data, name):
    """A figure by its path; the largest of the contact surges under names of its own."""
    if name in ("largest_surge_a", "largest_surge_a2s"):
        key = "peak_a" if name.endswith("_a") else "a2s"
        return max((s[key] for s in data["contact_surges"]), default=0.0)
    for key in name.split("."):
        data = data[key]
    return data


def cases():
    for study, entry in EXPECTED.items():
        for name, ends in entry["ranges"].items():
            yield pytest.param(study, name, ends, id=f"{study}:{name}")


def test_no_study_is_left_out():
    assert set(EXPECTED) == set(study_names())
    assert len(EXPECTED) >= 12
    assert all(len(entry["ranges"]) >= 3 for entry in EXPECTED.values())


@pytest.mark.parametrize("study", EXPECTED)
def test_outcome(study):
    entry = EXPECTED[study]
    named = report_of(study).named
    if load_study(study).sensitive:
        assert named.outcome in entry["outcome"]
        return
    assert named.outcome == entry["outcome"]
    assert list(named.also) == [entry["outcome"], *entry.get("also", [])]


@pytest.mark.parametrize("study", EXPECTED)
def test_flags(study):
    data = data_of(study)
    assert data["over_torque"] is EXPECTED[study]["over_torque"]
    assert data["high_current_longer"] is EXPECTED[study].get("high_current_longer")


@pytest.mark.parametrize("study, name, ends", list(cases()))
def test_range(study, name, ends):
    assert ends[0] <= figure(data_of(study), name) <= ends[1]
