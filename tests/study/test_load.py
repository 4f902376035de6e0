"""Finding studies by name and by path."""

import pytest

from tests.study.text import written
from trainer.base.errors import NotFoundError
from trainer.study.load import find_study, load_study, study_names


def test_shipped_studies_are_found_by_name():
    assert {"psc", "potential-relay"} <= set(study_names())
    assert find_study("psc").name == "psc.yaml"


def test_expected_results_are_no_study():
    assert "expected" not in study_names()


def test_unknown_name_suggests_the_nearest():
    with pytest.raises(NotFoundError) as caught:
        load_study("pcs")
    assert "psc" in caught.value.hint


def test_a_path_is_read_as_it_is(tmp_path):
    assert load_study(written(tmp_path)).title == "Two parts and a wire"


def test_missing_file(tmp_path):
    with pytest.raises(NotFoundError):
        load_study(tmp_path / "none.yaml")


def test_reference_beside_the_study(tmp_path):
    written(tmp_path).rename(tmp_path / "other.yaml")
    path = written(tmp_path, ("until: 2 s", "until: 2 s\nreference: other.yaml"))
    assert load_study(path).reference == "other.yaml"


@pytest.mark.parametrize("name", study_names())
def test_shipped_studies_are_in_order(name):
    study = load_study(name)
    assert study.title and study.about
