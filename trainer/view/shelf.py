"""What the home screen shows: exercises by level with what was shown, and attempts to go on with.

Everything is folded from the person's own attempt files. Knows files, marks and progress; must
know no shape.
"""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from trainer.base.errors import TrainerError

SUFFIX = ".att"
#: Most files of a folder that are looked at, the newest first.
FILES_MOST = 200


def home_of(folder: Path, today: int) -> dict[str, Any]:
    """``today`` is a day's number in the calendar (``date.toordinal``)."""
    from trainer.report.assets import spacing
    from trainer.report.progress import objectives
    from trainer.report.shelf import offers

    rows = [r for path in _files(folder) if (r := _row(path)) is not None]
    tries = [r.pop("try") for r in rows]
    found = objectives([t for t in tries if t is not None], offers(), spacing(), today)
    exercises = [
        {"name": o.offer.name, "title": o.offer.title, "level": o.offer.level,
         "status": o.status, "tries": o.tries}
        for o in found
    ]  # fmt: skip
    open_rows = [r for r in rows if r["open"]]
    return {
        "exercises": exercises, "resume": open_rows[:4], "attempts": rows[:40],
        "next": _next(exercises), "broken": [r["path"] for r in rows if r.get("broken")],
    }  # fmt: skip


def _next(exercises: list[dict[str, Any]]) -> str:
    """What is due, then what was begun, then the lowest level not begun yet."""
    for status in ("due", "begun", "not begun"):
        found = next((e for e in exercises if e["status"] == status), None)
        if found is not None:
            return str(found["name"])
    return str(exercises[0]["name"]) if exercises else ""


def _files(folder: Path) -> list[Path]:
    if not folder.is_dir():
        return []
    files = [p for p in folder.glob(f"*{SUFFIX}") if p.is_file()]
    return sorted(files, key=lambda p: p.stat().st_mtime, reverse=True)[:FILES_MOST]


def _row(path: Path) -> dict[str, Any] | None:
    """One attempt; its mark is kept beside it so that home opens fast."""
    from trainer.session.log import read

    stat = path.stat()
    when = datetime.fromtimestamp(stat.st_mtime, tz=UTC).astimezone()
    row: dict[str, Any] = {"path": str(path), "at": f"{when:%H:%M}", "date": f"{when:%Y-%m-%d}"}
    day = when.date().toordinal()
    try:
        attempt = read(path)
    except TrainerError as error:
        return {**row, "broken": str(error), "open": False, "try": None, "title": path.stem}
    header = attempt.header
    acts = sum(e.kind == "asked" for e in attempt.events)
    over = any(e.kind == "over" for e in attempt.events)
    row |= {
        "scenario": str(header.get("scenario", "")), "mode": str(header.get("mode", "")),
        "acts": acts, "open": not over and acts > 0, "title": _title(header),
    }  # fmt: skip
    return {**row, "try": _try(path, attempt, day, over)}


def _title(header: Any) -> str:
    from trainer.report.shelf import offers

    name = str(header.get("scenario", ""))
    return next((o.title for o in offers() if o.name == name), name)


def _try(path: Path, attempt: Any, day: int, over: bool) -> Any:
    """What counts of a finished attempt; marked once and kept in a file beside it."""
    from trainer.report.progress import Try

    if not over or attempt.header.get("mode") == "guided":
        return None
    beside = path.with_suffix(".mark")
    try:
        kept = json.loads(beside.read_text(encoding="utf-8"))
        if kept.get("events") == len(attempt.events):
            return Try(**kept["try"])
    except (OSError, ValueError, TypeError, KeyError):
        pass
    found = _marked(path, attempt, day)
    if found is not None:
        try:
            text = json.dumps({"events": len(attempt.events), "try": vars(found)})
            beside.write_text(text, encoding="utf-8")
        except OSError:
            pass
    return found


def _marked(path: Path, attempt: Any, day: int) -> Any:
    from trainer.assess.finding_rubric import rubric_for
    from trainer.assess.loading import job_for
    from trainer.assess.marking import mark_attempt
    from trainer.report.assets import spacing
    from trainer.report.progress import try_of

    if attempt.header.get("lock"):
        return None
    name = str(attempt.header.get("scenario", ""))
    try:
        job = job_for(name, int(attempt.header["seed"]))
        mark = mark_attempt(attempt, job, rubric_for(job.scenario, name)).mark
    except (TrainerError, KeyError):
        return None
    tier = max((int(e.data["tier"]) for e in attempt.events if e.kind == "hint"), default=0)
    return try_of(mark, day, tier, spacing(), path.name)
