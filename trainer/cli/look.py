"""Colours and lines of every plot: paper, ink, one colour for the matter, one for danger.

Knows matplotlib's settings; must know nothing of what is drawn.
"""

from __future__ import annotations

from typing import Any

PAPER, INK, ACTION, DANGER = "#F6F2E9", "#1F2A30", "#0B6360", "#9E2A22"
QUIET, RULE = "#55626A", "#CFC6B4"

SETTINGS: dict[str, Any] = {
    "figure.facecolor": PAPER,
    "savefig.facecolor": PAPER,
    "axes.facecolor": PAPER,
    "axes.edgecolor": QUIET,
    "axes.labelcolor": INK,
    "axes.titlecolor": INK,
    "text.color": INK,
    "xtick.color": QUIET,
    "ytick.color": QUIET,
    "xtick.labelcolor": INK,
    "ytick.labelcolor": INK,
    "grid.color": RULE,
    "grid.linewidth": 0.6,
    "axes.grid": True,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.axisbelow": True,
    "font.size": 10.0,
    "axes.labelsize": 10.0,
    "lines.linewidth": 1.3,
    "legend.frameon": False,
    "legend.fontsize": 9.0,
}


def figure(width_in: float, height_in: float, **more: Any) -> Any:
    """A figure without a window, in the house colours."""
    import matplotlib
    from matplotlib.figure import Figure

    with matplotlib.rc_context(SETTINGS):
        return Figure(figsize=(width_in, height_in), **more)


def styled() -> Any:
    """Context in which axes and texts get the house colours."""
    import matplotlib

    return matplotlib.rc_context(SETTINGS)


def save(fig: Any, path: Any) -> None:
    """Write a figure as PNG."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    with styled():
        FigureCanvasAgg(fig)
        fig.savefig(path, dpi=150, format="png")
