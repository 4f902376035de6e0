"""Opens the window by its name among the commands. Knows one option."""

from __future__ import annotations

from typing import Annotated

import typer

from trainer.cli.envelope import Outcome
from trainer.cli.opening import open_here


def command(
    data: Annotated[
        str, typer.Option(metavar="FOLDER", help="Where attempts and settings lie.")
    ] = "",
) -> Outcome:
    """Open the window to work on units with your hands."""
    return open_here(data)
