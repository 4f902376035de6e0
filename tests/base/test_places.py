"""Where shipped data, the cache and the log are."""

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from trainer import __version__
from trainer.base import places
from trainer.base.errors import NotFoundError

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(autouse=True)
def _forget():
    places.cache_dir.cache_clear()
    yield
    places.cache_dir.cache_clear()


def test_a_checkout_has_its_own_data():
    assert places.scenarios_dir() == ROOT / "scenarios"
    assert places.assets_dir() == ROOT / "assets"


def test_an_installed_package_has_data_inside(tmp_path, monkeypatch):
    (tmp_path / "trainer" / "_data" / "scenarios").mkdir(parents=True)
    (tmp_path / "scenarios").mkdir()  # somebody else's folder of that name
    monkeypatch.setattr(places, "_PACKAGE", tmp_path / "trainer")
    assert places.scenarios_dir() == tmp_path / "trainer" / "_data" / "scenarios"
    with pytest.raises(NotFoundError, match="assets is missing"):
        places.assets_dir()


def test_cache_is_per_version_and_processor(tmp_path, monkeypatch):
    monkeypatch.setenv(places.CACHE_VARIABLE, str(tmp_path))
    folder = places.cache_dir()
    assert folder.is_dir()
    assert folder.parent == tmp_path / __version__
    assert folder.name
    assert folder == places.cache_dir()


def test_a_cache_that_cannot_be_made_is_private_to_this_run(tmp_path, monkeypatch):
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    monkeypatch.setenv(places.CACHE_VARIABLE, str(blocked / "cache"))
    folder = places.cache_dir()
    assert folder.is_dir()
    assert blocked not in folder.parents
    if os.name == "posix":
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700


def test_the_private_cache_is_removed_with_the_process(tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    code = "from trainer.base.places import cache_dir; print(cache_dir())"
    run = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, places.CACHE_VARIABLE: str(blocked / "cache"), "PYTHONPATH": str(ROOT)},
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert not Path(run.stdout.strip()).exists()


def test_shipped_file_by_bare_name(tmp_path, monkeypatch):
    monkeypatch.setattr(places, "scenarios_dir", lambda: tmp_path)
    (tmp_path / "studies").mkdir()
    (tmp_path / "studies" / "low-line.yaml").write_text("study: 1\n")
    assert places.shipped_file("low-line", "studies") == tmp_path / "studies" / "low-line.yaml"
    assert places.shipped_file("low-line.yaml", "studies").name == "low-line.yaml"
    with pytest.raises(NotFoundError) as caught:
        places.shipped_file("low-lime", "studies")
    assert caught.value.hint == "did you mean low-line"


def test_a_path_stays_a_path(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "psc").write_text("study: 1\n")
    assert places.shipped_file("psc", "studies") == Path("psc")
    assert places.shipped_file("../etc/x.yaml", "studies") == Path("../etc/x.yaml")
