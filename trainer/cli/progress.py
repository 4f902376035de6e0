"""Tells what a person's own attempt files have shown and what is due.

An attempt carries no date: its day is that of the first line of ATTEMPT.wall, which the bench
writes, else the day its file was last changed. Knows files and the calendar; decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.base.errors import NotFoundError, TrainerError, UsageError, quoted
from trainer.cli.envelope import Outcome

if TYPE_CHECKING:
    from trainer.report.progress import Objective, Try

#: Files of a folder that lie beside attempts and are none.
BESIDE = (".wall", ".torn", ".html", ".txt", ".json", ".release", ".pdf", ".png")
#: Attempts read of one folder.
FILES_MOST = 2000


def command(
    places: Annotated[list[str], typer.Argument(help="Attempt files, or folders of them.")],
    today: Annotated[
        str, typer.Option(metavar="YYYY-MM-DD", help="The day that is asked about; else today.")
    ] = "",
    key: Annotated[
        str, typer.Option(metavar="FILE", help="The instructor's key of graded attempts.")
    ] = "",
) -> Outcome:
    """Tell which objectives attempts have shown, which are due again, and what comes next."""
    from trainer.report.assets import spacing
    from trainer.report.progress import next_of, objectives, open_levels
    from trainer.report.shelf import offers

    now = _day(today)
    tries, warnings = _tries(_files(places), Path(key) if key else None)
    if not tries:
        hint = warnings[0] if warnings else "name attempt files or a folder of them"
        raise TrainerError("there is no attempt that can be counted", ", ".join(places), hint)
    found = objectives(tries, offers(), spacing(), now)
    then = next_of(found)
    data = {
        "today": _written(now),
        "objectives": [_data(o) for o in found],
        "next": _data(then) if then else None,
        "test_out": {str(level): name for level, name in open_levels(found, spacing()).items()},
        "attempts": [{**vars(t), "day": _written(t.day)} for t in tries],
    }
    lines = [*_lines(found, then, now, tries), *_ways_out(open_levels(found, spacing()))]
    lines.append("Dates are those of ATTEMPT.wall, or of the file where there is none.")
    return Outcome(data, "\n".join(lines), warnings)


def _day(today: str) -> int:
    if not today:
        return datetime.now(UTC).date().toordinal()
    try:
        return date.fromisoformat(today).toordinal()
    except ValueError:
        raise UsageError(f"{quoted(today)} is no day", hint="write it as 2026-03-31") from None


def _written(day: int | None) -> str | None:
    return date.fromordinal(day).isoformat() if day else None


def _files(places: Iterable[str]) -> list[Path]:
    found: list[Path] = []
    for place in map(Path, places):
        if place.is_dir():
            inside = sorted(p for p in place.iterdir() if p.is_file() and p.suffix not in BESIDE)
            found += inside[:FILES_MOST]
        elif place.is_file():
            found.append(place)
        else:
            raise NotFoundError("there is no such attempt or folder", str(place))
    return found


def _tries(files: Sequence[Path], key: Path | None) -> tuple[list[Try], list[str]]:
    """What counts of every file; a file that is none, or is sealed, is told and left out."""
    from trainer.assess.marking import mark_file
    from trainer.report.assets import spacing
    from trainer.report.progress import try_of

    tries, warnings = [], []
    for path in files:
        try:
            marked = mark_file(path, None, key)
        except TrainerError as error:
            warnings.append(f"left out: {error}")
            continue
        asked = [e.data for e in marked.attempt.events if e.kind == "asked"]
        tier = max((int(a["tier"]) for a in asked if a.get("act") == "hint"), default=0)
        tries.append(try_of(marked.mark, day_of(path), tier, spacing(), path.name))
    return tries, warnings


def day_of(path: Path) -> int:
    """The day an attempt was begun, by its wall file; else the day its file was last changed."""
    wall = path.with_name(path.name + ".wall")
    try:
        words = wall.open(encoding="ascii").readline().split()
        return datetime.fromisoformat(words[1]).date().toordinal()
    except (OSError, ValueError, IndexError):
        return datetime.fromtimestamp(path.stat().st_mtime, UTC).date().toordinal()


def _data(o: Objective) -> dict[str, Any]:
    return {
        "scenario": o.offer.name, "title": o.offer.title, "level": o.offer.level,
        "status": o.status, "attempts": o.tries, "shown_on": _written(o.shown_on),
        "due": _written(o.due), "by": o.how,
    }  # fmt: skip


def _lines(
    found: Sequence[Objective], then: Objective | None, now: int, tries: Sequence[Try]
) -> list[str]:
    lines = [f"{len(tries)} attempt{'s' if len(tries) > 1 else ''}, as of {_written(now)}"]
    width = max(len(o.offer.name) for o in found)
    for o in found:
        when = f"shown {_written(o.shown_on)} ({o.how}), check due {_written(o.due)}"
        count = f"{o.tries} tried" if o.tries else ""
        row = f"  level {o.offer.level}  {o.offer.name:<{width}}  {o.status:<9}  {count:<9}"
        lines.append(f"{row}  {when if o.shown_on else ''}".rstrip())
    if then is not None:
        why = {
            "due": "it is due for a check", "begun": "it was begun and is not shown yet",
            "not begun": "it was not begun", "shown": "",
        }[then.status]  # fmt: skip
        lines.append(f"Next: {then.offer.title} ({then.offer.name}): {why}.")
    return lines


def _ways_out(levels: dict[int, str]) -> list[str]:
    told = ", ".join(f"{level} {name}" for level, name in levels.items())
    if not told:
        return []
    return [f"One clean graded attempt tests a level out: {told}."]
