"""Settings and attempts of a person on disk: damaged files are set aside, nothing is lost."""

import json
import os
from dataclasses import replace

import pytest

from trainer.view.people import FILE, attempt_path, data_dir, load_settings, save_settings
from trainer.view.state import Settings


def test_settings_come_back_as_they_were_saved(tmp_path):
    mine = Settings(name="Ann", scale=150, sound=False, units="SI", toured=True)
    assert save_settings(tmp_path / "new" / "folder", mine) == ""
    assert load_settings(tmp_path / "new" / "folder") == (mine, "")


def test_no_file_is_no_fault(tmp_path):
    assert load_settings(tmp_path) == (Settings(), "")


@pytest.mark.parametrize(
    "content", [b"", b"{", b"[1, 2]", b"nonsense", b"\xff\xfe\x00", b"[" * 100_000, b"null"]
)
def test_a_damaged_file_is_set_aside_whole_and_told(tmp_path, content):
    (tmp_path / FILE).write_bytes(content)
    settings, told = load_settings(tmp_path)
    assert settings == Settings()
    aside = tmp_path / "settings.damaged"
    assert aside.read_bytes() == content and str(aside) in told
    assert save_settings(tmp_path, settings) == "" and load_settings(tmp_path)[1] == ""


def test_a_second_damaged_file_does_not_replace_the_first(tmp_path):
    for content in (b"first", b"second"):
        (tmp_path / FILE).write_bytes(content)
        load_settings(tmp_path)
    kept = {p.read_bytes() for p in tmp_path.iterdir()}
    assert kept == {b"first", b"second"}


def test_values_that_do_not_fit_are_the_usual_ones_and_the_rest_is_kept(tmp_path):
    data = {"name": "Ann", "scale": 9000, "theme": "no such", "language": 5, "units": "furlong",
            "sound": "yes", "unknown": 1, "toured": True}  # fmt: skip
    (tmp_path / FILE).write_text(json.dumps(data), encoding="utf-8")
    settings, told = load_settings(tmp_path)
    assert told == ""
    assert settings == replace(Settings(), name="Ann", scale=200, toured=True)


def test_a_folder_that_cannot_be_written_is_told(tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("in the way", encoding="utf-8")
    assert "could not be saved" in save_settings(blocked, Settings())
    assert blocked.read_text(encoding="utf-8") == "in the way"


def test_a_file_that_cannot_be_read_is_told(tmp_path):
    (tmp_path / FILE).mkdir()
    settings, told = load_settings(tmp_path)
    assert settings == Settings() and told


def test_attempts_never_share_a_file(tmp_path):
    first = attempt_path(tmp_path, "make-it-dead", "20260101-120000")
    first.write_text("x", encoding="utf-8")
    second = attempt_path(tmp_path, "make-it-dead", "20260101-120000")
    assert first != second and second.suffix == ".att"
    assert attempt_path(tmp_path, "../../etc/x y.yaml", "s").parent == tmp_path


def test_the_folder_can_be_moved(monkeypatch, tmp_path):
    monkeypatch.setenv("CONDENSER_BENCH_DATA", str(tmp_path))
    assert data_dir() == tmp_path
    monkeypatch.delenv("CONDENSER_BENCH_DATA")
    assert os.fspath(data_dir()) != str(tmp_path)
