"""Writes the files a command was asked for; a path that cannot be written is plainly said.

Knows folders and text; must not know what is written.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from trainer.base.errors import TrainerError


@contextmanager
def writing(path: str | Path) -> Iterator[Path]:
    """Around code that writes ``path``: an operating system's refusal becomes a TrainerError."""
    target = Path(path)
    try:
        yield target
    except OSError as error:
        reason = error.strerror or "it cannot be written"
        hint = "name a file in a folder that exists and that you may write"
        raise TrainerError(f"the file cannot be written: {reason}", str(path), hint) from None
