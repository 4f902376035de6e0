"""What can go wrong and is expected: an error says what, where, and what to do next.

Knows no file format and no command; must not print. Exit codes are the shell's view of an
error: 1 a check ran and the answer is no, 2 bad usage, 3 input invalid, 4 not found, 5 refused by
policy, 6 in the way of something there, 7 done in part, 70 a mistake of the program itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

NO = 1
BAD_USAGE = 2
INVALID_INPUT = 3
NOT_FOUND = 4
POLICY = 5
CONFLICT = 6
PARTIAL = 7
INTERNAL = 70
INTERRUPTED = 130

#: Longest piece of somebody's text that a message repeats.
QUOTE_MOST = 60
#: Faults spelt out in one message; the rest is counted.
FAULTS_SHOWN = 200


class TrainerError(Exception):
    """An expected failure. ``what`` is wrong, ``where`` it is, ``hint`` what to do next."""

    exit_code = INVALID_INPUT
    code = "invalid"

    def __init__(self, what: str, where: str = "", hint: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.where = where
        self.hint = hint

    def __str__(self) -> str:
        place = f"{self.where}  " if self.where else ""
        advice = f"; {self.hint}" if self.hint else ""
        return f"{place}{self.what}{advice}"


class UsageError(TrainerError):
    """The command was asked for something it does not offer."""

    exit_code = BAD_USAGE
    code = "usage"


class NotFoundError(TrainerError):
    """A file, study or name that is not there."""

    exit_code = NOT_FOUND
    code = "not_found"


class NotVerifiedError(TrainerError):
    """A check ran and the answer is no: the file is not what its maker wrote."""

    exit_code = NO
    code = "not_verified"


class PolicyError(TrainerError):
    """A rule of the class forbids it: closed, not released, no attempt left."""

    exit_code = POLICY
    code = "policy"


class ConflictError(TrainerError):
    """Something of that name is there, or somebody else has it."""

    exit_code = CONFLICT
    code = "conflict"


class FieldError(TrainerError, ValueError):
    """A value that cannot be used; raised inside a model's validator, where its place is unknown.

    ``hint`` is the text to write instead, without the word "write".
    """


@dataclass(frozen=True)
class Misfit:
    """A fault at ``path`` below the record that noticed it, for use in ``FieldFaults``."""

    path: tuple[str | int, ...]
    what: str
    write: str = ""


class FieldFaults(ValueError):
    """Several faults found by one validator of a model, each at its own place below it."""

    def __init__(self, misfits: Sequence[Misfit]) -> None:
        super().__init__("; ".join(misfit.what for misfit in misfits))
        self.misfits = tuple(misfits)


@dataclass(frozen=True)
class Fault:
    """One thing wrong in a file: ``file:line  key.path``, what it is, what to write instead."""

    where: str
    what: str
    write: str = ""

    def __str__(self) -> str:
        advice = f"; write {self.write}" if self.write else ""
        return f"{self.where}  {self.what}{advice}"


class Faults(TrainerError):
    """Everything wrong in a file, gathered so that it can be mended in one go."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = list(faults)
        count = len(self.faults)
        super().__init__(f"{count} fault{'' if count == 1 else 's'} found")

    def __str__(self) -> str:
        lines = [str(fault) for fault in self.faults[:FAULTS_SHOWN]]
        hidden = len(self.faults) - len(lines)
        if hidden > 0:
            lines.append(f"... and {hidden} more")
        return "\n".join(lines)


def quoted(text: object, most: int = QUOTE_MOST) -> str:
    """Somebody's text for a message: cut to ``most``, control characters escaped."""
    plain = str(text)
    cut = plain[:most] + ("..." if len(plain) > most else "")
    return "'" + "".join(c if c.isprintable() else _escaped(c) for c in cut) + "'"


def _escaped(character: str) -> str:
    return character.encode("unicode_escape", "backslashreplace").decode("ascii")
