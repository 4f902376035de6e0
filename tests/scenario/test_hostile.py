"""Hostile files end in a short list of faults, quickly and in bounded memory."""

import tracemalloc
from pathlib import Path

import pytest

from trainer.base.errors import TrainerError
from trainer.cli.checking import FILES_MOST, check_file, files_of
from trainer.scenario.load import jobs_dir

GOOD = (jobs_dir() / "dual-capacitor-unit.yaml").read_text(encoding="utf-8")
BOMB = "scenario: 1\na: &a [x, x]\n" + "".join(
    f"{b}: &{b} [*{a}, *{a}, *{a}, *{a}, *{a}, *{a}, *{a}, *{a}]\n"
    for a, b in zip("abcdefghi", "bcdefghij", strict=True)
)
CROWD = "scenario: 1\nlayout: larkspur-row\nsymmetries:\n" + "  - [can.Q, can.Z]\n" * 6000
HOSTILE = {
    "bomb": BOMB.encode(),
    "deep": b"scenario: 1\nvariants: " + b"[" * 5000,
    "crowd": CROWD.encode(),
    "long": b"scenario: 1\ntitle: " + b"x" * 900_000,
    "utf-16": GOOD.encode("utf-16"),
    "latin": "scenario: 1\ntitle: caf\u00e9".encode("latin-1"),
    "zeros": b"scenario: 1\ntitle: \x00\x00",
    "binary": bytes(range(256)) * 40,
}


@pytest.mark.parametrize("name", HOSTILE)
def test_what_is_wrong_is_told_in_little_memory(name, tmp_path):
    path = tmp_path / f"{name}.yaml"
    path.write_bytes(HOSTILE[name])
    tracemalloc.start()
    found = check_file(path, simulate=True, seeds=[0])
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert found.faults
    assert peak < 60e6
    assert len("\n".join(map(str, found.faults[:200]))) < 100_000


def test_a_hundred_megabytes_are_not_read(tmp_path):
    path = tmp_path / "huge.yaml"
    with path.open("wb") as file:
        file.truncate(100_000_000)
    tracemalloc.start()
    found = check_file(path, simulate=True, seeds=[0])
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert "larger than 1000 kB" in found.faults[0].what
    assert peak < 1e6


def test_a_folder_of_too_many_files_is_refused(tmp_path):
    for n in range(FILES_MOST + 1):
        (tmp_path / f"{n}.yaml").touch()
    with pytest.raises(TrainerError, match="more than 500 files"):
        files_of([str(tmp_path)])


def test_a_link_in_a_circle_is_not_followed(tmp_path):
    (tmp_path / "one.yaml").write_text("scenario: 1\n")
    (tmp_path / "round").symlink_to(tmp_path)
    assert files_of([str(tmp_path)]) == [tmp_path / "one.yaml"]


def test_a_pipe_is_not_opened(tmp_path):
    import os

    path = Path(tmp_path) / "pipe.yaml"
    os.mkfifo(path)
    assert "not an ordinary file" in check_file(path, True, [0]).faults[0].what
