"""Pictures of the window: which are drawn, how large, and what is refused."""

import struct

import pytest

from tests.outside import CI
from tests.view.shown_in import ENGLISH
from trainer.base.tongue import speaking
from trainer.cli.main import main
from trainer.cli.shots import written
from trainer.view.shots import shots


def size_of(path):
    """Width and height of a PNG. Source: PNG specification, 11.2.2 IHDR."""
    head = path.read_bytes()[:24]
    assert head[:8] == b"\x89PNG\r\n\x1a\n"
    return struct.unpack(">II", head[16:24])


@pytest.mark.parametrize(
    ("scale", "size", "wanted"),
    [(100, "", (1280, 800)), (150, "", (1920, 1200)), (200, "700x480", (1400, 960))],
)
def test_a_picture_is_as_large_as_its_window_at_its_scale(tmp_path, scale, size, wanted):
    names = written(tmp_path, scale, size=size, only=["home"])
    assert "home" in names
    assert sorted(p.stem for p in tmp_path.glob("*.png")) == sorted(names)
    assert size_of(tmp_path / "home.png") == wanted


def test_only_takes_names_that_begin_so(tmp_path):
    assert main(["shots", str(tmp_path), "--only", "layout-larkspur"]) == 0
    assert [p.name for p in tmp_path.iterdir()] == ["layout-larkspur-row.png"]


def test_the_same_picture_twice_is_the_same_file(tmp_path):
    only = ["bench"] if CI else ["bench-mid", "bench-held"]
    written(tmp_path / "a", only=only)
    written(tmp_path / "b", only=only)
    for path in (tmp_path / "a").iterdir():
        assert path.read_bytes() == (tmp_path / "b" / path.name).read_bytes(), path.name


def test_a_theme_and_a_language_change_the_picture(tmp_path):
    for folder, more in (("a", {}), ("b", {"theme": "night"}), ("c", {"lang": "pseudo"})):
        written(tmp_path / folder, only=["bench-mid-test"], **more)
    found = {(tmp_path / f / "bench-mid-test.png").read_bytes() for f in "abc"}
    assert len(found) == 3


@pytest.mark.parametrize(
    ("words", "code"),
    [(["--scale", "90"], 2), (["--theme", "pink"], 2), (["--lang", "xx"], 2),
     (["--size", "10x10"], 2), (["--size", "big"], 2), (["--only", "nothing-such"], 4)],
)  # fmt: skip
def test_what_cannot_be_drawn_is_refused_and_nothing_written(tmp_path, words, code, capsys):
    assert main(["shots", str(tmp_path / "out"), *words]) == code
    assert capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_what_is_told_while_a_state_is_made_is_in_its_language():
    told = {}
    for language in ("en", "es", "en"):
        with speaking(language):
            told[language] = shots()["panel-shock"]().job.pause["lines"]
    assert told["en"] != told["es"]
    assert not any(ENGLISH.search(line) for line in told["es"])
    assert any(ENGLISH.search(line) for line in told["en"])
