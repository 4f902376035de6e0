"""The record of a cut score: how, when, by how many and how surely it was set.

Its fields beside ``cut`` are those a rubric wants under ``cut_set``. Knows form only; the date is
text that the caller gives.
"""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field, PlainSerializer

from trainer.base.errors import FieldError, quoted
from trainer.base.fields import Record

_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
#: A number without an exponent, which could ask for any amount of memory, or a fraction.
_WRITTEN = re.compile(r"-?[0-9]{1,40}(\.[0-9]{1,40})?|-?[0-9]{1,400}/0*[1-9][0-9]{0,400}")
#: Digits of a decimal that a reader of floats gives back unchanged.
_DIGITS = 15


def _date(text: str) -> str:
    found = re.fullmatch(r"([0-9]{4})-([0-9]{2})-([0-9]{2})", text)
    year, month, day = (int(part) for part in found.groups()) if found else (0, 0, 0)
    leap = month == 2 and year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    if not year or not 1 <= month <= 12 or not 1 <= day <= _DAYS[month - 1] + leap:
        hint = "a day of the calendar as YYYY-MM-DD, such as 2026-03-31"
        raise FieldError(f"{quoted(text)} is no date", hint=hint)
    return text


def _cut(given: Any) -> Fraction:
    hint = "points of 100, such as 69 or 51.5 or 311/6"
    text = str(given)
    if isinstance(given, bool) or not _WRITTEN.fullmatch(text):
        raise FieldError(f"{quoted(text)} is no cut", hint=hint)
    value = Fraction(text)
    if not 0 <= value <= 100:
        raise FieldError(f"{quoted(given)} is out of range", hint=hint)
    return value


Date = Annotated[str, AfterValidator(_date)]
Cut = Annotated[Fraction, BeforeValidator(_cut), PlainSerializer(str, return_type=str)]


class CutRecord(Record):
    """A cut with its story. ``cut`` and ``se`` are points of 100; ``n`` is what it rests on."""

    cut: Cut
    method: Annotated[str, Field(min_length=1, max_length=300)]
    date: Date
    judges: Annotated[int, Field(ge=1, le=500)] | None = None
    #: Items judged, or learners rated.
    n: Annotated[int, Field(ge=1, le=100_000)] | None = None
    se: Annotated[float, Field(ge=0.0, le=100.0)] | None = None

    @property
    def cut_set(self) -> dict[str, Any]:
        """What stands under ``cut_set`` of a rubric."""
        return self.model_dump(exclude={"cut"}, exclude_none=True)

    @property
    def written_cut(self) -> int | float | str:
        """The cut as a file can hold it exactly: whole, decimal, or a fraction as text."""
        if self.cut.denominator == 1:
            return self.cut.numerator
        decimal = float(f"{float(self.cut):.{_DIGITS}g}")
        text = repr(decimal)
        return decimal if "e" not in text and Fraction(text) == self.cut else str(self.cut)


def record_text(record: CutRecord) -> str:
    """The record as YAML."""
    import yaml

    head = (
        "# A cut score with its story. In a rubric, write cut as it stands here and the rest\n"
        f"# under cut_set. The cut is {float(record.cut):.4f} points of 100.\n"
    )
    data = {"cut": record.written_cut, **record.cut_set}
    method = data.pop("method", None)
    text = yaml.safe_dump(data, sort_keys=False, allow_unicode=True)
    # in quotes, since a reader may take a word such as 0E0 for a number
    quoted = yaml.safe_dump({"method": method}, allow_unicode=True, default_style='"')
    return head + text + (quoted.replace('"method":', "method:", 1) if method is not None else "")


def load_record(path: str | Path) -> CutRecord:
    """The record in a file. Raises Faults with everything wrong in it."""
    from trainer.base.yamlfile import load

    return load(path, CutRecord)
