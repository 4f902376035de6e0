"""Words and data of the cut scores. Knows how figures are told; computes none."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from trainer.standards.exact import as_float, shown

if TYPE_CHECKING:
    from trainer.standards.angoff import Angoff
    from trainer.standards.borderline import Borderline
    from trainer.standards.cut import CutRecord
    from trainer.standards.tables import AngoffTable


def angoff_data(table: AngoffTable, found: Angoff) -> dict[str, Any]:
    return {
        "judges": found.judges, "n": found.n,
        "cut_share": float(found.cut_share), "se_share": found.se_share,
        "cut_points": float(found.cut_points), "se_points": found.se_points,
        "items": [{"name": name, "mean": float(m)}
                  for name, m in zip(table.items, found.item_means, strict=True)],
        "judge_means": [{"name": name, "mean": float(m)}
                        for name, m in zip(table.judges, found.judge_means, strict=True)],
    }  # fmt: skip


def angoff_lines(table: AngoffTable, found: Angoff) -> list[str]:
    items = zip(table.items, found.item_means, strict=True)
    judges = zip(table.judges, found.judge_means, strict=True)
    return [
        f"Modified Angoff: {found.judges} judges, {found.n} items",
        f"cut             {shown(found.cut_share)} on the scale 0 to 1, "
        f"or {shown(found.cut_points)} of {found.n} points",
        f"standard error  {shown(found.se_share)} on the scale 0 to 1, "
        f"or {shown(found.se_points)} points",
        "item means:",
        *(f"  {shown(m)}  {name}" for name, m in items),
        "judge means:",
        *(f"  {shown(m)}  {name}" for name, m in judges),
    ]


def borderline_data(found: Borderline) -> dict[str, Any]:
    return {
        "n": found.n, "slope": float(found.slope), "intercept": float(found.intercept),
        "r2": as_float(found.r2), "rmse": found.rmse, "cut": float(found.cut),
        "se_cut": found.se_cut, "beyond_ratings": found.beyond,
    }  # fmt: skip


def borderline_lines(found: Borderline) -> list[str]:
    return [
        f"Borderline regression: {found.n} learners",
        f"cut at rating 2  {shown(found.cut)} of 100, standard error {shown(found.se_cut)}",
        f"line             score = {shown(found.intercept)} + {shown(found.slope)} x rating",
        f"fit              R2 {shown(found.r2)}, RMSE {shown(found.rmse)} points",
    ]


def rubric_lines(record: CutRecord) -> list[str]:
    """What an instructor writes into a rubric."""
    fields = {**record.cut_set, "date": f'"{record.date}"'}
    return [
        "In the rubric:",
        f"  cut: {record.written_cut}",
        "  cut_set:",
        *(f"    {key}: {value}" for key, value in fields.items()),
    ]
