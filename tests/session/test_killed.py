"""Killed at any moment: at most the act in progress is lost, and a torn line is told."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from trainer.session.attempt import complete, resume
from trainer.session.evolve import fold
from trainer.session.log import read

MOVES = Path(__file__).with_name("moves") / "make-it-dead.yaml"


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no such signal on this system")
@pytest.mark.parametrize("lines", [3, 80])
def test_kill_nine(tmp_path: Path, lines: int) -> None:
    """Killed as soon as the file has so many lines, wherever the program then is."""
    out = tmp_path / "a.jsonl"
    words = ["play", "larkspur-row", "--moves", str(MOVES), "--out", str(out)]
    child = subprocess.Popen(
        [sys.executable, "-m", "trainer", *words],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env={**os.environ},
    )  # fmt: skip
    while child.poll() is None and (not out.exists() or out.read_bytes().count(b"\n") < lines):
        time.sleep(0.002)
    child.kill()
    child.wait()
    before = read(out)
    whole = complete(before.events)
    resumed = resume(out)
    assert len(resumed.running.events) == whole
    assert len(before.events) - whole < 40  # what is lost is what one act had written
    assert sum(e.kind == "asked" for e in before.events[whole:]) <= 1
    assert resumed.running.bench.at_ms == fold(before.events[:whole]).at_ms
    again = read(out)
    assert len(again.events) == whole
    assert again.torn == ""
