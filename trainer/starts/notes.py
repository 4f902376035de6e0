"""What a reader should know about a report before he trusts it.

Knows the report; adds no finding.
"""

from __future__ import annotations

from trainer.starts.report import StartReport


def notes(report: StartReport) -> list[str]:
    """Sentences for the warnings of a command."""
    e, limits = report.evidence, report.limits
    found = []
    judged = e.judged_at_s - e.energised_at_s if e.energised_at_s is not None else None
    still_in = e.aid.fitted and e.aid.in_at(e.judged_at_s - 1e-6)
    open_ended = e.time_to_full_s is None or still_in
    if judged is not None and judged < limits.never_after.value and open_ended and not e.trips:
        found.append(
            f"The record ends {judged:.2f} s after energising; a start is judged over "
            f"{limits.never_after.value:g} s, so let it run longer (--until)."
        )
    if report.record.roles.part("soft_starter") is not None:
        found.append("Behind a soft starter standing torque on full volts says nothing: left out.")
    if report.sensitive:
        found.append("This case is on an edge: a small change of line volts changes what happens.")
    return found
