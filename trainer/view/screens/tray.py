"""The tray: tools in five groups, an icon with its word beneath. Knows the table of tools."""

from __future__ import annotations

from functools import partial

from trainer.view import fonts
from trainer.view.language import spoken, tr
from trainer.view.pen import Pen
from trainer.view.shapes import Rect
from trainer.view.state import Job
from trainer.view.tools import GROUPS, TOOLS, Tool

#: A cell, the heading of a group, and the gap between groups.
CELL_W, CELL_H, HEADING, GAP = 66.0, 46.0, 20.0, 14.0


def columns(group: str) -> int:
    return (sum(t.group == group for t in TOOLS) + 1) // 2


def natural() -> float:
    """Width of all groups side by side in two rows."""
    return sum(columns(g) * CELL_W for g, _ in GROUPS) + GAP * (len(GROUPS) + 1)


def tray_high(wide: float, high: float) -> float:
    """Low windows get one row that scrolls sideways."""
    return HEADING + CELL_H * (2 if high >= 560.0 else 1) + 8.0


def tray(pen: Pen, rect: Rect, job: Job) -> None:
    pen.box(rect, "paper")
    pen.line([(0.0, rect.y), (rect.right, rect.y)], "rule")
    rows = 2 if rect.h > HEADING + CELL_H * 1.5 else 1
    count = sum(-(-sum(t.group == g for t in TOOLS) // rows) for g, _ in GROUPS)
    space = rect.w - GAP * (len(GROUPS) + 1)
    cell = min(max(space / count, 44.0), 92.0)
    total = cell * count + GAP * (len(GROUPS) + 1)
    most = max(total - rect.w, 0.0)
    x = GAP - min(pen.scrolls.get("tray", 0.0), most)
    if most:
        pen.node("scroll.tray", "scroll", rect, "tray", focus=False, value=f"{most:.0f}")
    with pen.ground("paper"), pen.clipped(rect):
        for group, label in GROUPS:
            tools = [t for t in TOOLS if t.group == group]
            across = -(-len(tools) // rows)
            pen.words(
                (x + 4.0, rect.y + 11.0), tr(label), "tag", colour="quiet", room=across * cell
            )
            for n, tool in enumerate(tools):
                place = Rect(
                    x + (n % across) * cell, rect.y + HEADING + (n // across) * CELL_H,
                    cell - 2.0, CELL_H - 2.0,
                )  # fmt: skip
                name = f"tool.{tool.name}"
                key = ("cell", place, tool.name, tool.name == job.tool, pen.is_over(name), spoken())
                pen.kept(key, partial(_cell, rect=place, tool=tool, here=tool.name == job.tool))
            x += across * cell + GAP
            if group != GROUPS[-1][0]:
                pen.line(
                    [(x - GAP / 2.0, rect.y + 8.0), (x - GAP / 2.0, rect.bottom - 8.0)], "rule"
                )


def _cell(pen: Pen, rect: Rect, tool: Tool, here: bool) -> None:
    name = f"tool.{tool.name}"
    over = pen.is_over(name)
    if here or over:
        pen.box(rect, "wash", "action" if here else "", 1.5, 6.0)
    ink = "action" if here else "ink"
    with pen.ground("wash" if here or over else "paper"):
        x = rect.centre[0]
        pen.picture(f"icons/{tool.icon}", Rect(x - 11.0, rect.y + 3.0, 22.0, 22.0), ink)
        label = fonts.shorten(tr(tool.label), rect.w - 2.0, "tag", here)
        pen.words((x, rect.y + 34.0), label, "tag", here, ink, "middle", rect.w - 2.0)
    pen.node(name, "tool", rect, tr(tool.label), ("tool", tool.name), chosen=here)
