"""The focus manager: where Tab, arrows and F6 lead among the nodes of a frame. Pure."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from trainer.view.shapes import Frame, Node

#: How much a step to the side counts more than one ahead.
ASIDE = 2.5
#: The same, while both lie in one row or column and only their middles differ.
SLIGHT = 0.1
#: What lies on another panel counts as if it were so much further away [logical px].
ELSEWHERE = 1e5
#: The board, by the beginning of nodes' names; F6 comes back to where one was on it.
BOARD = ("place.", "part.", "cover.", "end.", "far.", "board.")
#: Areas of the bench, likewise, that F6 jumps between.
AREAS: tuple[str | tuple[str, ...], ...] = (
    "strip.", BOARD, ("option.", "set."), "tool.", "sheet.",
)  # fmt: skip
#: Those that are entered at what is chosen: the tool in hand, the sheet that is up.
CHOSEN = ("tool.", "sheet.")
#: The panel on which every node belongs to one of them.
CLIPBOARD, SHEETS = "clipboard", "sheet."
#: What a form offers, or else a tool, by the beginning of nodes' names: to be read before its button
#: is pressed. A focus of ``OFFER`` goes to what is offered above the tray though a form is open.
#: Before a graded attempt keys begin at what costs nothing.
FORMS = ("card.back", "assignment.", "form.", "finish.", "hint.", "layout.")
OFFERS = ("option.", "set.")
OFFER = "option."


def stops(frame: Frame) -> list[Node]:
    """Nodes that focus visits, in order."""
    return [n for n in frame.nodes if n.focus and n.enabled and n.on]


def along(frame: Frame, focus: str, by: int) -> str:
    """The next stop in order, or the one before."""
    names = [n.name for n in stops(frame)]
    if not names:
        return ""
    if focus not in names:
        return names[0] if by > 0 else names[-1]
    return names[(names.index(focus) + by) % len(names)]


def panels(frame: Frame) -> dict[str, str]:
    """Node -> the panel laid over the screen on which it is, "" for the screen itself."""
    fronts: list[Node] = []
    found: dict[str, str] = {}
    for node in frame.nodes:
        if node.role == "group":
            fronts.append(node)
        on = [f.name for f in fronts if f.rect.has(node.rect.centre)]
        found[node.name] = on[-1] if on else ""
    return found


def towards(frame: Frame, focus: str, way: str) -> str:
    """The nearest stop in a direction (left, right, up, down), on the same panel if it has one."""
    here = frame.node(focus)
    every = stops(frame)
    if here is None or not every:
        return every[0].name if every else ""
    return nearest(every, here, way, panels(frame))


def nearest(every: Sequence[Node], here: Node, way: str, on: Mapping[str, str]) -> str:
    """The stop that lies nearest in a direction, or where one is; ``on``: node -> its panel."""
    dx, dy = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}[way]
    x, y = here.rect.centre
    best, least = here.name, math.inf
    for node in every:
        right, down = node.rect.x + node.rect.w / 2.0 - x, node.rect.y + node.rect.h / 2.0 - y
        ahead, aside = right * dx + down * dy, abs(right * dy) + abs(down * dx)
        if ahead <= 1.0 or node.name == here.name or _away(node, here):
            continue
        across, along = (node.rect.w + here.rect.w) / 2.0, (node.rect.h + here.rect.h) / 2.0
        if dx:
            across, along = along, across
        if aside >= across and ahead < along:
            continue  # it lies beside the way, not on it
        cost = ahead + (SLIGHT if aside < across else ASIDE) * aside
        if on.get(node.name, "") != on.get(here.name, ""):
            cost += ELSEWHERE
        if cost < least:
            best, least = node.name, cost
    return best


def _away(node: Node, here: Node) -> bool:
    """Whether a stop is scrolled out of sight in a region that one is not in."""
    return node.clip != here.clip and (node.seen.w < 1.0 or node.seen.h < 1.0)


def area_after(frame: Frame, focus: str, by: int) -> str:
    """The first stop of the next area, or what is chosen there."""
    every = stops(frame)
    there = [a for a in AREAS if any(n.name.startswith(a) for n in every)]
    if not there:
        return along(frame, focus, by)
    here = SHEETS if panels(frame).get(focus) == CLIPBOARD else focus
    now = next((k for k, a in enumerate(there) if here.startswith(a)), -1 if by > 0 else 0)
    area = there[(now + by) % len(there)]
    names = [n.name for n in every if n.name.startswith(area)]
    if area == BOARD:
        first = next((n for n in names if n.startswith(BOARD[0])), names[0])
        return frame.spot if frame.spot in names else first
    chosen = (n.name for n in every if n.chosen and n.name in names and area in CHOSEN)
    return next(chosen, names[0])


def _begins(every: Sequence[Node]) -> str:
    """The first field of an open form, the first offer of a tool, the button that stands out, or
    the sheet that is up; never one that only comes first.
    """
    form = (n.name for n in every if n.name.startswith(FORMS) and n.name != "form.close")
    offer = (n.name for n in every if n.name.startswith(OFFERS))
    main = (n.name for n in every if n.main)
    sheet = (n.name for n in every if n.role == "tab" and n.chosen)
    return next(form, "") or next(offer, "") or next(main, "") or next(sheet, "")


def kept(frame: Frame, focus: str, before: Sequence[Node], keyed: bool = False) -> str:
    """The focus after a change: the same node if it is there, else the nearest to where it was.

    Where there is none and keys are used, where keys begin.
    """
    every = stops(frame)
    if focus == OFFER:
        return next((n.name for n in every if n.name.startswith(OFFER)), "")
    if not focus and keyed:
        return _begins(every)
    if not focus or any(n.name == focus for n in every):
        return focus
    was = next((n for n in before if n.name == focus), None)
    if was is None or not every:
        return (keyed and _begins(every)) or (every[0].name if every else "")
    x, y = was.rect.centre
    return min(every, key=lambda n: math.dist(n.rect.centre, (x, y))).name
