"""What is pointed at, told alike for the board and the Diagram sheet: a conductor or a terminal.

Only guided mode asks. Knows names of nodes; must know no shape and no bench.
"""

from __future__ import annotations

from trainer.view.pen import Pen

#: Names of what can be pointed at on the Diagram sheet begin so.
ON_SHEET = "diagram."


def pointed(pen: Pen) -> str:
    """``wire:TAG``, ``terminal:PART.TERMINAL`` or "": under the pointer, else with the focus."""
    return what_of(pen.hover) or what_of(pen.focus)


def on_sheet(pen: Pen) -> bool:
    """Whether that was pointed at on the sheet: the board marks what is not pointed at on itself."""
    first = pen.hover if what_of(pen.hover) else pen.focus
    return bool(what_of(first)) and first.startswith(ON_SHEET)


def what_of(name: str) -> str:
    """What a node stands for."""
    kind, _, of = name.partition(".")
    if kind == "end":
        return f"wire:{of.rpartition('.')[0]}"
    if kind == "place":
        return f"terminal:{of.partition(':')[0]}"
    if kind == "diagram" and of.startswith(("wire:", "terminal:")):
        return of.rpartition(".")[0]
    return ""
