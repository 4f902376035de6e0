"""What does not fit on a frame: words wider than their room or their window, nodes out of reach,
buttons that lie on each other.

Knows shapes and nodes; must know no screen and no language.
"""

from collections.abc import Collection, Iterator

from trainer.view import fonts
from trainer.view.shapes import Clip, Frame, Layer, Node, Rect, Shape, Words

SLACK = 0.5
CUT = "…"


def misfits(frame: Frame) -> list[str]:
    """A sentence for everything that does not fit."""
    window = Rect(0.0, 0.0, *frame.size)
    found = [m for words, clip in placed(frame.shapes, window) if (m := _of_words(words, clip))]
    found += [m for node in frame.nodes if (m := _of_node(frame, node, window))]
    buttons = [n for n in frame.nodes if n.role in ("button", "tab", "field") and n.on]
    found += [
        f"{a.name} lies on {b.name}"
        for n, a in enumerate(buttons)
        for b in buttons[n + 1 :]
        if a.clip == b.clip and a.rect.inset(SLACK).meets(b.rect.inset(SLACK))
    ]
    return found


def placed(shapes: tuple[Shape, ...], clip: Rect) -> Iterator[tuple[Words, Rect | None]]:
    """Words with what they are seen through; None within a layer, which has units of its own."""
    for shape in shapes:
        if isinstance(shape, Words):
            yield shape, clip
        elif isinstance(shape, Clip):
            yield from placed(shape.shapes, shape.rect)
        elif isinstance(shape, Layer):
            yield from ((s, None) for s in shape.shapes if isinstance(s, Words))


def _of_words(words: Words, clip: Rect | None) -> str:
    if words.exact:
        return ""  # a drawing that is enlarged as a whole
    wide = fonts.width(words.text, words.size, words.bold)
    if words.room and wide > words.room + SLACK:
        return f"{words.text!r} is {wide:.0f} wide in a room of {words.room:.0f}"
    left = words.at[0] - {"left": 0.0, "middle": wide / 2.0, "right": wide}[words.align]
    right = left + wide
    inside = clip is None or (left >= clip.x - SLACK and right <= clip.right + SLACK)
    return "" if words.room or inside else f"{words.text!r} reaches from {left:.0f} to {right:.0f}"


def _of_node(frame: Frame, node: Node, window: Rect) -> str:
    """In its window, or where its region can be scrolled to."""
    clip = node.clip or window
    more = {n.name: float(n.value.split()[0]) for n in frame.nodes
            if n.role == "scroll" and clip.within(n.rect)}  # fmt: skip
    sideways = sum(v for n, v in more.items() if n in ("scroll.board.x", "scroll.tray"))
    down = sum(v for n, v in more.items() if n not in ("scroll.board.x", "scroll.tray"))
    reach = Rect(clip.x - sideways, clip.y - down, clip.w + 2.0 * sideways, clip.h + 2.0 * down)
    return "" if node.rect.within(reach, 1.0) else f"{node.name} {node.rect} is outside {reach}"


def every_word(frame: Frame) -> list[Words]:
    """All words of a frame, those on layers too."""
    return [words for words, _ in placed(frame.shapes, Rect(0.0, 0.0, *frame.size))]


def shortened(frame: Frame, texts: Collection[str]) -> list[str]:
    """Words of these texts that are shown with an ellipsis because they had no room."""
    cut = [w.text for w in every_word(frame) if w.text.endswith(CUT)]
    return [w for w in cut if w not in texts and any(t.startswith(w[:-1]) for t in texts)]
