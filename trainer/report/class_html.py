"""Pages of a class as one self-contained HTML file each. Knows templates; decides nothing."""

from __future__ import annotations

from markupsafe import Markup

from trainer.classroom.figures import FEW
from trainer.classroom.variants_met import GROUP_LEAST
from trainer.report.assets import cautions
from trainer.report.cited import Paper
from trainer.report.class_plots import bar, totals
from trainer.report.class_report import Report
from trainer.report.html import SLIM, WIDE, rendered


def evidence_page(paper: Paper) -> str:
    """The evidence pack as a file."""
    return rendered("evidence.html", paper.footer, cautions(), d=paper)


def class_page(report: Report) -> str:
    """The class report as a file."""
    cut = float(report.cut) if report.cut is not None else None
    plots = {
        css: Markup(totals(report.dots, cut, width, css))
        for css, width in (("wide", WIDE), ("slim", SLIM))
    }
    bars = [Markup(bar(m.wrong, m.not_shown, m.judged)) for m in report.missed]
    return rendered(
        "class.html", report.footer, cautions(), r=report, plots=plots, bars=bars, few=FEW,
        least=GROUP_LEAST,
    )  # fmt: skip
