"""Finds a study by name or path and reads it.

A bare name is a study that ships in scenarios/studies. Knows files; must know no circuit.
"""

from __future__ import annotations

import re
from difflib import get_close_matches
from pathlib import Path

from trainer.base.errors import Faults, NotFoundError, quoted
from trainer.base.places import scenarios_dir
from trainer.base.yamlfile import load_with_document
from trainer.study.model import Study

_BARE = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,60}")
#: Files beside the studies that are none.
_NOT_STUDIES = frozenset({"expected"})


def studies_dir() -> Path:
    return scenarios_dir() / "studies"


def study_names() -> list[str]:
    """Bare names of the studies that ship, sorted."""
    files = studies_dir().glob("*.yaml")
    return sorted(file.stem for file in files if file.stem not in _NOT_STUDIES)


def find_study(path_or_name: str | Path, beside: Path | None = None) -> Path:
    """The file of a study: a path (relative to ``beside`` when given), or a bare name.

    Raises NotFoundError with the nearest names.
    """
    text = str(path_or_name)
    if not _BARE.fullmatch(text):
        return Path(text) if beside is None else beside / text
    path = studies_dir() / f"{text}.yaml"
    if path.is_file():
        return path
    near = get_close_matches(text, study_names()) or study_names()
    raise NotFoundError(
        f"there is no study called {quoted(text)}", hint=f"name one of {', '.join(near)}, or a file"
    )


def load_study(path_or_name: str | Path) -> Study:
    """The study, checked. Raises Faults with everything wrong in it, or NotFoundError."""
    path = find_study(path_or_name)
    study, document = load_with_document(path, Study)
    if study.reference is not None and not _exists(study.reference, path.parent):
        what = f"there is no study {quoted(study.reference)}"
        near = get_close_matches(study.reference, study_names()) or study_names()
        raise Faults([document.fault(("reference",), what, " or ".join(near))])
    return study


def _exists(path_or_name: str, beside: Path) -> bool:
    try:
        return find_study(path_or_name, beside).is_file()
    except NotFoundError:
        return False
