"""Reads a YAML file somebody wrote, and says everything that is wrong with it at once.

``read`` gives plain data, ``load`` a model of it. A hostile or broken file costs little time
and memory and ends in a TrainerError, never a traceback. Knows files; the sentences about
models are in ``wording``, the safe part of YAML in ``yamltree``.
"""

from __future__ import annotations

import re
import stat
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel, ValidationError

from trainer.base.errors import Fault, Faults, NotFoundError, TrainerError, quoted
from trainer.base.yamltree import Document, build

SIZE_MOST = 1_000_000

Model = TypeVar("Model", bound=BaseModel)

_UTF_16 = (b"\xff\xfe", b"\xfe\xff")
#: What YAML allows in a file; anything else is no text. The last ranges leave out surrogates.
_NOT_TEXT = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

__all__ = ["SIZE_MOST", "Document", "load", "load_with_document", "read", "read_all", "validated"]


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
    name = _name(path)
    document = build(_text(_content(path, name), name), name)
    if document.faults or isinstance(document.data, dict):
        return document
    what = "the file is empty" if document.data is None else "the file is not keys with values"
    raise Faults([Fault(name, what, "key: value, a line for each")])


def _content(path: Path, name: str) -> bytes:
    """The bytes of an ordinary file of bearable size; nothing else is even opened."""
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise TrainerError("this is a folder", name, "name a file in it")
        if not stat.S_ISREG(status.st_mode):
            raise TrainerError("this is not an ordinary file", name, "name a YAML file")
        if status.st_size > SIZE_MOST:
            raise _too_large(name)
        with path.open("rb") as file:
            content = file.read(SIZE_MOST + 1)
    except (FileNotFoundError, NotADirectoryError, ValueError):
        raise NotFoundError("there is no such file", name, "check the name and folder") from None
    except OSError as error:
        reason = error.strerror or "it cannot be opened"
        raise TrainerError(f"the file cannot be read: {reason}", name, "check the path") from None
    if len(content) > SIZE_MOST:
        raise _too_large(name)
    return content


def _too_large(name: str) -> TrainerError:
    return TrainerError(f"the file is larger than {SIZE_MOST // 1000} kB", name, "split it")


def _text(content: bytes, name: str) -> str:
    """The bytes as UTF-8 text without control characters."""
    if content.startswith(_UTF_16):
        raise TrainerError("the file is written as UTF-16", name, "save it as UTF-8")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        what = "the file is not UTF-8 text"
        raise TrainerError(what, f"{name}:{line}", "save it as UTF-8") from None
    odd = _NOT_TEXT.search(text)
    if odd:
        line = text.count("\n", 0, odd.start()) + 1
        what = f"the character {quoted(odd.group())} is not text"
        raise TrainerError(what, f"{name}:{line}", "remove it")
    return text


def _name(path: Path) -> str:
    """The path as it may be shown: without control characters."""
    text = str(path)
    return text if text.isprintable() else quoted(text, most=200)[1:-1]
