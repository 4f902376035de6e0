"""A scenario laid down from texts that were kept: with its own layout and rubric beside it.

Nothing of a path comes from the texts but the layout's name, which must stay in the folder. Knows
files; must know no class.
"""

from __future__ import annotations

import re
from pathlib import Path

from trainer.base.errors import NotFoundError
from trainer.base.yamlfile import read_all
from trainer.unit.own_layout import is_own, own_file

_STEM = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,60}")


def stem_of(name: str) -> str:
    """The name a scenario's draws go by, safe as a file's: not every stem of a path is one."""
    return name if _STEM.fullmatch(name) else "scenario"


def lay_down(folder: Path, name: str, body: str, layout: str = "", rubric: str = "") -> Path:
    """Writes ``folder``/jobs/NAME.yaml and what belongs to it; the scenario's path.

    Raises TrainerError for a layout's name that leads out of the folder.
    """
    path = folder / "jobs" / f"{stem_of(name)}.yaml"
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    path.write_text(body, encoding="utf-8")
    data = read_all(path).data
    told = data if isinstance(data, dict) else {}
    if layout:
        _lay(path.parent, str(told.get("layout", "")), layout)
    if rubric:
        beside = folder / "rubrics"
        beside.mkdir(mode=0o700, exist_ok=True)
        named = stem_of(str(told.get("rubric", "")))
        (beside / f"{named}.yaml").write_text(rubric, encoding="utf-8")
    return path


def _lay(folder: Path, name: str, content: str) -> None:
    if not is_own(name):
        return
    try:
        target = own_file(name, folder)  # its rules of a name
    except NotFoundError:
        target = folder / name
        target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    target.write_text(content, encoding="utf-8")
