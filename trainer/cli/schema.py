"""Prints the JSON Schema of a kind of file, for editors. Knows the kinds; decides nothing."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

import typer
from pydantic import BaseModel

from trainer.base.errors import UsageError, quoted
from trainer.cli.envelope import Outcome

#: Where the form of a schema itself is written down.
DIALECT = "https://json-schema.org/draft/2020-12/schema"


def command(
    kind: Annotated[
        str, typer.Argument(help="scenario, layout, study, moves or rubric.")
    ] = "scenario",
) -> Outcome:
    """Print the JSON Schema of a kind of file."""
    if kind not in KINDS:
        hint = f"one of {', '.join(KINDS)}"
        raise UsageError(f"there is no schema of {quoted(kind)}", hint=hint)
    import json

    schema = schema_of(kind)
    return Outcome(schema, json.dumps(schema, indent=2, ensure_ascii=True))


def schema_of(kind: str) -> dict[str, Any]:
    """What a file of this kind looks like, as written (quantities are text with a unit)."""
    from trainer.base.jsonschema import written

    schema = written(KINDS[kind]())
    return {"$schema": DIALECT, "title": f"condenser-bench {kind}", **schema}


def _scenario() -> type[BaseModel]:
    from trainer.scenario.model import Scenario

    return Scenario


def _layout() -> type[BaseModel]:
    from trainer.unit.layout import Layout

    return Layout


def _study() -> type[BaseModel]:
    from trainer.study.model import Study

    return Study


def _moves() -> type[BaseModel]:
    from trainer.session.acts import Moves

    return Moves


def _rubric() -> type[BaseModel]:
    from trainer.assess.rubric import Rubric

    return Rubric


KINDS: dict[str, Callable[[], type[BaseModel]]] = {
    "rubric": _rubric, "scenario": _scenario, "layout": _layout, "study": _study, "moves": _moves,
}  # fmt: skip
