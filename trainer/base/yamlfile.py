"""Reads a YAML file somebody wrote, and says everything that is wrong with it at once.

``read`` gives plain data, ``load`` a model of it. A hostile or broken file costs little time
and memory and ends in a TrainerError, never a traceback. The text comes from
``textfile``; the sentences about models are in ``wording``, the safe part of YAML in ``yamltree``.
"""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel, ValidationError

from trainer.base.errors import Fault, Faults
from trainer.base.textfile import read_text, shown_name
from trainer.base.yamltree import Document, build

Model = TypeVar("Model", bound=BaseModel)

__all__ = ["Document", "load", "load_with_document", "read", "read_all", "validated"]


def read(path: str | Path) -> Document:
    """The plain data of the file. Raises Faults, NotFoundError or TrainerError."""
    document = _gather(Path(path))
    if document.faults:
        raise Faults(document.faults)
    return document


def read_all(path: str | Path) -> Document:
    """As ``read``, keeping faults of form in the document, to be told with those of content."""
    return _gather(Path(path))


def load(path: str | Path, model: type[Model]) -> Model:
    """The file as a ``model``. Raises Faults with everything wrong in it, form and content."""
    return load_with_document(path, model)[0]


def load_with_document(path: str | Path, model: type[Model]) -> tuple[Model, Document]:
    """As ``load``, with the document that knows the line of every entry."""
    document = _gather(Path(path))
    return validated(document, model), document


def validated(document: Document, model: type[Model], folder: Path | None = None) -> Model:
    """The document as a ``model``; its own faults and the model's are raised together.

    ``folder`` is for a model that names files beside its own.
    """
    from trainer.base.wording import faults_of

    faults = list(document.faults)
    try:
        record = model.model_validate(document.data, context={"folder": folder})
    except ValidationError as error:
        faults += faults_of(error, model, document)
    if faults:
        raise Faults(sorted(faults, key=lambda fault: _line(fault, document.name)))
    return record


def _line(fault: Fault, name: str) -> int:
    number = fault.where[len(name) + 1 :].split(" ", 1)[0]
    return int(number) if number.isdigit() else 0


def _gather(path: Path) -> Document:
    """The document with its faults still in it; raises when there is no data to go on with."""
    name = shown_name(path)
    document = build(read_text(path, "a YAML file"), name)
    if document.faults or isinstance(document.data, dict):
        return document
    what = "the file is empty" if document.data is None else "the file is not keys with values"
    raise Faults([Fault(name, what, "key: value, a line for each")])
