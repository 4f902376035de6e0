"""Jobs out of the store: an own layout comes along, another edition is refused."""

from __future__ import annotations

import re

import pytest

from trainer.base.errors import TrainerError
from trainer.classroom.jobs import Stored, job_in, stem_of
from trainer.scenario.load import find_scenario, load_scenario
from trainer.unit.layout import layouts_dir

JOB = "make-it-dead"


def own(tmp_path, layout="layouts/yard.yaml"):
    """The shipped job as an instructor's own file on a layout of his own beside it."""
    shipped = load_scenario(JOB).layout
    body = find_scenario(JOB).read_text(encoding="utf-8")
    body = re.sub(r"^layout: .*$", f"layout: {layout}", body, flags=re.MULTILINE)
    laid = (layouts_dir() / f"{shipped}.yaml").read_text(encoding="utf-8")
    (tmp_path / "layouts").mkdir(exist_ok=True)
    (tmp_path / "layouts" / "yard.yaml").write_text(laid, encoding="utf-8")
    path = tmp_path / "mine.yaml"
    path.write_text(body, encoding="utf-8")
    return Stored("mine", load_scenario(path).digest, body, laid)


def test_an_own_layout_comes_out_of_the_store(tmp_path):
    stored = own(tmp_path)
    for path in (tmp_path / "mine.yaml", tmp_path / "layouts" / "yard.yaml"):
        path.unlink()
    job = job_in(stored, 2**63)
    assert job.scenario.digest == stored.digest
    assert job.name == "mine"


def test_another_edition_than_was_stored_is_refused(tmp_path):
    stored = own(tmp_path)
    with pytest.raises(TrainerError, match="reads otherwise"):
        job_in(stored._replace(digest="0" * 64), 2**63)


def test_a_layout_does_not_lead_out_of_its_folder(tmp_path):
    stored = own(tmp_path)
    body = stored.body.replace("layouts/yard.yaml", "../outside.yaml")
    with pytest.raises(TrainerError):
        job_in(stored._replace(body=body), 2**63)
    assert not list(tmp_path.rglob("outside.yaml"))


@pytest.mark.parametrize(
    ("name", "stem"), [("first-start", "first-start"), ("../x", "scenario"), ("", "scenario")]
)
def test_the_name_of_draws_is_safe_as_a_files(name, stem):
    assert stem_of(name) == stem
