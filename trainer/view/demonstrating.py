"""The demonstration bay's side of the worker: studies, their sliders, starts drawn again.

Knows studies and prepared starts; must know no shape.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from trainer.demo.dials import turned
from trainer.demo.prepared import Lines, Prepared, opened
from trainer.starts.thinning import packed

#: Ending of a study's file.
SUFFIX = ".yaml"


class Demonstrating:
    """The study that is open, prepared once."""

    def __init__(self) -> None:
        self.name = ""
        self.prepared: Prepared | None = None

    def open(self, name: str) -> dict[str, Any]:
        """Title, sliders and the study's own start. Raises Faults, NotFoundError, TrainerError."""
        self.prepared, self.name = opened(name), name
        study = self.prepared.study
        dials = [vars(d) for d in self.prepared.dials]
        return {
            "title": study.title, "about": (study.about or "").strip(), "dials": dials,
            **self.near({}),
        }  # fmt: skip

    def near(self, values: Mapping[str, float]) -> dict[str, Any]:
        """The first of the start with these values, and what it can be called by now."""
        assert self.prepared is not None
        lines = self.prepared.near(values)
        so_far = lines.so_far
        return {
            "lines": thinned(lines), "levels": self._levels(values),
            "marks": [[m.at_s, m.words, m.bad] for m in lines.marks],
            "heading": so_far.heading, "sentences": list(so_far.sentences),
            "reached": list(so_far.reached), "over_torque": bool(so_far.over_torque),
            "values": dict(values),
        }  # fmt: skip

    def whole(self, values: Mapping[str, float]) -> dict[str, Any]:
        """All of the start: its report in words."""
        assert self.prepared is not None
        start = self.prepared.whole(values)
        return {
            "text": start.text,
            "far": start.far,
            "outcome": start.data.get("outcome"),
            "values": dict(values),
        }

    def _levels(self, values: Mapping[str, float]) -> dict[str, Any] | None:
        """Pickup and drop-out of the relay as it is turned now."""
        assert self.prepared is not None
        study = turned(self.prepared.study, self.prepared.dials, values)
        for name, part in study.parts.items():
            pickup, dropout = getattr(part, "pickup_v", None), getattr(part, "dropout_v", None)
            if pickup and dropout:
                return {"part": name, "pickup_v": float(pickup), "dropout_v": float(dropout)}
        return None


def thinned(lines: Lines) -> dict[str, Any]:
    """At most a few hundred whole numbers a line."""
    return {"t_s": packed(lines.t_s), **{name: packed(v) for name, v in lines.values.items()}}


def studies(folder: Path) -> list[dict[str, str]]:
    """Studies that ship, and the person's own: what to open, and the title."""
    from trainer.base.places import scenarios_dir

    shipped = [(p.stem, p) for p in sorted((scenarios_dir() / "studies").glob(f"*{SUFFIX}"))]
    own = [(str(p), p) for p in sorted(folder.glob(f"*{SUFFIX}"))] if folder.is_dir() else []
    found = []
    for name, path in (*own, *shipped):
        title = _title(path)
        if title:
            found.append({"name": name, "title": title})
    return found


def _title(path: Path) -> str:
    """The title of a study's file by its first lines; "" for another kind of file."""
    try:
        lines = path.read_text(encoding="utf-8")[:4000].splitlines()
    except (OSError, UnicodeDecodeError):
        return ""
    if not any(line.startswith("study:") for line in lines):
        return ""
    title = next(
        (line.partition(":")[2].strip() for line in lines if line.startswith("title:")), ""
    )
    return title.strip("'\"") or path.stem
