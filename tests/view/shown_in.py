"""Texts of every picture of the window that are left in English, the pictures made in a language
from their first act on: ``python -m tests.view.shown_in es``.

Knows pictures and what English looks like; must know no screen.
"""

import re
import sys
from dataclasses import replace

from tests.view.fitting import every_word
from trainer.view.frames import frame
from trainer.view.language import speak
from trainer.view.shots import shots
from trainer.view.state import App

#: Words that no Spanish text of the window has; "a", "in" and "no" are words of both.
ENGLISH = re.compile(
    r"\b(the|and|with|without|before|after|was|were|is|are|not|wire|shown|taken|read|from|this|"
    r"that|which|of|to|on|at|you|your|for|capacitor's|winding|breaker|fan|ground)\b"
)
#: What stays as it is, and why.
STAYS = re.compile(
    r"[a-z]+(-[a-z]+)+"  # a name by which a file is known
    r"|do not close.*|not close.*|do not"  # words of a tag go into the attempt
    r"|English \(US\)"  # a language is called in itself
)
#: Pictures with words that a person or an instructor wrote, or that are printed on the door.
WRITTEN = (
    "assignment", "guided-wire-on-sheet", "guided-terminal", "sheet-diagram", "sheet-note",
    "replay", "trace-second", "panel-error",
)  # fmt: skip


def told(app: App) -> set[str]:
    """Every text of a frame that has to be in the language, what stays taken out."""
    shown = frame(app)
    texts = {w.text for w in every_word(shown)} | {n.label for n in shown.nodes}
    return {STAYS.sub("", text) for text in texts}


def in_(app: App, language: str) -> App:
    return replace(app, settings=replace(app.settings, language=language))


def left(language: str) -> dict[str, list[str]]:
    """Name of a picture -> its texts that are English."""
    speak(language)
    found = {}
    for name, build in shots().items():
        if not name.startswith(WRITTEN):
            texts = [text for text in told(in_(build(), language)) if ENGLISH.search(text)]
            found |= {name: texts} if texts else {}
    return found


if __name__ == "__main__":
    for picture, texts in left(sys.argv[1]).items():
        print(picture, texts)
