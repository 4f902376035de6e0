"""Opens the window by its name among the commands. Knows its options."""

from __future__ import annotations

from typing import Annotated

import typer

from trainer.cli.envelope import Outcome
from trainer.cli.opening import open_here


def command(
    file: Annotated[
        str, typer.Argument(help="An assignment, receipt, release, attempt or study to open.")
    ] = "",
    data: Annotated[
        str, typer.Option(metavar="FOLDER", help="Where attempts and settings lie.")
    ] = "",
) -> Outcome:
    """Open the window to work on units with your hands.

    Example: condenser-bench window week-1.assignment
    """
    return open_here(data, file)
