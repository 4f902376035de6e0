"""Turns a model's complaints into plain sentences with file, line and what to write.

The one place that words the faults of a file. Knows the kinds of complaint pydantic makes;
must know no model in particular.
"""

from __future__ import annotations

from difflib import get_close_matches
from typing import Any

from pydantic import BaseModel, ValidationError

from trainer.base import schema
from trainer.base.errors import FAULTS_SHOWN, Fault, FieldError, FieldFaults, quoted
from trainer.base.schema import Place
from trainer.base.yamltree import Document

#: Names worth comparing are short; longer ones are nobody's slip of the pen.
_NAME_MOST = 40
_KEYS_LISTED = 40

_PLAIN: dict[str, tuple[str, str]] = {
    "string_type": ("must be text", "it in quotes"),
    "int_type": ("must be a whole number", "a whole number"),
    "int_parsing": ("must be a whole number", "a whole number"),
    "int_from_float": ("must be a whole number", "a whole number"),
    "int_parsing_size": ("is too large a number", "a smaller whole number"),
    "float_type": ("must be a number", "a number"),
    "float_parsing": ("must be a number", "a number"),
    "finite_number": ("must be a number that exists", "a finite number"),
    "bool_type": ("must be true or false", "true or false"),
    "bool_parsing": ("must be true or false", "true or false"),
    "list_type": ("must be a list", "- item, a line for each"),
    "tuple_type": ("must be a list", "- item, a line for each"),
    "set_type": ("must be a list", "- item, a line for each"),
    "dict_type": ("must be keys with values", "key: value, indented below"),
    "mapping_type": ("must be keys with values", "key: value, indented below"),
    "model_type": ("must be keys with values", "key: value, indented below"),
    "model_attributes_type": ("must be keys with values", "key: value, indented below"),
    "none_required": ("must be empty", "nothing"),
}

#: Complaints about bounds, worded with the bound itself.
_BOUNDS: dict[str, str] = {
    "greater_than": "must be above {gt}",
    "greater_than_equal": "must be at least {ge}",
    "less_than": "must be below {lt}",
    "less_than_equal": "must be at most {le}",
    "too_short": "must have at least {min_length} entries",
    "too_long": "must have at most {max_length} entries",
    "string_too_short": "must have at least {min_length} letters",
    "string_too_long": "must have at most {max_length} letters",
    "string_pattern_mismatch": "must look like {pattern}",
}


def faults_of(error: ValidationError, model: type[BaseModel], document: Document) -> list[Fault]:
    """Every complaint as a fault, by line; those about spoilt data are left out."""
    placed: list[tuple[Place, Place, dict[str, Any]]] = []
    for detail in error.errors(include_url=False):
        parent = schema.walk(model, detail["loc"][:-1], document.data)
        place = schema.walk(model, detail["loc"], document.data)
        if not document.is_spoilt(place.path):
            placed.append((parent, place, dict(detail)))
    placed.sort(key=lambda item: document.line_of(item[1].path))
    faults: list[Fault] = []
    for number, (parent, place, complaint) in enumerate(placed):
        known = parent.keys if number < FAULTS_SHOWN else []
        faults += _worded(place, known, complaint, document)
    return list(dict.fromkeys(faults))


def _worded(
    place: Place, known: list[str], detail: dict[str, Any], document: Document
) -> list[Fault]:
    """The faults of one complaint at its place; ``known`` are the keys its record has."""
    kind, context = detail["type"], detail.get("ctx", {})
    raised = context.get("error")
    if isinstance(raised, FieldFaults):
        return [
            document.fault((*place.path, *misfit.path), misfit.what, misfit.write)
            for misfit in raised.misfits
        ]
    if kind == "extra_forbidden":
        what = "is not a key known here"
        return [document.fault(place.path, what, _near(str(place.path[-1]), known))]
    if kind in ("union_tag_not_found", "union_tag_invalid"):
        return [_union(place, kind, context, document)]
    what, write = _sentence(place, detail, raised)
    return [document.fault(place.path, what, write)]


def _sentence(place: Place, detail: dict[str, Any], raised: Any) -> tuple[str, str]:
    """What is wrong and what to write, for a complaint about a single value."""
    kind, context, given = detail["type"], detail.get("ctx", {}), detail.get("input")
    if isinstance(raised, FieldError):
        return raised.what, raised.hint
    if raised is not None:
        return str(raised), place.example
    if kind == "missing":
        return "is missing", _entry(place)
    if kind in ("literal_error", "enum"):
        return f"{quoted(given)} is not one of the words allowed", context.get("expected", "")
    if kind in _PLAIN:
        what, write = _PLAIN[kind]
        return f"{_shown(given)} {what}", place.example or write
    if kind in _BOUNDS:
        return f"{_shown(given)} {_BOUNDS[kind].format(**context)}", place.example
    return f"{_shown(given)}: {detail['msg']}", place.example


def _entry(place: Place) -> str:
    key = place.path[-1] if place.path else "it"
    if isinstance(key, int):
        return place.example or "an entry more in the list"
    return f"{key}: {place.example}" if place.example else f"{key}: and its value"


def _shown(given: Any) -> str:
    if given is None:
        return "nothing"
    if isinstance(given, dict):
        return "a group of keys"
    return "a list" if isinstance(given, list) else quoted(given)


def _union(place: Place, kind: str, context: dict[str, Any], document: Document) -> Fault:
    """A record whose telling key (``kind``) is missing or unknown."""
    key = str(context.get("discriminator", "kind")).strip("'")
    if kind == "union_tag_not_found":
        write = f"{key}: one of {_listed(place.tags)}"
        return document.fault((*place.path, key), "is missing", write)
    tag = str(context.get("tag", ""))
    what = f"{quoted(tag)} is not a {key} known here"
    return document.fault((*place.path, key), what, _near(tag, place.tags))


def _near(name: str, known: list[str]) -> str:
    """The known name most like this one, or all of them."""
    if not known:
        return "only keys that belong here"
    if len(name) <= _NAME_MOST:
        close = get_close_matches(name.lower(), known, n=1)
        if close:
            return close[0]
    return "one of " + _listed(known)


def _listed(names: list[str]) -> str:
    shown = ", ".join(names[:_KEYS_LISTED])
    return shown + (", ..." if len(names) > _KEYS_LISTED else "")
