"""Whether values in a scenario fit the kind of part they are for, on plain data.

Knows the catalogue's electrical records; must know no layout and build no circuit.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pydantic import ValidationError

from trainer.base.errors import FieldError, Misfit, quoted
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
            raised = detail.get("ctx", {}).get("error")
            what = raised.what if isinstance(raised, FieldError) else str(detail["msg"])
            hint = raised.hint if isinstance(raised, FieldError) else _fields(kind)
            yield Misfit((*path, *at), f"{quoted(kind)}: {what}", hint)
    except (TypeError, ValueError) as error:
        yield Misfit(path, f"{quoted(kind)}: {str(error)[:120]}", _fields(kind))


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


def _fields(kind: str) -> str:
    """What may be set on a type, in a line."""
    part = type_of(kind).part
    if part is None:
        return "nothing: it is only a place to join conductors"
    from trainer.parts import PARTS

    return "one of " + ", ".join(n for n in PARTS[part["kind"]].model_fields if n != "kind")
