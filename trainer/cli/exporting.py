"""Writes what is exported for its owner alone, whole or not at all. Knows files, no content."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from trainer.base.errors import ConflictError, UsageError, quoted

Store = Annotated[str, typer.Option(metavar="URL|FILE", help="The class's database.")]
Out = Annotated[str, typer.Option("-o", "--out", metavar="FILE", help="Write to this file.")]
Replace = Annotated[bool, typer.Option("--replace", help="Write over a file that is there.")]
Lang = Annotated[str, typer.Option(help="Language of the page; JSON and CSV stay English.")]
Blind = Annotated[bool, typer.Option("--blind", help="Codes instead of names and ids.")]


def known(lang: str) -> str:
    """A language that pages are told in. Raises UsageError."""
    from trainer.base.tongue import LANGUAGES

    if lang not in LANGUAGES:
        raise UsageError(f"no language {quoted(lang)}", hint=f"one of {', '.join(LANGUAGES)}")
    return lang


def kept(path: str, content: str, replace: bool) -> None:
    """The file with UTF-8 text, line ends as they are. Raises ConflictError, TrainerError."""
    from trainer.cli.files import writing
    from trainer.exchange.keys import private, replaced

    with writing(path) as target:
        if replace:
            replaced(Path(target), content.encode("utf-8"))
            return
        try:
            private(Path(target), content.encode("utf-8"))
        except FileExistsError:
            hint = "name another, or add --replace"
            raise ConflictError("there is already a file of that name", path, hint) from None
