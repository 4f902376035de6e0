"""Repeats a start while a value varies: table, one JSON object, CSV, plot.

Knows files and layout; computes nothing.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.base.errors import UsageError
from trainer.cli.envelope import Outcome
from trainer.cli.files import writing

if TYPE_CHECKING:
    from trainer.starts.sweeping import Point
    from trainer.starts.varying import Range

#: Columns of the table: key, heading, how it is written.
COLUMNS = (
    ("outcome", "outcome", "{}"),
    ("time_to_90pct_s", "90 % s", "{:.3f}"),
    ("disengage_s", "out s", "{:.3f}"),
    ("disengage_speed_ratio", "at speed", "{:.2f}"),
    ("recloses", "recloses", "{}"),
    ("peak_line_a", "peak A", "{:.0f}"),
    ("standing_torque_nm", "torque N.m", "{:.2f}"),
    ("start_winding_peak_v", "S-C peak V", "{:.0f}"),
    ("run_line_rms_a", "run A", "{:.1f}"),
)
CAUTION = "Training aid only: the maker's start-parts table decides, not a sweep of this model."
MOST_RANGES = 2


def command(
    study: Annotated[
        str, typer.Argument(help="A study file, or the bare name of a shipped one.")
    ] = "",
    vary: Annotated[
        list[str] | None,
        typer.Option(metavar="NAME=LOW..HIGH", help="What varies; at most two. Also NAME=A,B,C."),
    ] = None,
    steps: Annotated[int, typer.Option(min=1, help="Values between LOW and HIGH.")] = 11,
    csv: Annotated[str, typer.Option(metavar="FILE", help="Write one row a start.")] = "",
    plot: Annotated[str, typer.Option(metavar="FILE.png", help="Draw how the start changes.")] = "",
    names: Annotated[bool, typer.Option("--names", help="List what can vary instead.")] = False,
) -> Outcome:
    """Repeat the start of a study while a value varies."""
    if names:
        return _listed()
    ranges = _ranges(study, vary or [], steps)
    from trainer.starts.sweeping import sweep
    from trainer.study.load import find_study, load_study

    found = list(sweep(load_study(study), ranges, find_study(study).parent))
    if csv:
        _write_csv(found, csv)
    if plot:
        _draw(study, ranges, found, plot)
    data = {"varied": [r.name for r in ranges], "points": [p.as_row() for p in found],
            "caution": CAUTION}  # fmt: skip
    return Outcome(data, _table(ranges, found))


def _ranges(study: str, vary: list[str], steps: int) -> list[Range]:
    from trainer.starts.varying import VARIES, parse_range

    if not study:
        raise UsageError("no study is given", hint="name a file or one of the shipped studies")
    if not 1 <= len(vary) <= MOST_RANGES:
        hint = f"give --vary once or twice, with one of {', '.join(VARIES)}"
        raise UsageError(f"{len(vary)} values are to vary", hint=hint)
    return [parse_range(text, steps) for text in vary]


def _listed() -> Outcome:
    from trainer.starts.varying import VARIES

    rows = [{"name": n, "unit": v.unit, "meaning": v.meaning} for n, v in VARIES.items()]
    lines = [f"{row['name']:<14}{row['unit']:<8}{row['meaning']}" for row in rows]
    return Outcome({"names": rows}, "\n".join(lines))


def _cell(value: Any, form: str) -> str:
    return "--" if value is None else form.format(value)


def _table(ranges: list[Range], found: list[Point]) -> str:
    """Aligned columns, what varied first."""
    heads = [r.name for r in ranges] + [head for _, head, _ in COLUMNS]
    rows = [
        [f"{p.settings[r.name]:g}" for r in ranges]
        + [_cell(p.figures[key], form) for key, _, form in COLUMNS]
        for p in found
    ]
    widths = [max(len(row[k]) for row in [heads, *rows]) for k in range(len(heads))]
    lines = [
        "  ".join(cell.rjust(width) for cell, width in zip(row, widths, strict=True))
        for row in [heads, *rows]
    ]
    return "\n".join([*lines, "", f"Caution: {CAUTION}"])


def _write_csv(found: list[Point], path: str) -> None:
    import csv

    rows = [p.as_row() for p in found]
    with writing(path) as target, target.open("w", newline="", encoding="utf-8") as out:
        writer = csv.DictWriter(out, fieldnames=list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def _draw(study: str, ranges: list[Range], found: list[Point], path: str) -> None:
    from trainer.cli.sweep_plot import draw

    with writing(path) as target:
        draw(study, ranges, found, Path(target))
