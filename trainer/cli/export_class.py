"""Writes the report of a class on one assignment. Knows files and sentences; decides nothing."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.base.errors import UsageError
from trainer.cli.envelope import Outcome
from trainer.cli.exporting import Blind, Lang, Out, Replace, Store, kept, known

if TYPE_CHECKING:
    from trainer.report.class_report import Report


def command(
    assignment: Annotated[str, typer.Argument(metavar="ASSIGNMENT", help="Its name.")],
    out: Out = "",
    csv: Annotated[
        str, typer.Option("--csv", metavar="FILE", help="Also the items and figures, as CSV.")
    ] = "",
    no_bom: Annotated[
        bool, typer.Option("--no-bom", help="CSV without a byte order mark, for programs.")
    ] = False,
    blind: Blind = False,
    lang: Lang = "en",
    replace: Replace = False,
    store: Store = "",
) -> Outcome:
    """Report on a class: who is ready, who is not safe yet, what the group misunderstands.

    One attempt of each learner, the one that counts. Marks stand in it whether they are released or
    not: it is the instructor's own. With --blind nobody is named.

    Example: condenser-bench export class week-3 -o week-3.html --csv items.csv
    """
    from trainer.base.tongue import speaking
    from trainer.classroom.assigning import assignment_of
    from trainer.classroom.figures import figures
    from trainer.cli.desk import desk_at
    from trainer.report.class_html import class_page
    from trainer.report.class_report import as_data, by_code, report

    if out and Path(out).suffix.lower() != ".html":
        raise UsageError("a class report is a page", hint="name a file that ends in .html")
    lang, desk = known(lang), desk_at(store)
    with desk.store.reading() as c:
        row = assignment_of(c, assignment)
        found = figures(c, row, desk.now_ms)
    names = by_code(row.secret) if blind else None
    page = report(found, desk.now_ms, names)
    data: dict[str, Any] = as_data(page)
    if out:
        with speaking(lang):
            told = class_page(report(found, desk.now_ms, names))
        kept(out, told, replace)
        data["file"] = out
    if csv:
        kept(csv, _items(page, not no_bom), replace)
        data["csv_file"] = csv
    return Outcome(data, "\n".join(_lines(page, out, csv)))


HEADER = (
    "item", "code", "domain", "judged", "not_met", "not_shown", "difficulty", "discrimination",
    "check",
)  # fmt: skip


def _items(page: Report, bom: bool) -> str:
    from trainer.classroom.csvout import text_of

    rows = [
        [i.title, i.code, i.domain, i.judged, i.wrong, i.not_shown, _number(i.difficulty),
         _number(i.rest), "; ".join(i.checks)]
        for i in page.items
    ]  # fmt: skip
    return text_of(HEADER, rows, bom)


def _number(text: str) -> Any:
    """A figure as a number; what is undefined stays blank in a table."""
    from decimal import Decimal, InvalidOperation

    try:
        return Decimal(text)
    except InvalidOperation:
        return None


def _lines(page: Report, out: str, csv: str) -> list[str]:
    counts = ", ".join(f"{n} {words}" for words, n, _ in page.counts)
    lines = [f"{page.title}: {counts}."]
    lines += [f"  {e.code} {e.title}: {e.n}" for e in page.errors]
    if page.missed:
        lines.append("Most missed:")
        lines += [
            f"  {m.title}: {m.wrong + m.not_shown} of {m.judged}, {m.not_shown} of them not shown"
            for m in page.missed
        ]
    lines += [f"{name}: {value}" for name, value in page.carry]
    return lines + [f"Written to {path}." for path in (out, csv) if path]
