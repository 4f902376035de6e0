"""The tray: tools in five groups, an icon with its word beneath. Knows the table of tools."""

from __future__ import annotations

from functools import partial

from trainer.view import fonts
from trainer.view.language import spoken, tr
from trainer.view.pen import Pen
from trainer.view.screens.strip import LOWEST
from trainer.view.shapes import Rect
from trainer.view.state import Job
from trainer.view.theme import TARGET
from trainer.view.tools import GROUPS, TOOLS, Tool
from trainer.view.widgets import pages

#: Height of a cell and of a group's heading, the gap between groups, a column's least width and
#: how much wider it gets at most.
CELL_H, HEADING, GAP, LEAST, SPREAD = 46.0, 20.0, 14.0, 46.0, 30.0
#: Room for two arrows that page the row.
ARROWS = 2.0 * TARGET + 6.0


#: Windows lower than this get one row of tools; the lowest, no headings over it.
LOW = 560.0


def tray_high(wide: float, high: float) -> float:
    """Low windows get one row that scrolls sideways."""
    return (HEADING if high >= LOWEST else 4.0) + CELL_H * (2 if high >= LOW else 1) + 8.0


def tray(pen: Pen, rect: Rect, job: Job) -> None:
    pen.box(rect, "paper")
    pen.line([(0.0, rect.y), (rect.right, rect.y)], "rule")
    rows = 2 if rect.h > HEADING + CELL_H * 1.5 else 1
    headed = rect.h > HEADING + CELL_H
    if not headed:  # the arrows stand beside the tools
        arrows = Rect(rect.right - ARROWS, rect.y + (rect.h - TARGET) / 2.0, ARROWS, TARGET)
        rect = Rect(rect.x, rect.y, rect.w - ARROWS, rect.h)
    else:
        arrows = Rect(rect.right - ARROWS, rect.y, ARROWS, TARGET)
    head = HEADING if headed else 4.0
    groups = [(label, _columns(group, rows)) for group, label in GROUPS]
    least = [wide for _, columns in groups for _, wide in columns]
    space = rect.w - GAP * (len(GROUPS) + 1)
    more = min(max((space - sum(least)) / len(least), 0.0), SPREAD)
    most = max(sum(least) - space, 0.0)
    offset = min(pen.scrolls.get("tray", 0.0), most)
    x = GAP - offset
    if most:
        value = f"{most:.0f} {offset:.0f}"
        pen.node("scroll.tray", "scroll", rect, "tray", focus=False, value=value)
    with pen.ground("paper"), pen.clipped(rect):
        for n, (label, columns) in enumerate(groups):
            across = sum(wide + more for _, wide in columns)
            if headed:
                at = x + 4.0, rect.y + 11.0
                pen.words(at, tr(label), "tag", colour="quiet", room=across)
            for tools, wide in columns:
                for k, tool in enumerate(tools):
                    y = rect.y + head + k * CELL_H
                    _kept_cell(pen, Rect(x, y, wide + more - 2.0, CELL_H - 2.0), tool, job)
                x += wide + more
            x += GAP
            if n + 1 < len(groups):
                middle = x - GAP / 2.0
                pen.line([(middle, rect.y + 8.0), (middle, rect.bottom - 8.0)], "rule")
    if most:
        if headed:
            place = Rect(arrows.x - 4.0, rect.y + 1.0, ARROWS + 4.0, HEADING - 1.0)
            pen.box(place, "paper")
        place = Rect(arrows.x, arrows.y, 2.0 * TARGET, TARGET)
        pages(pen, "tray", place, offset, rect.w, most, True)


def _columns(group: str, rows: int) -> list[tuple[list[Tool], float]]:
    """Tools of a group in columns, row by row, each as wide as its longest word needs."""
    tools = [t for t in TOOLS if t.group == group]
    across = -(-len(tools) // rows)
    columns = [tools[n::across] for n in range(across)]
    return [
        (c, max(LEAST, *(fonts.width(tr(t.label), "tag", True) + 12.0 for t in c))) for c in columns
    ]


def _kept_cell(pen: Pen, rect: Rect, tool: Tool, job: Job) -> None:
    here, name = tool.name == job.tool, f"tool.{tool.name}"
    key = ("cell", rect, tool.name, here, pen.is_over(name), spoken())
    pen.kept(key, partial(_cell, rect=rect, tool=tool, here=here))


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
