"""What of the board answers, and where: places, ends, parts and covers as nodes.

What answers follows from what is there and what the tool takes, never from what is right. From
afar what is too small to hit leads closer instead. Knows what is seen; must know no act.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from trainer.view.board.harness import Drawn, harness, router_of
from trainer.view.board.placing import Plan, Spot, Standing
from trainer.view.board.plate import called
from trainer.view.board.seen import Seen, SeenEnd, plan_of
from trainer.view.language import spelt, term, tr
from trainer.view.shapes import Node, Point, Rect
from trainer.view.theme import TARGET
from trainer.view.widgets import target

#: A bare spot of the chassis to probe and to land on [logical px from the plate's corner].
CHASSIS = (24.0, 58.0)
#: Targets are drawn at this pitch at least: what is smaller on the screen is seen from afar.
PITCH = 26.0


@dataclass(frozen=True)
class Camera:
    """How the board lies in its viewport."""

    view: Rect
    zoom: float
    x: float
    y: float
    size: Point

    def rect(self, r: Rect) -> Rect:
        z = self.zoom
        return Rect(
            self.view.x + r.x * z - self.x, self.view.y + r.y * z - self.y, r.w * z, r.h * z
        )

    def point(self, p: Point) -> Point:
        return self.view.x + p[0] * self.zoom - self.x, self.view.y + p[1] * self.zoom - self.y


@lru_cache(maxsize=32)
def drawn(seen: Seen, held: str) -> Drawn:
    plan = plan_of(seen.stands)
    return harness(seen, plan, router_of(seen.stands), held)


def is_far(lie: Camera) -> bool:
    """Whether neighbouring terminals are too near each other to be hit."""
    return lie.zoom < TARGET / PITCH - 0.001


@lru_cache(maxsize=64)
def board_nodes(
    seen: Seen, held: str, lie: Camera, clip: Rect, takes: frozenset[str], language: str
) -> tuple[Node, ...]:
    """Everything on the board that answers, kept while the board lies as it does."""
    plan, made = plan_of(seen.stands), drawn(seen, held)
    found: list[Node] = []

    def node(name: str, role: str, rect: Rect, label: str, *on: object, **more: object) -> None:
        found.append(Node(name, role, lie.rect(rect), label, on, clip=clip, **more))  # type: ignore[arg-type]

    for part in seen.parts:
        here = plan.parts[part.name]
        if part.cover:
            words = tr(
                "cover {cover} over {part}", cover=term("cover", part.cover), part=spelt(part.name)
            )
            node(f"cover.{part.name}", "cover", here.rect, words, "cover", part.cover, part.name)
        elif "part" in takes:
            words = f"{called(part.name, here)}, {part.printed}"
            node(f"part.{part.name}", "part", here.rect, words, "part", part.name)
    _places(node, seen, plan)
    for end in seen.ends:
        if end.name in made.flags:
            rect = made.flags[end.name]
            place = Rect(rect.x - 0.5, rect.y, rect.w + 1.0, rect.h if end.on else 58.0)
            node(f"end.{end.name}", "end", place, words_of(end), "end", end.name, grab=True)
    x, y = plan.plate.x + CHASSIS[0], plan.plate.y + CHASSIS[1]
    node("place.chassis", "place", _about((x, y)), tr("chassis, bare metal"), "place", "chassis",
         accept=True)  # fmt: skip
    return tuple(found)


def _places(node: Callable[..., None], seen: Seen, plan: Plan) -> None:
    hidden = {p.name for p in seen.parts if p.cover}
    for spot in plan.spots.values():
        if spot.part not in hidden:
            words = place_words(spot, seen)
            node(f"place.{spot.place}", "place", _about(spot.at), words, "place", spot.place,
                 accept=True, grab=bool(seen.ends_on(spot.place)))  # fmt: skip


def place_words(spot: Spot, seen: Seen) -> str:
    """What a reader says of a place: its part, its marking if that can be read, what is on it."""
    terminal = spot.place.partition(":")[0]
    marking = dict(seen.markings).get(terminal, "")
    read = tr("marking under dirt") if terminal in seen.dirty else (marking or tr("no marking"))
    on = ", ".join(
        tr("wire {tag} {colour}", tag=e.tag, colour=e.colour) for e in seen.ends_on(spot.place)
    )
    return f"{spelt(spot.place)}, {read}, {on or tr('nothing on it')}"


def words_of(end: SeenEnd) -> str:
    where = (
        tr("on {place}", place=spelt(end.on))
        if end.on
        else tr("capped")
        if end.capped
        else tr("hangs free")
    )
    return tr("wire {tag} {colour}, end {side}, {where}", tag=end.tag, colour=end.colour,
              side=end.side, where=where)  # fmt: skip


def _about(at: Point) -> Rect:
    return Rect(at[0] - 13.0, at[1] - 13.0, 26.0, 26.0)


@lru_cache(maxsize=64)
def far_nodes(seen: Seen, held: str, lie: Camera, clip: Rect, language: str) -> tuple[Node, ...]:
    """From afar: covers, and every terminal and free end that lies far enough from all others; a
    part is something to go closer to.
    """
    near = board_nodes(seen, held, lie, clip, frozenset(), language)
    plan = plan_of(seen.stands)
    found = [n for n in near if n.role == "cover"]
    found += [_closer(p.name, plan.parts[p.name], lie, clip) for p in seen.parts if not p.cover]
    places = {n.name.removeprefix("place."): n for n in near if n.role == "place"}
    loose = [n for n in near if n.role == "end" and not seen.is_on(n.name.removeprefix("end."))]
    meant = _by_terminal(places, seen, bool(held))
    found += [n for n in _apart([places[p] for p in meant]) if meant[n.on[1]]]
    free = list(_apart(loose))
    crowded = [n for n in loose if n.name not in {one.name for one in free}]
    found += [_bundle(nodes, lie, clip) for nodes in _clusters(crowded)]
    return tuple(found + free)


def _by_terminal(places: Iterable[str], seen: Seen, landing: bool) -> dict[str, bool]:
    """One place of each terminal, and whether from afar it is clear which of them is meant: to land
    on, the first that is free, else the only one in use.
    """
    terminals: dict[str, list[str]] = {}
    for place in places:
        terminals.setdefault(place.partition(":")[0], []).append(place)
    found = {}
    for of in terminals.values():
        used = [p for p in of if seen.ends_on(p)]
        free = [p for p in of if p not in used]
        to_land = landing and bool(free)
        found[free[0] if to_land or not used else used[0]] = to_land or len(used) < 2
    return found


def _closer(name: str, here: Standing, lie: Camera, clip: Rect) -> Node:
    """A part that a click goes closer to; the focus goes on to its first place."""
    near = TARGET / PITCH
    x, y = here.rect.centre
    to = next((f"place.{p}" for p in here.spots), "")
    on = ("closer", x * near - lie.view.w / 2.0, y * near - lie.view.h / 2.0, to)
    words = tr("{part}: go closer", part=called(name, here))
    return Node(f"far.{name}", "part", target(lie.rect(here.rect)), words, on, clip=clip)


def _clusters(nodes: Sequence[Node]) -> list[list[Node]]:
    """Ends whose targets lie on one another, from left to right."""
    found: list[list[Node]] = []
    for node in sorted(nodes, key=lambda n: n.rect.x):
        last = found[-1][-1] if found else None
        if last is not None and target(last.rect).meets(target(node.rect)):
            found[-1].append(node)
        else:
            found.append([node])
    return found


def _bundle(nodes: Sequence[Node], lie: Camera, clip: Rect) -> Node:
    """Free ends too near each other to be hit: a click goes closer to them, as to a part."""
    rects = [target(n.rect) for n in nodes]
    right, bottom = max(r.right for r in rects), max(r.bottom for r in rects)
    x, y = min(r.x for r in rects), min(r.y for r in rects)
    whole = Rect(x, y, right - x, bottom - y)
    near = TARGET / PITCH / lie.zoom
    at = (
        (whole.centre[0] - lie.view.x + lie.x) * near,
        (whole.centre[1] - lie.view.y + lie.y) * near,
    )
    on = ("closer", at[0] - lie.view.w / 2.0, at[1] - lie.view.h / 2.0, nodes[0].name)
    name = nodes[0].name.removeprefix("end.")
    return Node(f"far.ends.{name}", "part", whole, tr("free ends: go closer"), on, clip=clip)


def _apart(nodes: Sequence[Node]) -> Iterator[Node]:
    """Those that lie upon no other once they are large enough to hit."""
    grown = [replace(n, rect=target(n.rect)) for n in nodes]
    for one in grown:
        core = one.rect.inset(0.5)
        if not any(core.meets(o.rect) for o in grown if o is not one):
            yield one
