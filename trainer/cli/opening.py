"""Opens the window; without a display it says so, plays one scenario in text and writes what comes
of it to a folder.

Knows files and displays; decides nothing.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from trainer.base.errors import NotFoundError, TrainerError
from trainer.cli.envelope import Outcome

#: What is played where there is no display, and where its debrief and pictures go.
SHOWN = "make-it-dead"
FOLDER = "condenser-bench-first-look"
#: Of the pictures of every screen, those that a first look wants.
PICTURES = ("bench", "trace", "home", "debrief")


def open_here(data: str = "", file: str = "") -> Outcome:
    """The window, or a job in text where there is no display; ``file`` is as if dropped on it."""
    if file and not Path(file).is_file():
        raise NotFoundError("there is no such file", file)
    problem = no_display()
    if problem and file:
        raise TrainerError(problem, file, f"condenser-bench bench {file} works in text")
    if problem:
        return in_text(problem, Path(FOLDER))
    from trainer.view.app import DisplayError, run_window

    try:
        run_window(Path(data) if data else None, file)
    except DisplayError as error:
        return in_text(str(error), Path(FOLDER))
    return Outcome({"closed": True}, "")


def no_display() -> str:
    """Why no window can be opened, or "" when one may be tried."""
    if sys.platform.startswith(("win", "darwin")) or os.environ.get("SDL_VIDEODRIVER"):
        return ""
    if os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"):
        return ""
    return "There is no display here (neither DISPLAY nor WAYLAND_DISPLAY is set)."


def in_text(problem: str, folder: Path) -> Outcome:
    """One scenario by its own moves, its debrief and a few pictures, in a named folder."""
    from trainer.base.places import scenarios_dir
    from trainer.cli.debrief import written
    from trainer.cli.play import command as play
    from trainer.view.afterwards import html_of

    print(f"{problem} So this is a job in text; the window needs a display.\n")
    folder.mkdir(parents=True, exist_ok=True)
    attempt = fresh(folder / f"{SHOWN}.att")
    moves = scenarios_dir() / "moves" / f"{SHOWN}.yaml"
    played = play(SHOWN, str(moves), str(attempt))
    from trainer.session.log import read

    kept = read(attempt)
    page = attempt.with_suffix(".html")
    written(str(page), html_of(kept.header, kept.events))
    pictures = drawn(folder)
    lines: list[str] = [
        str(played.text),
        "",
        f"The attempt, its debrief and {len(pictures)} pictures of the window are in {folder}.",
    ]
    lines.append(f"condenser-bench bench {SHOWN} lets you do it yourself in text.")
    return Outcome(
        {
            "folder": str(folder),
            "attempt": str(attempt),
            "debrief": str(page),
            "pictures": pictures,
        },
        "\n".join(lines),
    )


def fresh(path: Path) -> Path:
    """The path, or with a number when something is there already."""
    found, n = path, 2
    while found.exists():
        found = path.with_name(f"{path.stem}-{n}{path.suffix}")
        n += 1
    return found


def drawn(folder: Path) -> list[str]:
    """A few pictures of the window, drawn without one."""
    from trainer.cli.shots import written

    return written(folder, only=PICTURES, whole=True)
