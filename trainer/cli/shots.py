"""Draws the window's screens into PNG files, without a display.

Every picture is of a state that scripted acts led to, so that it shows what the program really
does. Knows names of pictures and files; must know no screen.
"""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Annotated

import typer

from trainer.base.errors import NotFoundError, TrainerError, UsageError, quoted
from trainer.cli.envelope import Outcome

#: Most device pixels along a side; a larger picture is a mistake of typing.
SIDE_MOST, SIDE_LEAST = 4096, 320


def command(
    folder: Annotated[str, typer.Argument(metavar="DIR", help="Where the pictures are written.")],
    scale: Annotated[
        int, typer.Option(help="Percent, 100 to 200; the window grows with it.")
    ] = 100,
    theme: Annotated[str, typer.Option(help="paper, night or contrast.")] = "paper",
    lang: Annotated[str, typer.Option(help="Language: en, es, or pseudo for longer texts.")] = "en",
    size: Annotated[str, typer.Option(metavar="WxH", help="The window, such as 1024x640.")] = "",
    only: Annotated[str, typer.Option(metavar="PREFIX", help="Names that begin so.")] = "",
) -> Outcome:
    """Draw every screen of the window into a folder."""
    names = written(Path(folder), scale, theme, lang, size, tuple(only.split(",")) if only else ())
    text = f"{len(names)} pictures in {folder}"
    return Outcome({"folder": folder, "pictures": names}, text)


def written(
    folder: Path, scale: int = 100, theme: str = "paper", lang: str = "en", size: str = "",
    only: Sequence[str] = (), whole: bool = False,
) -> list[str]:  # fmt: skip
    """Writes the pictures whose names begin with one of ``only``, or are one of them if ``whole``.

    Returns their names. Raises UsageError, NotFoundError, TrainerError."""
    _check(scale, theme, lang)
    own = _size(size)
    os.environ["SDL_VIDEODRIVER"] = "dummy"
    os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
    from trainer.view.shots import shots

    rows = {
        n: b
        for n, b in shots().items()
        if not only or (n in only if whole else n.startswith(tuple(only)))
    }
    if not rows:
        names = ", ".join(shots())
        raise NotFoundError(f"no picture begins with {quoted(','.join(only))}", hint=f"of {names}")
    _make(folder)
    from trainer.base.tongue import speaking
    from trainer.view.frames import frame
    from trainer.view.paint import Painter, write

    painter = Painter(scale / 100.0, theme)
    for name, build in rows.items():
        with speaking(lang):  # also what is told while the state is made
            app = build()
        settings = replace(app.settings, scale=scale, theme=theme, language=lang)
        found = frame(replace(app, settings=settings, size=own or app.size))
        wrong = write(found, painter, folder / f"{name}.png")
        if wrong:
            raise TrainerError(f"{folder / name}.png cannot be written: {wrong}")
    return list(rows)


def _check(scale: int, theme: str, lang: str) -> None:
    from trainer.view.language import LANGUAGES, PSEUDO
    from trainer.view.theme import theme_names

    if not 100 <= scale <= 200:
        raise UsageError(f"the scale {scale} is outside 100 to 200", hint="--scale 200")
    if theme not in theme_names():
        raise UsageError(f"no theme {quoted(theme)}", hint=f"one of {', '.join(theme_names())}")
    if lang not in (*LANGUAGES, PSEUDO):
        raise UsageError(
            f"no language {quoted(lang)}", hint=f"one of {', '.join((*LANGUAGES, PSEUDO))}"
        )


def _size(text: str) -> tuple[float, float] | None:
    if not text:
        return None
    found = re.fullmatch(r"(\d{1,5})x(\d{1,5})", text)
    sides = [int(v) for v in found.groups()] if found else []
    if not sides or not all(SIDE_LEAST <= v <= SIDE_MOST for v in sides):
        raise UsageError(
            f"{quoted(text)} is no size of a window",
            hint=f"width x height of {SIDE_LEAST} to {SIDE_MOST}, such as 1280x800",
        )
    return float(sides[0]), float(sides[1])


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise TrainerError(f"{folder} cannot be made: {error.strerror}") from None
