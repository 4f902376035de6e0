"""The list of shipped studies."""

import json

from trainer.cli.main import main
from trainer.cli.studies import listed


def test_studies_of_a_folder(tmp_path):
    (tmp_path / "b.yaml").write_text("study: 1\ntitle: a start\n")
    (tmp_path / "a.yaml").write_text("study: 1\n")
    (tmp_path / "expected.yaml").write_text("b: {outcome: clean}\n")
    (tmp_path / "c.yaml").write_text("study: 1\nstudy: 2\n")
    studies, warnings = listed(tmp_path)
    assert studies == [{"name": "a", "title": ""}, {"name": "b", "title": "a start"}]
    assert len(warnings) == 1
    assert "'study' is written twice" in warnings[0]


def test_the_command_lists_what_is_shipped(capsys):
    assert main(["studies", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)["data"]
    assert "potential-relay" in {study["name"] for study in data["studies"]}
    assert all(study["title"] for study in data["studies"])
