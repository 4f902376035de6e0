"""Reads the text of a file somebody wrote: of bearable size, UTF-8, no odd letters.

What is no such file ends in a TrainerError with a sentence. Knows files and letters; must know
nothing of what the text means.
"""

from __future__ import annotations

import re
import stat
from pathlib import Path

from trainer.base.errors import NotFoundError, TrainerError, quoted

SIZE_MOST = 1_000_000
UTF_8 = "UTF-8"

_UTF_16 = (b"\xff\xfe", b"\xfe\xff")
#: What YAML allows in a file; anything else is no text. The last ranges leave out surrogates.
_NOT_TEXT = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def read_text(path: str | Path, kind: str = "a file") -> str:
    """The text of the file without a byte order mark; line ends stay as they are.

    ``kind`` is what the caller wants, such as "a YAML file". Raises NotFoundError or TrainerError.
    """
    return text_of(content_of(path, kind), shown_name(path))


def shown_name(path: str | Path) -> str:
    """The path as it may be shown: without control characters."""
    text = str(path)
    return text if text.isprintable() else quoted(text, most=200)[1:-1]


def content_of(path: str | Path, kind: str = "a file", most: int = SIZE_MOST) -> bytes:
    """The bytes of an ordinary file of bearable size; nothing else is even opened."""
    path, name = Path(path), shown_name(path)
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise TrainerError("this is a folder", name, "name a file in it")
        if not stat.S_ISREG(status.st_mode):
            raise TrainerError("this is not an ordinary file", name, f"name {kind}")
        if status.st_size > most:
            raise _too_large(name, most)
        with path.open("rb") as file:
            content = file.read(most + 1)
    except (FileNotFoundError, NotADirectoryError, ValueError):
        raise NotFoundError("there is no such file", name, "check the name and folder") from None
    except OSError as error:
        reason = error.strerror or "it cannot be opened"
        raise TrainerError(f"the file cannot be read: {reason}", name, "check the path") from None
    if len(content) > most:
        raise _too_large(name, most)
    return content


def _too_large(name: str, most: int) -> TrainerError:
    return TrainerError(f"the file is larger than {most // 1000} kB", name, "split it")


def text_of(content: bytes, name: str, encoding: str = UTF_8) -> str:
    """The bytes as text without control characters; ``name`` is for the sentence of a refusal."""
    if content.startswith(_UTF_16):
        raise TrainerError("the file is written as UTF-16", name, "save it as UTF-8")
    try:
        text = content.decode("utf-8-sig" if encoding == UTF_8 else encoding)
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        what = f"the file is not {encoding} text"
        raise TrainerError(what, f"{name}:{line}", "save it as UTF-8") from None
    odd = _NOT_TEXT.search(text)
    if odd:
        line = text.count("\n", 0, odd.start()) + 1
        what = f"the character {quoted(odd.group())} is not text"
        raise TrainerError(what, f"{name}:{line}", "remove it")
    return text
