"""How marks and moves are told at the instructor's desk. Knows figures and words; computes none."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from trainer.classroom.regrading import Difference, Move
    from trainer.classroom.releasing import Released
    from trainer.classroom.standing import Effective

Store = Annotated[str, typer.Option(metavar="URL|FILE", help="The class's database.")]
DryRun = Annotated[bool, typer.Option("--dry-run", help="Tell what would be done, write nothing.")]
#: Findings told before the rest is only counted.
TOLD = 5
#: What of a mark leads back to one file or one variant.
NAMING = ("attempt_digest", "seed")


def mark_data(mark: Effective, blind: bool = True) -> dict[str, Any]:
    """What counts, beside what the scorer said; ``mark`` is the body as it is kept.

    Blind, what would find the learner's file or variant again is left out.
    """
    body = {k: v for k, v in mark.body.items() if not blind or k not in NAMING}
    return {
        "grade_id": "" if blind else mark.grade_id, "revision": mark.revision,
        "scorer": mark.scorer,
        "rubric_digest": mark.rubric_digest, "total": mark.shown, "total_exact": str(mark.total),
        "cut_exact": str(mark.cut), "verdict": mark.verdict, "critical": list(mark.critical),
        "computed": {
            "total_exact": str(mark.computed_total), "verdict": mark.computed_verdict,
            "critical": list(mark.computed_critical),
        },
        "overrides": [
            {k: v for k, v in vars(o).items() if k not in ("id", "based_on")}
            for o in mark.overrides
        ],
        "notes": list(mark.notes), "mark": body,
    }  # fmt: skip


def mark_lines(mark: Effective, every: bool) -> list[str]:
    from trainer.assess.showing import floored

    cut = floored(mark.cut, mark.cut)
    critical = f"  critical: {', '.join(mark.critical)}" if mark.critical else ""
    lines = [f"{mark.verdict.upper()}  total {mark.shown} of 100 (cut {cut}){critical}"]
    lines.append(f"  revision {mark.revision}, rubric {mark.body['rubric']}")
    for o in mark.overrides:
        lines.append(
            f"  {o.field} by hand: {told(o.field, o.old)} -> {told(o.field, o.new)}, by {o.made_by}"
            f" ({o.reason_code}: {o.reason})"
        )
    lines += [f"  {note}" for note in mark.notes]
    for d in mark.body["domains"]:
        lines.append(f"  {d['title']:<24} {d['shown']:>6} %  weight {d['weight']:.1f}")
    for c in mark.body["critical"]:
        counts = "" if c["code"] in mark.critical else "  (does not count, by hand)"
        lines.append(f"  {c['code']} {c['title']}: {c['sentence']}{_where(c['events'])}{counts}")
    found = mark.body["findings"]
    items = [i for d in mark.body["domains"] for i in d["items"]] if every else found[:TOLD]
    for f in items:
        lines.append(f"  {f['outcome']}: {f['sentence']} [{f['rule']}]{_where(f['events'])}")
    if not every and len(found) > TOLD:
        lines.append(f"  {len(found) - TOLD} more with --all")
    return lines


def _where(events: list[int]) -> str:
    if not events:
        return ""
    shown = ", ".join(map(str, events[:5])) + (", ..." if len(events) > 5 else "")
    return f" (event{'s' if len(events) > 1 else ''} {shown})"


def told(field: str, value: str) -> str:
    """An override's value in words."""
    return f"{float(Fraction(value)):g}" if field == "total" else value or "none"


def move_data(move: Move, name: str) -> dict[str, Any]:
    return {
        "attempt": name, "no": move.no, "way": move.way, "crosses": move.crosses,
        "old_exact": _text(move.old), "new_exact": _text(move.new),
        "verdict_before": move.verdict_before, "verdict_after": move.verdict_after,
        "overrides_kept": list(move.kept), "hindered": move.hindered,
    }  # fmt: skip


def _text(value: Fraction | None) -> str | None:
    return None if value is None else str(value)


def difference_lines(found: Difference, names: dict[str, str]) -> list[str]:
    """Counts first, then everybody who moves, crosses or is hindered."""
    ways = ("unchanged", "up", "down", "new", "hindered")
    counts = [f"{len(found.of(way))} {way}" for way in ways if found.of(way) or way == "unchanged"]
    crossing = [m for m in found.moves if m.crosses]
    kept = sum(bool(m.kept) for m in found.moves)
    lines = [f"{found.rubric}: {', '.join(counts)}; {len(crossing)} cross the cut; "
             f"{kept} with overrides that are kept"]  # fmt: skip
    for m in found.moves:
        if m.way == "unchanged" and not m.crosses and not m.kept:
            continue
        change = f"{_points(m.old)} -> {_points(m.new)}"
        crosses = f"  CROSSES: {m.verdict_before} -> {m.verdict_after}" if m.crosses else ""
        by_hand = f"  override kept: {', '.join(m.kept)}" if m.kept else ""
        hindered = f"  {m.hindered}" if m.hindered else ""
        lines.append(f"  {names[m.attempt_id]:<22} {m.way:<9} {change}{crosses}{by_hand}{hindered}")
    return lines


def _points(value: Fraction | None) -> str:
    from trainer.assess.showing import floored

    return "-" if value is None else floored(value, Fraction(101))


def released_lines(rows: tuple[Released, ...]) -> list[str]:
    lines = []
    for row in rows:
        level = f" at level {row.shown.level}" if row.status == "released" else ""
        lines.append(f"{row.learner_id:<12} attempt {row.no}  {row.status}{level}")
    return lines
