"""What a reader should know about a report before he trusts it.

Knows the report; adds no finding.
"""

from __future__ import annotations

from trainer.starts.report import StartReport


def notes(report: StartReport) -> list[str]:
    """Sentences for the warnings of a command."""
    e, limits = report.evidence, report.limits
    found = []
    start = e.energised_at_s
    cut = start is not None and e.judged_at_s - start < limits.never_after.value and not e.trips
    if cut and (e.time_to_full_s is None or (e.aid.fitted and e.aid.in_at(e.judged_at_s - 1e-6))):
        found.append(
            f"The record ends {e.judged_at_s - start:.2f} s after energising; a start is judged "
            f"over {limits.never_after.value:g} s, so let it run longer (--until)."
        )
    if report.record.roles.part("soft_starter") is not None:
        found.append("Behind a soft starter standing torque on full volts says nothing: left out.")
    if report.sensitive:
        found.append("This case is on an edge: a small change of line volts changes what happens.")
    return found
