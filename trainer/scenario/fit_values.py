"""Whether values in a scenario fit the kind of part they are for, on plain data.

Knows the catalogue's electrical records; must know no layout and build no circuit.
"""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches
from typing import Any

from pydantic import ValidationError

from trainer.base.errors import FieldError, Misfit, quoted
from trainer.parts import PARTS
from trainer.unit.catalogue import electrical, type_of

Path = tuple[str | int, ...]


def set_misfits(
    path: Path, kind: str, own: dict[str, Any], fields: dict[str, Any]
) -> Iterator[Misfit]:
    """Fields of a part that it has not, or values they do not take."""
    try:
        electrical(kind, {**own, **fields})
    except ValidationError as error:
        for detail in error.errors(include_url=False):
            at = [p for p in detail["loc"] if p in fields][:1]
            yield Misfit((*path, *at), *_worded(kind, dict(detail)))
    except (TypeError, ValueError) as error:
        yield Misfit(path, f"{quoted(kind)}: {str(error)[:120]}", _listed(kind))


def field_misfits(path: Path, kind: str, dial: dict[str, Any]) -> Iterator[Misfit]:
    """As ``set_misfits`` for the two ends of a dial that draws a value."""
    field, between = dial.get("field"), dial.get("between")
    if not isinstance(field, str) or not isinstance(between, list):
        return
    for end in between[:2]:
        found = list(set_misfits((), kind, {}, {field: end}))
        if found:
            yield Misfit((*path, "between"), found[0].what, found[0].write)
            return


def _worded(kind: str, detail: dict[str, Any]) -> tuple[str, str]:
    """What is wrong and what to write instead."""
    raised = detail.get("ctx", {}).get("error")
    if isinstance(raised, FieldError):
        return f"{quoted(kind)}: {raised.what}", raised.hint
    name = str(detail["loc"][-1]) if detail["loc"] else ""
    if detail["type"] == "extra_forbidden":
        near = get_close_matches(name[:40], _fields(kind), n=1)
        return f"{quoted(kind)} has no field {quoted(name)}", near[0] if near else _listed(kind)
    return f"{quoted(kind)}: {detail['msg']}", str(detail.get("ctx", {}).get("expected", ""))


def _fields(kind: str) -> list[str]:
    part = type_of(kind).part
    return [] if part is None else [n for n in PARTS[part["kind"]].model_fields if n != "kind"]


def _listed(kind: str) -> str:
    """What may be set on a type, in a line."""
    names = _fields(kind)
    return f"one of {', '.join(names)}" if names else "nothing: it only joins conductors"
