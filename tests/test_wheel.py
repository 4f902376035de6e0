"""The wheel: built, unpacked elsewhere and run, with its scenarios inside."""

import json
import os
import stat
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.outside import only_in_ci
from trainer.cli.studies import listed
from trainer.store.schema import HEAD

ROOT = Path(__file__).resolve().parents[1]


def run(*words, cwd, **environment):
    done = subprocess.run(
        [sys.executable, *map(str, words)],
        cwd=cwd, env={**os.environ, **environment}, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    pip = ["-m", "pip", "wheel", ROOT, "--no-deps", "--no-build-isolation", "-q", "-w", folder]
    run(*pip, cwd=folder)
    (path,) = folder.glob("*.whl")
    return path


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory):
    target = tmp_path_factory.mktemp("installed")
    pip = ["-m", "pip", "install", wheel, "--no-deps", "-q", "--no-index", "--target", target]
    run(*pip, cwd=target)
    return target


def test_every_data_file_is_inside(wheel):
    names = set(zipfile.ZipFile(wheel).namelist())
    for folder in ("scenarios", "assets"):
        files = [path for path in (ROOT / folder).rglob("*") if path.is_file()]
        assert files
        for path in files:
            assert f"trainer/_data/{path.relative_to(ROOT).as_posix()}" in names


def test_nothing_else_is_inside(wheel):
    tops = {name.split("/")[0] for name in zipfile.ZipFile(wheel).namelist()}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"trainer"}


def test_an_installed_wheel_finds_its_own_scenarios(installed, tmp_path):
    code = "import trainer.base.places as p; print(p.scenarios_dir()); print(p.assets_dir())"
    said = run("-c", code, cwd=tmp_path, PYTHONPATH=str(installed)).split()
    inside = installed / "trainer" / "_data"
    assert said == [str(inside / "scenarios"), str(inside / "assets")]


def test_an_installed_wheel_lists_the_studies(installed, tmp_path):
    said = run("-m", "trainer", "studies", cwd=tmp_path, PYTHONPATH=str(installed))
    studies, warnings = listed(ROOT / "scenarios" / "studies")
    assert warnings == []
    assert len(studies) >= 12
    assert [line.split()[0] for line in said.splitlines()] == [s["name"] for s in studies]


def contents(folder):
    return {path: path.stat().st_mtime_ns for path in folder.rglob("*") if path.is_file()}


@only_in_ci
def test_a_read_only_install_compiles_into_the_cache(installed, tmp_path):
    for path in [installed, *installed.rglob("*")]:
        path.chmod(path.stat().st_mode & ~(stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH))
    before = contents(installed)
    places = {"PYTHONPATH": str(installed), "CONDENSER_BENCH_CACHE": str(tmp_path / "cache"),
              "PYTHONDONTWRITEBYTECODE": "1"}  # fmt: skip
    said = run("-m", "trainer", "energise", "psc", "--json", cwd=tmp_path, **places)
    assert json.loads(said)["ok"] is True
    assert contents(installed) == before
    assert list((tmp_path / "cache").rglob("*.nbc"))
    kept = contents(tmp_path / "cache")
    again = run("-m", "trainer", "energise", "psc", "--json", cwd=tmp_path, **places)
    assert json.loads(again) == json.loads(said)
    assert contents(tmp_path / "cache") == kept


def test_an_installed_wheel_makes_a_class_store(installed, tmp_path):
    code = (
        "from trainer.store.opening import open_store; from trainer.store.schema import state_of; "
        "store = open_store('class.db'); print(state_of(store)); store.close()"
    )
    assert run("-c", code, cwd=tmp_path, PYTHONPATH=str(installed)).strip() == HEAD
