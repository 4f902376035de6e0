"""The window's command where there is no window."""

import json
from pathlib import Path

import pytest

from trainer.cli.main import main
from trainer.cli.opening import FOLDER, fresh, no_display


@pytest.fixture
def nowhere(monkeypatch, tmp_path):
    """A folder of its own and no display."""
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_no_display_is_said(nowhere):
    assert "no display" in no_display()


def test_a_display_is_tried(nowhere, monkeypatch):
    monkeypatch.setenv("DISPLAY", ":0")
    assert no_display() == ""


def test_without_a_display_a_job_is_played_in_text(nowhere, capsys):
    assert main([]) == 0
    said = capsys.readouterr().out
    assert "no display" in said
    assert "the unit dead" in said
    written = {p.name for p in (nowhere / FOLDER).iterdir()}
    assert {"make-it-dead.att", "make-it-dead.html"} <= written


def test_as_json(nowhere, capsys):
    assert main(["window", "--json"]) == 0
    out = capsys.readouterr().out
    data = json.loads(out[out.index("{") :])["data"]
    assert Path(data["debrief"]).is_file()


def test_what_is_there_stays(tmp_path):
    (tmp_path / "a.att").write_text("x")
    assert fresh(tmp_path / "a.att").name == "a-2.att"
