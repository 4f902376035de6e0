"""Cut scores and item statistics from an instructor's CSV. Knows files and dates; no formula."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.base.errors import TrainerError, UsageError, quoted
from trainer.cli.envelope import Outcome

if TYPE_CHECKING:
    from trainer.standards.cut import CutRecord

HOW = "angoff FILE.csv; borderline FILE.csv; items FILE.csv"
#: A panel below this is small; ten to fifteen raters are usual for licensing tests
#: (Educ Psychol Meas 1999;59:885-897, abstract).
PANEL = 10
#: Below this many learners figures change much from class to class (common practice, no source).
CLASS = 30


@dataclass(frozen=True)
class Asked:
    """What the line says beside the action."""

    file: str
    out: str
    date: str
    cut: Fraction | None
    length: int | None


def command(
    action: Annotated[str, typer.Argument(help=HOW)],
    file: Annotated[str, typer.Argument(help="A CSV file with a header line.")],
    out: Annotated[
        str, typer.Option("-o", "--out", metavar="FILE", help="Write the cut with its story here.")
    ] = "",
    date: Annotated[
        str, typer.Option(metavar="YYYY-MM-DD", help="The day the cut was set; today if unsaid.")
    ] = "",
    cut: Annotated[
        str, typer.Option(metavar="POINTS", help="With items: the cut, in points of the total.")
    ] = "",
    length: Annotated[
        int | None, typer.Option(min=1, max=1000, help="With items: as if there were this many.")
    ] = None,
) -> Outcome:
    """Set a cut from judges (angoff) or ratings (borderline); look at items and reliability."""
    if action not in ACTIONS:
        raise UsageError(f"{quoted(action)} is nothing to do with standards", hint=HOW)
    if action == "items" and (out or date):
        raise UsageError(
            "items sets no cut, so there is nothing to record", hint="no --out, --date"
        )
    if action != "items" and (cut or length):
        raise UsageError(f"{action} has no use for --cut and --length", hint="items has")
    asked = Asked(file, out, date or _today(), _points(cut), length)
    return ACTIONS[action](asked)


def _today() -> str:
    return datetime.now(UTC).astimezone().date().isoformat()


def _points(text: str) -> Fraction | None:
    import re

    if not text:
        return None
    if not re.fullmatch(r"[0-9]{1,9}(\.[0-9]{1,9})?", text):
        raise UsageError(f"{quoted(text)} is no number of points", hint="--cut 3 or --cut 2.5")
    return Fraction(text)


def _angoff(asked: Asked) -> Outcome:
    from trainer.cli.standard_text import angoff_data, angoff_lines
    from trainer.standards.angoff import METHOD, modified_angoff
    from trainer.standards.tables import angoff_table

    table = angoff_table(asked.file)
    found = modified_angoff(table.estimates)
    warnings = []
    if found.judges < PANEL:
        warnings.append(
            f"a small panel: {found.judges} judges, where ten or more are usual; "
            "look at the standard error before you use the cut"
        )
    record = _record(asked, found.cut_percent, METHOD, found.judges, found.n, found.se_percent)
    data = angoff_data(table, found)
    return _with_record(asked, record, data, angoff_lines(table, found), warnings)


def _borderline(asked: Asked) -> Outcome:
    from trainer.cli.standard_text import borderline_data, borderline_lines
    from trainer.standards.borderline import METHOD, borderline_regression
    from trainer.standards.tables import borderline_table

    table = borderline_table(asked.file)
    found = borderline_regression(table.ratings, table.scores)
    warnings = _small_class(found.n)
    if found.beyond:
        warnings.append("nobody was rated 2 or 1: the cut is read beyond the ratings given")
    if found.slope <= 0:
        warnings.append("scores do not rise with ratings: check both before you use the cut")
    record = None
    if 0 <= found.cut <= 100 and found.se_cut <= 100:
        record = _record(asked, found.cut, METHOD, table.raters, found.n, found.se_cut)
    else:
        warnings.append("the cut lies outside 0 to 100 or is quite unsure: there is none to record")
    return _with_record(asked, record, borderline_data(found), borderline_lines(found), warnings)


def _items(asked: Asked) -> Outcome:
    from trainer.cli.standard_items import items_outcome
    from trainer.standards.tables import items_table

    table = items_table(asked.file)
    told = items_outcome(table, asked.cut, asked.length)
    return Outcome(told.data, told.text, _small_class(len(table.learners)))


def _small_class(n: int) -> list[str]:
    if n >= CLASS:
        return []
    return [f"a small class: {n} learners; these figures may be quite others with the next {n}"]


def _record(
    asked: Asked, cut: Fraction, method: str, judges: int | None, n: int, se: float
) -> CutRecord:
    from pydantic import ValidationError

    from trainer.standards.cut import CutRecord

    try:
        return CutRecord(cut=cut, method=method, date=asked.date, judges=judges, n=n, se=se)
    except ValidationError as error:
        if any(detail["loc"] != ("date",) for detail in error.errors()):
            raise
        hint = "--date YYYY-MM-DD, a day of the calendar"
        raise UsageError(f"{quoted(asked.date)} is no date", hint=hint) from None


def _with_record(
    asked: Asked,
    record: CutRecord | None,
    data: dict[str, Any],
    lines: list[str],
    warnings: list[str],
) -> Outcome:
    """The outcome with the record in it, written to a file where one was asked for."""
    from trainer.cli.standard_text import rubric_lines

    shown = record and {"cut": float(record.cut), "cut_exact": str(record.cut), **record.cut_set}
    data = {**data, "record": shown, "file": asked.out or None}
    if asked.out:
        _write(asked.out, record)
        lines = [*lines, f"Wrote {asked.out}."]
    elif record:
        lines = [*lines, *rubric_lines(record)]
    return Outcome(data, "\n".join(lines), warnings)


def _write(path: str, record: CutRecord | None) -> None:
    """A record never overwrites a file."""
    from trainer.cli.files import writing
    from trainer.standards.cut import record_text

    if record is None:
        raise TrainerError("there is no cut to record", path, "run without --out to see why")
    if Path(path).exists():
        raise TrainerError("there is a file of that name already", path, "another name with --out")
    with writing(path) as target:
        target.write_text(record_text(record), encoding="utf-8")


ACTIONS: dict[str, Callable[[Asked], Outcome]] = {
    "angoff": _angoff, "borderline": _borderline, "items": _items,
}  # fmt: skip
