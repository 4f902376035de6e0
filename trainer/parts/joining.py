"""A place that only joins conductors: a strip of terminals, none joined to another.

Knows its terminals; must know nothing of what is landed on them.
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from trainer.circuit.elements import Elements
from trainer.parts.part import Part


class Splice(Part):
    """Terminals 1 to ``ways``; each joins what is landed on it and nothing else."""

    role: ClassVar[str] = "joining"
    kind: Literal["splice"] = "splice"
    ways: Annotated[int, Field(ge=1, le=12)] = 1

    def terminals(self) -> tuple[str, ...]:
        return tuple(str(way) for way in range(1, self.ways + 1))

    def write(self, name: str, into: Elements) -> None:
        """Nothing: a terminal is a node already."""
