"""What a command hands back, and the one JSON object printed for it with ``--json``.

The object always has ``ok``, ``data``, ``warnings`` and ``errors``; a number that does not
exist is null, never NaN. Knows no command and no physics.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, is_dataclass
from pathlib import Path
from typing import Any

from trainer.base.errors import Faults, TrainerError


@dataclass
class Outcome:
    """The result of a command: ``data`` for programs (SI), ``text`` for people.

    ``text`` is a string or anything rich can print. ``exit_code`` other than 0 means the
    command did its work and the answer is no.
    """

    data: Any
    text: object = ""
    warnings: list[str] = field(default_factory=list)
    exit_code: int = 0


def succeeded(outcome: Outcome) -> dict[str, Any]:
    """The envelope of a command that did its work."""
    return {
        "ok": outcome.exit_code == 0,
        "data": plain(outcome.data),
        "warnings": list(outcome.warnings),
        "errors": [],
    }


def failed(error: TrainerError) -> dict[str, Any]:
    """The envelope of a command that could not do its work; an error for every fault."""
    if isinstance(error, Faults):
        errors = [_entry("fault", f.what, f.where, _write(f.write)) for f in error.faults]
    else:
        errors = [_entry(error.code, error.what, error.where, error.hint)]
    return {"ok": False, "data": None, "warnings": [], "errors": errors}


def text_of(envelope: Mapping[str, Any]) -> str:
    """The envelope as JSON: plain ASCII, so that no console's encoding can spoil it."""
    import json

    return json.dumps(envelope, indent=2, ensure_ascii=True, allow_nan=False)


def plain(value: Any) -> Any:
    """The value as JSON knows it: arrays to lists, infinities and NaN to null."""
    if value is None or isinstance(value, (bool, int, str)):
        return value
    if isinstance(value, float):
        return float(value) if math.isfinite(value) else None
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        return plain(asdict(value))
    if hasattr(value, "tolist"):
        return plain(value.tolist())
    if isinstance(value, Path):
        return str(value)
    if isinstance(value, (list, tuple, set, frozenset)):
        return [plain(item) for item in value]
    raise TypeError(f"{type(value).__name__} has no place in a command's data")


def _entry(code: str, message: str, where: str, hint: str) -> dict[str, str]:
    return {"code": code, "message": message, "where": where, "hint": hint}


def _write(instead: str) -> str:
    return f"write {instead}" if instead else ""
