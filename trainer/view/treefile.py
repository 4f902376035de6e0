"""What is on the window, for scripts that drive it: names, roles, rectangles in device pixels.

Knows a frame and the window's counts; must know no toolkit.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

from trainer.view.shapes import Frame

if TYPE_CHECKING:
    from trainer.view.app import Window


def write_tree(path: Path, frame: Frame, window: Window) -> None:
    """Written whole, then renamed."""
    s = window.painter.scale
    rows = [
        {"name": n.name, "role": n.role, "label": n.label, "enabled": n.enabled,
         "chosen": n.chosen, "value": n.value, "rect": [v * s for v in n.seen],
         "whole": [v * s for v in n.rect], "clip": n.clip and [v * s for v in n.clip],
         "answers": bool(n.on), "stop": n.focus, "keys": list(n.keys),
         "focus": n.name == window.app.focus}
        for n in frame.nodes
    ]  # fmt: skip
    job = window.app.job
    waiting = window.client.waiting if window.client else 0
    data = {"screen": window.app.screen, "nodes": rows, "waiting": waiting,
            "busy": bool(job and job.busy), "trouble": window.app.trouble,
            "handled": window.handled, "size": list(window.surface.get_size()),
            "events": len(job.events) if job else 0, "path": job.path if job else "",
            "spot": frame.spot}  # fmt: skip
    new = path.with_suffix(".new")
    new.write_text(json.dumps(data), encoding="utf-8")
    new.replace(path)
