"""Lays two attempts at one job side by side. Knows files; decides nothing."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from trainer.base.errors import UsageError
from trainer.cli.envelope import Outcome
from trainer.cli.exporting import Lang, known


def command(
    a: Annotated[str, typer.Argument(help="An attempt file.", metavar="A")],
    b: Annotated[str, typer.Argument(help="Another attempt at the same job.", metavar="B")],
    out: Annotated[str, typer.Option("-o", "--out", metavar="FILE", help="Write .html.")] = "",
    rubric: Annotated[
        str, typer.Option(metavar="FILE", help="Another rubric than the scenario's: file or name.")
    ] = "",
    key: Annotated[
        str, typer.Option(metavar="FILE", help="The instructor's key of graded attempts.")
    ] = "",
    lang: Lang = "en",
) -> Outcome:
    """Compare two attempts: verdicts, criticals, domains, findings, starts, readings, times."""
    from trainer.assess.marking import mark_file
    from trainer.base.tongue import speaking
    from trainer.report.comparing import as_data, compared, lines_of

    if out and Path(out).suffix.lower() != ".html":
        raise UsageError("a comparison is written as .html", hint="name a file that ends in .html")
    lang = known(lang)
    by, opened = Path(rubric) if rubric else None, Path(key) if key else None
    one, other = (mark_file(Path(path), by, opened) for path in (a, b))
    names = (Path(a).name, Path(b).name)
    given = (one.mark, one.attempt), (other.mark, other.attempt), names
    found = compared(*given)
    if not out:
        with speaking(lang):
            return Outcome(as_data(found), "\n".join(lines_of(compared(*given))))
    from trainer.cli.debrief import written
    from trainer.report.html import comparison

    with speaking(lang):
        written(out, comparison(compared(*given)))
    return Outcome({**as_data(found), "file": out}, f"Written to {out}")
