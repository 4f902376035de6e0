"""The ladder in words, rung by rung, for a screen reader or a plain terminal.

Says what the drawing shows and no more. Knows rungs; must know no shapes.
"""

from __future__ import annotations

from trainer.sheet.reading import Joint, Sheet, in_order
from trainer.sheet.rungs import Ladder, Rung, joint_name, ladders

NONE = "There is no diagram on the door."
HEADS = {
    "clean": "The ladder diagram on the door.",
    "dirty": "The ladder diagram on the door, partly under dirt.",
    "older": "The ladder diagram on the door, of an older revision than the nameplate.",
}


def ladder_text(sheet: Sheet) -> str:
    """One sentence a rung; joints are listed before the rungs that use them."""
    if sheet.state == "missing":
        return NONE
    lines = [HEADS[sheet.state]]
    number = 0
    for ladder in ladders(sheet):
        lines += ["", f"{ladder.title}."]
        lines += [_upright(j, sheet) for j in ladder.uprights]
        for rung in ladder.rungs:
            number += 1
            lines.append(f"Rung {number}: {_told(rung, sheet)}.")
    if sheet.grounds:
        lines += ["", f"Protective conductor joins {_list(sheet.grounds)}."]
    if sheet.hidden:
        lines += ["", f"{sheet.hidden} conductors cannot be read under the dirt."]
    return "\n".join(lines)


def _list(terminals: tuple[str, ...]) -> str:
    return ", ".join(t.replace(".", " ") for t in terminals)


def _upright(joint: Joint, sheet: Sheet) -> str:
    return f"Joint {joint_name(joint, sheet)}: {_list(in_order(joint, sheet.layout))}."


def _told(rung: Rung, sheet: Sheet) -> str:
    """Joint, what is between, joint; a symbol met from its far side is told from there."""
    steps = [_end(rung.start, sheet)]
    for element, turned in zip(rung.elements, rung.turned, strict=True):
        a, b = element.inner.a, element.inner.b
        first, last = (b, a) if turned else (a, b)
        steps.append(f"{element.part} {first} to {last}, {element.inner.says}")
    return " – ".join([*steps, _end(rung.end, sheet)])


def _end(joint: Joint | None, sheet: Sheet) -> str:
    if joint is not None:
        return joint_name(joint, sheet)
    return "cannot be read" if sheet.state == "dirty" else "nothing"


def uprights_of(ladder: Ladder, sheet: Sheet) -> list[str]:
    """Names over the uprights, from left to right."""
    return [joint_name(joint, sheet) for joint in ladder.uprights]
