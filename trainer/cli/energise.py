"""Energises a study and tells how the start went: text, one JSON object, CSV, plot.

Knows files and layout; computes nothing.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trainer.cli.envelope import Outcome
from trainer.cli.files import writing

if TYPE_CHECKING:
    from trainer.starts.report import StartReport

#: Significant figures in a CSV.
FIGURES = 7


def command(
    study: Annotated[
        str, typer.Argument(help="A study file, or the bare name of a shipped one.")
    ] = "",
    csv: Annotated[
        str, typer.Option(metavar="FILE", help="Write every recorded line, one row a sample.")
    ] = "",
    plot: Annotated[
        str, typer.Option(metavar="FILE.png", help="Draw the start on one time axis.")
    ] = "",
    until: Annotated[
        float | None, typer.Option(metavar="SECONDS", help="End of the record, study time.")
    ] = None,
    starts_per_hour: Annotated[
        float | None, typer.Option(help="For flicker and the start capacitor's duty.")
    ] = None,
    fields: Annotated[
        bool, typer.Option("--fields", help="Explain every key of the JSON report instead.")
    ] = False,
) -> Outcome:
    """Energise a study and report its start."""
    if fields:
        return _explained()
    _check(study, until, starts_per_hour)
    from trainer.starts.notes import notes
    from trainer.starts.run import run_file
    from trainer.starts.summary import summary

    report = run_file(study, until_s=until, starts_per_hour=starts_per_hour)
    if csv:
        write_csv(report, csv)
    if plot:
        _draw(report, plot)
    return Outcome(report.as_data(), summary(report), notes(report))


def _check(study: str, until: float | None, starts_per_hour: float | None) -> None:
    from trainer.base.errors import UsageError

    if not study:
        raise UsageError("no study is given", hint="name a file or one of the shipped studies")
    for name, value in (("--until", until), ("--starts-per-hour", starts_per_hour)):
        if value is not None and not 0.0 < value < 1e5:
            raise UsageError(f"{name} {value:g} is not possible", hint="give a number above zero")


def _explained() -> Outcome:
    from trainer.starts.fields import FIELDS

    rows = [f"{f.name:<28}{f.unit:<8}{f.meaning}" for f in FIELDS]
    return Outcome([f._asdict() for f in FIELDS], "\n".join(rows))


def write_csv(report: StartReport, path: str) -> None:
    """Time and every recorded line, SI, one row a sample."""
    import numpy as np

    record = report.record
    names = list(record.trace.values)
    table = np.column_stack([record.t_s, *(record[name] for name in names)])
    with writing(path) as target:
        header = ",".join(["t_s", *names])
        np.savetxt(target, table, fmt=f"%.{FIGURES}g", delimiter=",", header=header, comments="")


def _draw(report: StartReport, path: str) -> None:
    from trainer.cli.start_plot import draw

    with writing(path) as target:
        draw(report, Path(target))
