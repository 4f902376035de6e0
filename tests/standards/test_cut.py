"""The record of a cut: its form, and that a file gives back what was written."""

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from trainer.assess.rubric import CutSetting, Rubric
from trainer.base.errors import Faults
from trainer.standards.cut import CutRecord, load_record, record_text

DAYS = st.dates().map(lambda day: day.isoformat())
#: Single-line words, as a person would name a method.
WORDS = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1)


def record(**changes):
    fields = {"cut": 69, "method": "modified Angoff", "date": "2026-03-31", "judges": 3, "n": 5,
              "se": 0.57735}  # fmt: skip
    return CutRecord(**{**fields, **changes})


@given(
    st.fractions(0, 100), WORDS, DAYS,
    st.none() | st.integers(1, 500), st.none() | st.floats(0, 100),
)  # fmt: skip
def test_a_record_is_read_back_as_it_was_written(tmp_path_factory, cut, method, date, judges, se):
    path = tmp_path_factory.mktemp("cut") / "cut.yaml"
    written = record(cut=cut, method=method, date=date, judges=judges, se=se)
    path.write_text(record_text(written), encoding="utf-8")
    assert load_record(path) == written


def test_the_fields_are_those_of_a_rubric():
    assert set(CutRecord.model_fields) - {"cut"} == set(CutSetting.model_fields)
    assert CutSetting.model_validate(record().cut_set).model_dump() == record().model_dump(
        exclude={"cut"}
    )


@pytest.mark.parametrize("cut", ["69", "51.5", "311/6"])
def test_a_rubric_takes_the_cut_as_it_is_written(cut):
    data = yaml.safe_load(record_text(record(cut=cut)))
    rubric = Rubric.model_validate({
        "rubric": 1, "title": "invented", "cut": data["cut"], "cut_set": record().cut_set,
        "domains": {"sequence": {"weight": 100}}, "critical": [],
    })  # fmt: skip
    assert rubric.cut == record(cut=cut).cut
    assert not rubric.provisional


@pytest.mark.parametrize(
    ("cut", "written"), [("69", 69), ("51.50", 51.5), ("311/6", "311/6"), ("1/100000", "1/100000")]
)
def test_the_cut_is_written_exactly_and_plainly(cut, written):
    assert record(cut=cut).written_cut == written


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("date: 2026-02-29", "'2026-02-29' is no date; write a day of the calendar"),
        ("date: 1900-02-29", "is no date"),
        ("date: 2026-13-01", "is no date"),
        ("date: 2026-00-01", "is no date"),
        ("date: 2026-3-1", "is no date"),
        ("date: 0000-01-01", "is no date"),
        ("cut: 100.5", "'100.5' is out of range; write points of 100"),
        ("cut: -1", "is out of range"),
        ("cut: 1/0", "is no cut"),
        ("cut: 1e9", "is out of range"),
        ("cut: 1e300", "is no cut"),
        ("cut: '1e999999999'", "is no cut"),
        ("cut: true", "is no cut"),
        ("judges: 0", "must be at least 1"),
        ("se: -0.1", "must be at least 0"),
        ("seed: 1", "is not a key known here"),
    ],
)
def test_what_is_no_record(tmp_path, line, sentence):
    key = line.split(":")[0]
    good = {"cut": 69, "method": "by hand", "date": "2024-02-29"}
    lines = [f"{k}: {v}" for k, v in good.items() if k != key]
    (tmp_path / "cut.yaml").write_text("\n".join([*lines, line]))
    with pytest.raises(Faults) as refused:
        load_record(tmp_path / "cut.yaml")
    assert sentence in str(refused.value)
    assert len(refused.value.faults) == 1


def test_a_leap_day_is_a_date():
    assert record(date="2024-02-29").date == "2024-02-29"
    assert record(date="2000-02-29").date == "2000-02-29"


@pytest.mark.parametrize("method", ["0E0", "1_0", "on", "~", "a: b", 'say "so"'])
def test_a_method_that_looks_like_something_else_stays_a_word(tmp_path, method):
    path = tmp_path / "cut.yaml"
    record = CutRecord.model_validate({"cut": "70", "method": method, "date": "2026-03-02"})
    path.write_text(record_text(record), encoding="utf-8")
    assert load_record(path).method == method
