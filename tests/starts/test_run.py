"""Running studies: references, line volts, edges, notes."""

import pytest
from pytest import approx

from tests.starts.runs import report_of
from tests.starts.variants import study, with_parts
from trainer.base.errors import NotFoundError
from trainer.starts.notes import notes
from trainer.starts.run import can_data, flips, run_file, run_start, with_line
from trainer.study.load import studies_dir


def test_the_reference_start_lies_behind():
    found = report_of("over-torque")
    assert found.reference.title == report_of("potential-relay").title
    assert found.reference.reference is None
    assert found.as_data()["reference"]["time_to_90pct_s"] == approx(
        report_of("potential-relay").evidence.time_to_full_s
    )


def test_a_reference_may_be_a_file_beside_the_study(tmp_path):
    for name in ("psc", "locked-rotor"):
        text = (studies_dir() / f"{name}.yaml").read_text(encoding="utf-8")
        text = text.replace("reference: psc", "reference: right.yaml")
        text = text.replace("until: 12 s", "until: 0.5 s")
        (tmp_path / {"psc": "right.yaml"}.get(name, "wrong.yaml")).write_text(text)
    assert run_file(tmp_path / "wrong.yaml").reference.outcome == "clean"


def test_a_study_that_is_not_there():
    with pytest.raises(NotFoundError, match="no study called 'pcs'"):
        run_file("pcs")


def test_line_volts_times_a_ratio():
    assert with_line(study("psc"), 0.9).parts["service"].volts == approx(216.0)
    assert with_line(study("inverter"), 0.9).parts["service"].volts == approx(216.0)


def test_a_plain_start_does_not_flip():
    assert flips(study("psc")) == ()


def test_a_start_on_the_edge_flips():
    # breakaway and gas ask 3.3 N m and 98 uF gives that on 235 V; torque pulsates at twice line
    # frequency and shakes the shaft loose on less, so the edge is looked for below
    base = with_parts("potential-relay")
    low, high = 196.0, 212.0
    while high - low > 0.1:
        middle = 0.5 * (low + high)
        stalls = run_start(with_line(base, middle / 240.0), until_s=1.5).outcome == "stalled"
        low, high = (middle, high) if stalls else (low, middle)
    assert set(flips(with_line(base, high / 240.0))) == {"stalled", "clean"}


def test_ratings_of_the_start_capacitor():
    can = can_data(study("potential-relay"))
    assert (can.rated_v, can.duty_s_per_hour) == (330.0, 60.0)
    # 0.05 / (2 pi 60 x 98 uF)
    assert can.esr_ohms == approx(1.353, rel=1e-3)
    assert can_data(study("psc")) is None


def test_notes_warn_of_a_record_cut_short():
    assert notes(report_of("psc")) == []
    cut = notes(run_start(study("potential-relay"), until_s=0.1))
    assert len(cut) == 1 and "let it run longer" in cut[0]


def test_notes_of_special_studies():
    assert "soft starter" in notes(report_of("soft-starter"))[0]
    assert "on an edge" in notes(report_of("relay-chatter"))[0]
