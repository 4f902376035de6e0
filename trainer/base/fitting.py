"""Faults of form and faults of fit told together: for the wrap validator of a file's record.

Form is what pydantic sees (keys, types, ranges); fit is whether names in one place are there in
another, which is looked at on the plain data so that it is told even where the form has faults.
Knows pydantic; must know no file's content.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from pydantic import BaseModel, ModelWrapValidatorHandler, ValidationError
from pydantic_core import InitErrorDetails

from trainer.base.errors import FieldFaults, Misfit

Model = TypeVar("Model", bound=BaseModel)


def form_and_fit(
    cls: type[Model],
    data: Any,
    handler: ModelWrapValidatorHandler[Model],
    misfits: Callable[[Any], Sequence[Misfit]],
) -> Model:
    """The record. Raises ValidationError or FieldFaults with everything wrong in the data."""
    if isinstance(data, cls):
        return data
    apart = misfits(data)
    unfit = FieldFaults(apart) if apart else None
    try:
        record = handler(data)
    except ValidationError as error:
        raise _joined(cls.__name__, error, unfit, data) from None
    if unfit is not None:
        raise unfit
    return record


def _joined(
    title: str, error: ValidationError, unfit: FieldFaults | None, data: Any
) -> ValidationError:
    """The faults of form with the faults of fit as one complaint more."""
    details = [
        InitErrorDetails(type=d["type"], loc=d["loc"], input=d["input"], ctx=d.get("ctx", {}))
        for d in error.errors(include_url=False)
    ]
    if unfit is not None:
        details.append(InitErrorDetails(type="value_error", input=data, ctx={"error": unfit}))
    return ValidationError.from_exception_data(title, details)
