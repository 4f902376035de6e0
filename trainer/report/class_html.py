"""Pages of a class as one self-contained HTML file each. Knows templates; decides nothing."""

from __future__ import annotations

from trainer.report.assets import cautions
from trainer.report.cited import Paper
from trainer.report.html import rendered


def evidence_page(paper: Paper) -> str:
    """The evidence pack as a file."""
    return rendered("evidence.html", paper.footer, cautions(), d=paper)
