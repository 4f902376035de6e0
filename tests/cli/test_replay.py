"""An attempt read back, and asked again."""

import json

import pytest

from tests.session.jobs import do, plain
from trainer.cli.main import main
from trainer.session.attempt import start


@pytest.fixture
def path(tmp_path):
    target = tmp_path / "a.jsonl"
    running = start(plain(), target, {"scenario": "larkspur-row"})
    do(running, "take off", cover="disconnect-front")
    do(running, "select", instrument="meter", setting="V ac")
    do(running, "measure", red="disconnect.L1", black="disconnect.L2")
    return target


def test_the_story(path, capsys):
    assert main(["replay", str(path)]) == 0
    out = capsys.readouterr().out
    assert "> take off disconnect-front" in out
    assert "240.0 V" in out


def test_verified(path, capsys):
    assert main(["replay", str(path), "--verify", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["data"]["verified"] is True


def test_a_forged_reading_differs(path, capsys):
    path.write_text(path.read_text().replace('"value":240.0', '"value":0.0'))
    assert main(["replay", str(path), "--verify"]) == 1
    assert "differs at event" in capsys.readouterr().out
