"""Which files a person means, what kind each is, and what is wrong with it.

Folders are walked without following links, so far and no farther. Knows the loaders of every
kind of file; must print nothing.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

from trainer.base.errors import Fault, Faults, NotFoundError, TrainerError, quoted
from trainer.base.places import scenarios_dir
from trainer.base.yamlfile import read_all
from trainer.scenario.checking import Checked, check_scenario
from trainer.session.sealing import SealedError

#: Files and folders looked at in one go; more is somebody's whole disk.
FILES_MOST, FOLDERS_MOST = 500, 200
#: What the studies ought to give: read by its own tests, no file of a kind.
LEFT_OUT = ("expected.yaml",)
#: What an attempt file begins with.
ATTEMPT = b'{"attempt": '
FOLDERS = ("jobs", "layouts", "studies", "moves", "nameplates", "rubrics")


def files_of(paths: Sequence[str]) -> list[Path]:
    """The files meant: a file, every YAML file of a folder, or a bare name of one that ships."""
    found: dict[Path, None] = {}
    for text in paths:
        for path in _meant(text):
            found[path] = None
            if len(found) > FILES_MOST:
                what = f"there are more than {FILES_MOST} files"
                raise TrainerError(what, quoted(text)[1:-1], "name a smaller folder")
    return list(found)


def _meant(text: str) -> Iterator[Path]:
    path = Path(text)
    if path.is_dir():
        files = list(_walk(path))
        if not files:
            raise NotFoundError("there is no YAML file in this folder", text, "name another")
        yield from files
    elif path.suffix or len(path.parts) != 1:
        yield path
    else:
        yield _shipped(text)


def _walk(folder: Path) -> Iterator[Path]:
    """Every .yaml and .yml file below, by name; links to folders are not followed."""
    for count, (here, below, files) in enumerate(os.walk(folder, followlinks=False)):
        if count >= FOLDERS_MOST:
            raise TrainerError("there are too many folders", str(folder), "name a smaller folder")
        below.sort()
        names = [n for n in sorted(files) if n.endswith((".yaml", ".yml")) and n not in LEFT_OUT]
        yield from (Path(here) / n for n in names)


def _shipped(name: str) -> Path:
    for folder in FOLDERS:
        path = scenarios_dir() / folder / f"{name}.yaml"
        if path.is_file():
            return path
    hint = "name a file, a folder, or a scenario, layout or study that ships"
    raise NotFoundError(f"there is no file and nothing that ships called {quoted(name)}", "", hint)


def check_file(path: Path, simulate: bool, seeds: Sequence[int]) -> Checked:
    """Everything wrong with one file. Never raises for what is in it, except SealedError."""
    try:
        if _is_attempt(path):
            return _attempt(path)
        kind = _kind(path)
        if kind == "scenario":
            from trainer.cli.model_acts import with_model_acts

            return with_model_acts(check_scenario(path, simulate, seeds), path, simulate, seeds)
        if kind == "rubric":
            return _rubric(path)
        LOADERS[kind](path)
    except SealedError:
        raise
    except Faults as error:
        return Checked(str(path), "", faults=error.faults)
    except TrainerError as error:
        where = error.where or str(path)
        return Checked(str(path), "", faults=[Fault(where, error.what, error.hint)])
    return Checked(str(path), kind)


def _kind(path: Path) -> str:
    """What a file is, by the key that every kind has. Raises Faults when none is there."""
    data: Any = read_all(path).data
    for kind in KINDS:
        if kind in data:
            return kind
    write = " or ".join(f"{kind}: 1" for kind in KINDS) + " as its first key"
    raise Faults([Fault(str(path), "this file does not say what it is", write)])


def _is_attempt(path: Path) -> bool:
    """Whether a file begins as an attempt does; a pipe or a device is not opened."""
    if not path.is_file():
        return False
    try:
        with open(path, "rb") as file:
            return file.read(len(ATTEMPT)) == ATTEMPT
    except OSError:
        return False


def _attempt(path: Path) -> Checked:
    """Whether an attempt is whole and of its scenario; its content is nobody's business here."""
    from trainer.assess.vouching import vouched

    attempt, _ = vouched(path)
    return Checked(
        str(path), "attempt", notes=[f"{len(attempt.events)} events, as they were written"]
    )


def _rubric(path: Path) -> Checked:
    """A rubric with what its author should know of it."""
    from trainer.assess.finding_rubric import load_rubric
    from trainer.assess.lint import remarks

    return Checked(str(path), "rubric", notes=remarks(load_rubric(path)))


def _layout(path: Path) -> Any:
    from trainer.unit.layout import load_layout

    return load_layout(path)


def _study(path: Path) -> Any:
    from trainer.study.load import load_study

    return load_study(path)


def _moves(path: Path) -> Any:
    from trainer.session.acts import load_moves

    return load_moves(path)


def _nameplate(path: Path) -> Any:
    from trainer.sizing.nameplate_file import read

    return read(path)


LOADERS: dict[str, Callable[[Path], Any]] = {
    "moves": _moves, "layout": _layout, "study": _study, "nameplate": _nameplate,
}  # fmt: skip
#: In this order: a file of moves names a scenario, and a scenario names a layout.
KINDS = ("moves", "scenario", "layout", "study", "nameplate", "rubric")
