"""How an attempt is begun: for practice, from a file of moves, or graded under a lock.

A graded attempt has only the hints its rubric allows. Knows files; decides nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any


def mode_of(
    lock: str, scenario: str, found: Mapping[str, Any], practice: str = "moves"
) -> tuple[dict[str, Any], dict[str, Any]]:
    """(what the header says of the mode, what is handed out)."""
    if not lock:
        return {"mode": practice}, dict(found)
    from trainer.assess.finding_rubric import rubric_for
    from trainer.assess.rubric import TIERS
    from trainer.scenario.load import load_scenario
    from trainer.session.sealing import GRADED, read_lock

    allowed = rubric_for(load_scenario(scenario), scenario).hints.allowed
    hints = [
        text if tier in allowed else ""
        for tier, text in zip(TIERS, found.get("hints", ()), strict=False)
    ]
    return {"mode": GRADED, "lock": read_lock(Path(lock))}, {**found, "hints": hints}
