"""The debrief of an attempt as plain data for the window. Knows the assessor and the page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from trainer.session.events import Event
from trainer.session.log import Attempt


def debrief_of(
    header: Mapping[str, Any], events: Sequence[Event], path: Path | None = None
) -> dict[str, Any]:
    """The page in the order in which it is read; ``path`` is the attempt's file.

    Raises TrainerError for a bench without a job.
    """
    from trainer.report.page import as_data

    return plain(as_data(_page(header, events, path)))


def html_of(header: Mapping[str, Any], events: Sequence[Event], path: Path | None = None) -> str:
    """The same page as one file."""
    from trainer.report.html import page

    return page(_page(header, events, path))


def _page(header: Mapping[str, Any], events: Sequence[Event], path: Path | None) -> Any:
    from trainer.assess.finding_rubric import rubric_for
    from trainer.assess.loading import job_for, named_in
    from trainer.assess.marking import mark_attempt
    from trainer.report.page import debrief
    from trainer.report.shelf import offers

    name = str(header["scenario"]) if path is None else named_in(path, header)
    job = job_for(name, int(header["seed"]))
    attempt = Attempt(header, tuple(events))
    mark = mark_attempt(attempt, job, rubric_for(job.scenario, name)).mark
    return debrief(mark, attempt, job.scenario, offers())


def plain(value: Any) -> Any:
    """Only what JSON knows: fractions become floats, tuples lists."""
    from fractions import Fraction

    if isinstance(value, Fraction):
        return float(value)
    if isinstance(value, Mapping):
        return {str(k): plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [plain(v) for v in value]
    if value is None or isinstance(value, str | int | float | bool):
        return value
    return str(value)
