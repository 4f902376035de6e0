"""A layout of an instructor's own: a file that a scenario names, in the scenario's folder or below.

Holds the rules of such a name: relative, forward slashes, no step up, no link that leads out. A
name without an ending is that of a layout that ships. Knows files; must know no circuit.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from trainer.base.errors import NotFoundError, TrainerError, quoted
from trainer.base.yamlfile import read_all
from trainer.unit.layout import Layout, layout_names, load_layout

LENGTH_MOST = 120
#: One step of the path: no dot first, so neither a hidden file nor ``..``; no drive, no backslash.
_STEP = r"[A-Za-z0-9_][A-Za-z0-9_ .-]*"
_OWN = re.compile(rf"(?:{_STEP}/)*{_STEP}\.ya?ml")
HOW = "a file beside the scenario or in a folder there, as layouts/yard.yaml"


def is_own(name: str) -> bool:
    """Whether this is meant as a file and not as a layout that ships."""
    return "/" in name or "\\" in name or name.lower().endswith((".yaml", ".yml"))


def layout_called(name: str, folder: Path | None) -> Layout:
    """The layout a scenario in ``folder`` names. Raises TrainerError with everything wrong."""
    if is_own(name):
        return load_layout(own_file(name, folder))
    if name not in layout_names():
        near = get_close_matches(name, layout_names(), n=1) or layout_names()[:12]
        raise NotFoundError(f"there is no layout {quoted(name)}", "", " or ".join(near))
    return load_layout(name)


def is_layout_file(path: Path) -> bool:
    """Whether this is a file that says it is a layout; whatever else is wrong is told later."""
    if not is_own(str(path)) or not path.is_file():
        return False
    try:
        data = read_all(path).data
    except TrainerError:
        return False
    return isinstance(data, dict) and "layout" in data and "scenario" not in data


def own_file(name: str, folder: Path | None) -> Path:
    """The file of an own layout, as it may be shown. Raises TrainerError when it may not be read.

    The folder itself may be reached through a link; nothing below it may lead out again.
    """
    if folder is None:
        what = f"the layout {quoted(name)} is a file, and this scenario has no folder to seek it in"
        raise TrainerError(what, "", "a scenario in a file of its own")
    if len(name) > LENGTH_MOST or _OWN.fullmatch(name) is None:
        what = f"the layout {quoted(name)} is no path inside the scenario's folder"
        raise TrainerError(what, "", HOW)
    path = folder / name
    try:
        home, real = folder.resolve(), path.resolve()
    except (OSError, RuntimeError):
        what = f"the layout {quoted(name)} is a link that ends nowhere"
        raise TrainerError(what, "", HOW) from None
    if not real.is_relative_to(home):
        what = f"the layout {quoted(name)} is a link out of the scenario's folder"
        raise TrainerError(what, "", "a copy of the file in that folder")
    if not real.is_file():
        raise NotFoundError(f"there is no layout file {quoted(name)} beside the scenario", "", HOW)
    return path


def layout_to_plain(layout: Layout) -> dict[str, Any]:
    """A layout as an attempt carries it, so that the file may move or change afterwards."""
    plain = layout.model_dump(mode="json", by_alias=True)
    for wire in plain["wires"]:
        wire["length"] = f"{wire['length']!r} m"
    return plain


def layout_from_plain(plain: Mapping[str, Any], digest: str) -> Layout:
    """Back again. Raises TrainerError when it is not the one of this digest any more."""
    try:
        layout = Layout.model_validate(plain)
    except ValidationError:
        layout = None
    if layout is None or layout.digest != digest:
        what = "the layout in this attempt is not the one it was begun with"
        raise TrainerError(what, "", "the attempt as it was handed in")
    return layout
