"""Words and data of item statistics and reliability. Knows how figures are told, no formula."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from trainer.cli.envelope import Outcome
from trainer.standards import flags, items, reliability
from trainer.standards.exact import Number, as_float, mean, shown, total
from trainer.standards.generalizability import Generalizability, generalizability
from trainer.standards.tables import ItemTable

#: Reliability asked of a test, for the length it would need (common practice, no source).
TARGET = Fraction(4, 5)


@dataclass(frozen=True)
class _Whole:
    """Figures of all items together; None where undefined or not asked for."""

    mean: Fraction
    kr20: Fraction | None
    alpha: Fraction | None
    interval: tuple[float, float] | None
    sem: float | None
    length_factor: Fraction | None
    at_length: Fraction | None
    livingston: Fraction | None
    study: Generalizability | None


def items_outcome(table: ItemTable, cut: Fraction | None, length: int | None) -> Outcome:
    """Everything told of a table of items."""
    each = items.item_figures(table.points, table.out_of)
    whole = _whole(table, cut, length)
    found = flags.item_flags(table.items, each) + flags.item_flags(
        table.never, [None] * len(table.never)
    )
    found += flags.variant_flags(_by_variant(table))
    data: dict[str, Any] = {
        "n": len(table.learners), "k": len(table.items),
        "items": [_item_data(name, figures)
                  for name, figures in zip(table.items, each, strict=True)],
        "never_triggered": list(table.never), **_whole_data(whole, cut, length),
        "flags": [{"subject": f.subject, "sentence": f.sentence} for f in found],
    }  # fmt: skip
    lines = _item_lines(table, each) + _whole_lines(table, whole, cut, length)
    lines += [f"{f.subject}: {f.sentence}" for f in found] or ["No item stands out."]
    return Outcome(data, "\n".join(lines))


def _whole(table: ItemTable, cut: Fraction | None, length: int | None) -> _Whole:
    points = table.points
    alpha = reliability.alpha(points)
    longer = None
    if alpha is not None and length is not None:
        longer = reliability.spearman_brown(alpha, Fraction(length, len(table.items)))
    return _Whole(
        mean=mean([total(row) for row in points]),
        kr20=reliability.kr20(points),
        alpha=alpha,
        interval=reliability.alpha_interval(points),
        sem=reliability.standard_error_of_measurement(points),
        length_factor=None if alpha is None else reliability.length_factor(alpha, TARGET),
        at_length=longer,
        livingston=None if cut is None else reliability.livingston(points, cut),
        study=generalizability(points),
    )


def _by_variant(table: ItemTable) -> dict[str, list[Number]]:
    """Scores of 0 to 100 of the learners who had each variant."""
    most = Fraction(sum(table.out_of))
    scores: dict[str, list[Number]] = {}
    for variant, row in zip(table.variants, table.points, strict=False):
        scores.setdefault(variant, []).append(100 * total(row) / most)
    return scores


def _item_data(name: str, figures: items.ItemFigures) -> dict[str, Any]:
    return {
        "name": name, "difficulty": float(figures.difficulty), "rest": figures.rest,
        "total": figures.total, "upper_lower": as_float(figures.upper_lower),
    }  # fmt: skip


def _whole_data(whole: _Whole, cut: Fraction | None, length: int | None) -> dict[str, Any]:
    study = whole.study
    return {
        "mean": float(whole.mean), "kr20": as_float(whole.kr20), "alpha": as_float(whole.alpha),
        "alpha_95": list(whole.interval) if whole.interval else None, "sem": whole.sem,
        "length_factor_80": as_float(whole.length_factor), "length": length,
        "alpha_at_length": as_float(whole.at_length),
        "cut": as_float(cut), "livingston": as_float(whole.livingston),
        "generalizability": study and {
            "var_learners": float(study.var_persons), "var_items": float(study.var_scenarios),
            "var_rest": float(study.var_rest), "set_to_zero": _zeroed(study),
            "relative": as_float(study.relative()), "absolute": as_float(study.absolute()),
            "absolute_at_length": as_float(study.absolute(length)) if length else None,
        },
    }  # fmt: skip


def _zeroed(study: Generalizability) -> list[str]:
    names = {"persons": "learners", "scenarios": "items"}
    return [names[name] for name in study.set_to_zero]


def _item_lines(table: ItemTable, each: list[items.ItemFigures]) -> list[str]:
    rows = [
        (shown(f.difficulty, 3), shown(f.rest, 3), shown(f.total, 3), shown(f.upper_lower, 3), name)
        for f, name in zip(each, table.items, strict=True)
    ]
    head = ("share", "with rest", "with total", "D of halves", "item")
    return [
        f"{len(table.learners)} learners, {len(table.items)} items",
        *(f"{a:>6}  {b:>9}  {c:>10}  {d:>11}  {name}" for a, b, c, d, name in [head, *rows]),
    ]


def _whole_lines(
    table: ItemTable, whole: _Whole, cut: Fraction | None, length: int | None
) -> list[str]:
    low, high = whole.interval or (None, None)
    n, most = len(table.learners), shown(sum(table.out_of), 2)
    lines = [
        f"mean total  {shown(whole.mean, 2)} of {most} points",
        f"KR-20       {shown(whole.kr20, 3)}",
        f"alpha       {shown(whole.alpha, 3)} (95 % interval {shown(low, 3)} to {shown(high, 3)}, "
        f"n = {n})",
        f"SEM         {shown(whole.sem, 2)} points",
        f"for .80     {shown(whole.length_factor, 2)} times as many like items",
    ]
    if length is not None:
        lines.append(f"alpha of {length} like items  {shown(whole.at_length, 3)}")
    if cut is not None:
        lines.append(f"K2 at the cut of {float(cut):g} points  {shown(whole.livingston, 3)}")
    return lines + _study_lines(whole.study, length)


def _study_lines(study: Generalizability | None, length: int | None) -> list[str]:
    """Columns may be items or whole scenarios; the second is what this part is for."""
    if study is None:
        return ["for ranking –, for pass or fail –"]
    line = (
        f"taken as scenarios: for ranking {shown(study.relative(), 3)}, "
        f"for pass or fail {shown(study.absolute(), 3)}"
    )
    if length is not None:
        line += f" ({length} scenarios: {shown(study.absolute(length), 3)})"
    zero = [f"the variance of {name} came out negative and is set to 0" for name in _zeroed(study)]
    return [line, *zero]
