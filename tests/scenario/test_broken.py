"""Scenario files broken in every way: each says at its head what must be told, and on which line.

A head line is ``#! LINE | what``; line 0 stands for the file as a whole. The files are invented.
"""

import re
from pathlib import Path

import pytest

from trainer.cli.checking import check_file

FILES = sorted((Path(__file__).parent / "broken").glob("*.yaml"))


def expected(path: Path) -> list[tuple[int, str]]:
    found = re.findall(r"^#! (\d+) \| (.+)$", path.read_text(encoding="utf-8"), re.MULTILINE)
    return [(int(line), what) for line, what in found]


def line_of(where: str, path: Path) -> int:
    number = where.removeprefix(str(path)).removeprefix(":").split(" ")[0]
    return int(number) if number.isdigit() else 0


def test_there_are_twenty_and_more():
    assert len(FILES) >= 20


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_fault_is_told_at_its_line_with_what_to_write_and_no_other(path):
    found = check_file(path, simulate=True, seeds=[0])
    told = [(line_of(fault.where, path), fault.what) for fault in found.faults]
    wanted = expected(path)
    assert wanted, "a broken file says what is wrong with it"
    assert len(told) == len(wanted), told
    for (line, what), (at, words) in zip(sorted(told), sorted(wanted), strict=True):
        assert line == at
        assert what.startswith(words)
    # a bound says it itself: must be at most 6, must have at least 2 entries
    for fault in found.faults:
        assert fault.write or "must be at most" in fault.what or "at least" in fault.what
