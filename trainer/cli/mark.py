"""Marks an attempt: domain scores, critical errors and a verdict, each with its evidence.

Knows files and sentences; decides nothing.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trainer.cli.envelope import Outcome

if TYPE_CHECKING:
    from trainer.assess.marks import Finding, Mark

#: Findings told before the rest is only counted.
TOLD = 3


def command(
    attempt: Annotated[str, typer.Argument(help="An attempt file.")],
    rubric: Annotated[
        str, typer.Option(metavar="FILE", help="Another rubric than the scenario's: file or name.")
    ] = "",
    every: Annotated[bool, typer.Option("--all", help="Tell every item, not the worst.")] = False,
    key: Annotated[
        str, typer.Option(metavar="FILE", help="The instructor's key of a graded attempt.")
    ] = "",
) -> Outcome:
    """Mark an attempt by its scenario's rubric, with the evidence for every mark."""
    from trainer.assess.marking import mark_file

    marked = mark_file(Path(attempt), Path(rubric) if rubric else None, Path(key) if key else None)
    return Outcome(marked.mark.as_data(), "\n".join(lines_of(marked.mark, every)))


def lines_of(mark: Mark, every: bool) -> list[str]:
    from trainer.assess.marks import DOMAINS
    from trainer.assess.showing import floored

    subject = mark.subject
    lines = [f"{subject.title}  ({subject.scenario}, seed {subject.seed}, rubric {subject.rubric})"]
    safe = "" if mark.safe else "  NOT SAFE YET"
    cut = floored(mark.cut, mark.cut)
    provisional = ", provisional" if subject.provisional else ""
    total = floored(mark.total, mark.cut)
    lines.append(f"{mark.verdict.upper()}{safe}  total {total} of 100 (cut {cut}{provisional})")
    lines += [f"  because {reason}" for reason in mark.reasons]
    for c in mark.critical:
        lines += [f"{c.code} {c.title}: {c.sentence}", f"   {c.consequence}"]
        lines.append(f"   {c.practice} ({c.source}) {_where(c.evidence.events)}")
    for d in mark.domains:
        shown = floored(d.percent, d.floor)
        below = "" if d.above_floor else f"  under its floor of {float(d.floor):g}"
        lines.append(f"{DOMAINS[d.name]:<24} {shown:>6} %  weight {float(d.weight):.1f}{below}")
    rows = [f for d in mark.domains for f in d.findings] if every else mark.findings[:TOLD]
    lines += [line for f in rows for line in _finding(f)]
    left = 0 if every else len(mark.findings) - len(rows)
    if left > 0:
        lines.append(f"{left} more with --all")
    return lines + [f"{note.kind}: {note.sentence}" for note in mark.notes]


def _finding(f: Finding) -> list[str]:
    lost = f", {float(f.lost):.2f} points" if f.lost else ""
    told = [f"{f.outcome}: {f.sentence} [{f.rule}{lost}] {_where(f.evidence.events)}".rstrip()]
    if f.outcome != "met":
        told += [f"   {f.consequence}"] if f.consequence else []
        told.append(f"   {f.practice} ({f.source})")
    return told


def _where(events: tuple[int, ...]) -> str:
    if not events:
        return ""
    shown = ", ".join(map(str, events[:5])) + (", ..." if len(events) > 5 else "")
    return f"(event{'s' if len(events) > 1 else ''} {shown})"
