"""The papers say what is so: commands exist, files exist, the marked commands are whole."""

import re
import shlex
from pathlib import Path

import pytest

from trainer.base.places import scenarios_dir
from trainer.cli.main import COMMANDS

ROOT = Path(__file__).resolve().parents[1]
PAPERS = ["README.md", "DEVELOPERS.md"]
FLAGS = {"--help", "--version"}


def text_of(paper: str) -> str:
    return (ROOT / paper).read_text(encoding="utf-8")


def fenced(paper: str) -> list[str]:
    """The lines of every fenced block."""
    blocks = re.findall(r"^```\w*\n(.*?)^```", text_of(paper), re.MULTILINE | re.DOTALL)
    return [line for block in blocks for line in block.splitlines() if line.strip()]


def calls(paper: str) -> list[list[str]]:
    """The words after each condenser-bench in the fenced blocks."""
    found = []
    for line in fenced(paper):
        for piece in line.split("&&"):
            words = shlex.split(piece)
            if words and words[0].endswith("condenser-bench"):
                found.append(words[1:])
    return found


@pytest.mark.parametrize("paper", PAPERS)
def test_commands_in_fenced_blocks_exist(paper):
    called = calls(paper)
    assert called
    for words in filter(None, called):
        assert words[0] in COMMANDS or words[0] in FLAGS, words


@pytest.mark.parametrize("paper", [*PAPERS, "CHANGELOG.md"])
def test_commands_named_in_sentences_exist(paper):
    for name in re.findall(r"`condenser-bench ([a-z-]+)", text_of(paper)):
        assert name in COMMANDS or name in FLAGS, name


def test_studies_named_in_blocks_exist():
    for words in calls("README.md") + calls("DEVELOPERS.md"):
        if words[:1] == ["energise"]:
            assert (scenarios_dir() / "studies" / f"{words[1]}.yaml").is_file(), words


def test_every_command_is_in_the_changelog():
    assert all(f"condenser-bench {name}`" in text_of("CHANGELOG.md") for name in COMMANDS)


@pytest.mark.parametrize("mark", ["run-command", "test-command"])
def test_readme_has_one_marked_command(mark):
    found = re.findall(rf"^<!-- {mark} -->\n```sh\n(.*?)\n```", text_of("README.md"), re.M | re.S)
    assert len(found) == 1
    assert "\n" not in found[0]
    assert found[0].startswith("python3 -m venv .venv && .venv/bin/pip install ")


def test_ci_reads_its_commands_from_readme():
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "test-command" in script
    assert "run-command" in script
    assert "pytest" not in script


def test_links_and_sources_named_exist():
    for paper in PAPERS:
        for target in re.findall(r"\]\(([^)#:]+)\)", text_of(paper)):
            assert (ROOT / target).exists(), target
    for path in re.findall(
        r"`((?:trainer|tests|scenarios)/[\w/]+\.\w+)`", text_of("DEVELOPERS.md")
    ):
        if "NAME" not in path:
            assert (ROOT / path).exists(), path
