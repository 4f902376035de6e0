"""The answer sheet: everything an instructor needs on a page; the job sheet gives nothing away."""

import pytest

from tests.scenario.files import scenario
from trainer.scenario.key import answer_sheet, job_sheet
from trainer.scenario.load import load_scenario
from trainer.scenario.variants import variant


@pytest.fixture(scope="module")
def planted():
    shown = {"name": "FAN section", "setting": "farads", "at": ["can.C", "can.F"],
             "lifted": ["can.F"], "between": ["0 uF", "1 uF"]}  # fmt: skip
    job = scenario(
        start={"wiring": {"lift": ["7.a"]}},
        plant={"faults": ["F24"], "charges": {"can.H": "300 V"}},
        symptoms={"F24": [shown]}, tools=["multimeter"],
        readings=[{"name": "HERM", "setting": "farads", "at": ["can.C", "can.H"],
                   "lifted": ["can.H"]}],
    )  # fmt: skip
    return variant(job, "job", 0)


def test_what_is_planted_and_what_it_reads(planted):
    text = answer_sheet(planted)
    assert "F24 FAN section open" in text
    assert "F24 shows: FAN section, 10 pF" in text
    assert "can.H holds 300 V dc" in text
    assert "wire 7 a: loose, wanted can.H" in text
    # the can of this layout is printed 35+5
    assert "HERM: 35 µF" in text
    assert "can.H = comp.S  by 7" in text


def test_the_job_sheet_gives_nothing_away(planted):
    text = job_sheet(planted)
    assert "Do the job." in text and "multimeter" in text
    for secret in ("F24", "300", "loose", "35", "pF"):
        assert secret not in text


def test_a_page_is_a_page():
    sheet = answer_sheet(variant(load_scenario("dual-capacitor-unit"), "dual-capacitor-unit", 1))
    lines = sheet.splitlines()
    assert len(lines) <= 90
    assert max(map(len, lines)) <= 100
    for word in ("Training aid only", "FREEDOMS", "also right: legs exchanged"):
        assert word in sheet
