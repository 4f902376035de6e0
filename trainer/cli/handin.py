"""Hand-ins: on the learner's machine sealed and given, at the instructor's desk taken in.

A table of verbs; each side has a module of its own.
"""

from __future__ import annotations

from trainer.cli import handin_desk, handin_learner

ABOUT = "Hand-ins: seal and give one, verify and import many, see what was put aside."
VERBS = {**handin_learner.VERBS, **handin_desk.VERBS}
