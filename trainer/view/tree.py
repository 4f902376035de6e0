"""What is on the window, written to a file for scripts that drive it.

Knows frames and the state; must know no toolkit.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from trainer.view.shapes import Frame
from trainer.view.state import App


def write_tree(path: Path, frame: Frame, app: App, scale: float, told: Mapping[str, Any]) -> None:
    """Names, roles, labels, and rectangles in device pixels; ``told`` is the window's own."""
    s = scale
    rows = [
        {"name": n.name, "role": n.role, "label": n.label, "enabled": n.enabled,
         "chosen": n.chosen, "value": n.value, "rect": [v * s for v in n.seen],
         "whole": [v * s for v in n.rect], "clip": n.clip and [v * s for v in n.clip],
         "answers": bool(n.on), "stop": n.focus, "keys": list(n.keys),
         "focus": n.name == app.focus}
        for n in frame.nodes
    ]  # fmt: skip
    job = app.job
    data = {"screen": app.screen, "nodes": rows, "busy": bool(job and job.busy),
            "trouble": app.trouble, "events": len(job.events) if job else 0,
            "path": job.path if job else "", **told}  # fmt: skip
    new = path.with_suffix(".new")
    new.write_text(json.dumps(data), encoding="utf-8")
    new.replace(path)
