"""What marking costs: ``python -m tests.benchmarks.marks``. Nothing here is asserted.

Attempts of so many events are marked from their files on one core; beside each figure stands the
same file read as bare JSON in the same run.
"""

from __future__ import annotations

import json
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tests.assess.made import Script, scripted
from trainer.assess.marking import mark_file
from trainer.session.log import Log

TIMES = 30


def of_events(count: int) -> Script:
    """The careful job, then looks and readings until there are so many events."""
    script = scripted(upto="P54")
    script.select("meter", "V ac")
    while len(script.events) < count:
        script.did("look", at="can")
        script.read("disconnect.L1", "disconnect.L2")
    return script


def written(script: Script, path: Path) -> Path:
    log = Log(path, {"program": "0", "learner": "learner", "mode": "moves", **script.header})
    log.append(script.events)
    log.close()
    return path


def least(work: Callable[[], object]) -> float:
    """Least seconds of several runs: what else the machine did is left out."""
    spent = []
    for _ in range(TIMES):
        began = time.perf_counter()
        work()
        spent.append(time.perf_counter() - began)
    return min(spent)


def main() -> None:
    """Print every figure."""
    with tempfile.TemporaryDirectory() as folder:
        for count in (300, 1200, 4800):
            path = written(of_events(count), Path(folder) / f"{count}.att")
            text = path.read_text()
            bare = least(lambda text=text: [json.loads(row) for row in text.splitlines()])  # type: ignore[misc]
            mark_file(path)
            marked = least(lambda path=path: mark_file(path))  # type: ignore[misc]
            each = 1e6 * marked / count
            print(
                f"{count:5d} events: {1 / marked:6.1f} marks a second, {each:5.1f} us an event, "
                f"{marked / bare:4.1f} times bare JSON"
            )
        print("aim: at least 50 marks a second of 300 events, and as many us an event for more")


if __name__ == "__main__":
    main()
