"""Writes the debrief of an attempt as a page, as text or as JSON.

Knows files; decides nothing.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from trainer.base.errors import UsageError, quoted
from trainer.cli.envelope import Outcome

KINDS = (".html", ".txt", ".json")


def command(
    attempt: Annotated[str, typer.Argument(help="An attempt file.")],
    out: Annotated[
        str, typer.Option("-o", "--out", metavar="FILE", help="Write .html, .txt or .json.")
    ] = "",
    rubric: Annotated[
        str, typer.Option(metavar="FILE", help="Another rubric than the scenario's: file or name.")
    ] = "",
    key: Annotated[
        str, typer.Option(metavar="FILE", help="The instructor's key of a graded attempt.")
    ] = "",
    every: Annotated[
        bool, typer.Option("--all", help="Text: also what stands after the ruled line.")
    ] = False,
    lang: Annotated[
        str, typer.Option(help="Language of the page or text; JSON stays English.")
    ] = "en",
) -> Outcome:
    """Debrief an attempt: what was safe, what broke first, what it did, marks and evidence."""
    from trainer.base.tongue import LANGUAGES, speaking

    if lang not in LANGUAGES:
        raise UsageError(f"no language {quoted(lang)}", hint=f"one of {', '.join(LANGUAGES)}")
    from trainer.assess.marking import mark_file
    from trainer.report.page import as_data, debrief
    from trainer.report.shelf import offers
    from trainer.report.text import lines_of

    kind = Path(out).suffix.lower()
    if out and kind not in KINDS:
        raise UsageError(
            f"a debrief is no {kind or 'file without an ending'}",
            hint="name one that ends in .html, .txt or .json",
        )
    marked = mark_file(Path(attempt), Path(rubric) if rubric else None, Path(key) if key else None)
    given = marked.mark, marked.attempt, marked.scenario, offers()
    data = as_data(debrief(*given))
    with speaking(lang):
        page = debrief(*given)
        if not out:
            return Outcome(data, "\n".join(lines_of(page, every)))
        written(out, _content(kind, page, data))
    said = f"{page.verdict}: {page.total} of 100, cut {page.cut}. Written to {out}"
    return Outcome({**data, "file": out}, said)


def _content(kind: str, page: object, data: object) -> str:
    from trainer.cli.envelope import plain
    from trainer.report.html import page as html
    from trainer.report.page import Debrief
    from trainer.report.text import lines_of

    assert isinstance(page, Debrief)
    if kind == ".html":
        return html(page)
    if kind == ".txt":
        return "\n".join([*lines_of(page), ""])
    import json

    return json.dumps(plain(data), indent=2, ensure_ascii=True, allow_nan=False) + "\n"


def written(path: str, content: str) -> None:
    """On disk as UTF-8, or a TrainerError that says why not."""
    from trainer.cli.files import writing

    with writing(path) as target:
        target.write_text(content, encoding="utf-8", newline="\n")
