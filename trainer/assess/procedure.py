"""The practice behind every code: what it is called, what is done, why, and where it is written.

Reads assets/procedure.yaml. Knows words; must know no attempt and no weight.
"""

from __future__ import annotations

from functools import cache
from typing import Annotated, Literal

from pydantic import Field

from trainer.assess.marks import Severity
from trainer.base import yamlfile
from trainer.base.fields import Record
from trainer.base.places import assets_dir

Line = Annotated[str, Field(min_length=1, max_length=400)]


class Practice(Record):
    """One step, point of workmanship or critical error in words."""

    title: Line
    practice: Line
    source: Line
    severity: Severity = "major"


class Procedure(Record):
    """The file assets/procedure.yaml; ``anchors`` are moments that steps are judged at."""

    procedure: Literal[1]
    steps: dict[str, Practice]
    anchors: dict[str, Line]
    workmanship: dict[str, Practice]
    critical: dict[str, Practice]

    def words(self, code: str) -> Practice:
        """Of any code. Raises KeyError for one that is not there."""
        for table in (self.steps, self.workmanship, self.critical):
            if code in table:
                return table[code]
        return Practice(
            title=self.anchors[code], practice=self.anchors[code], source="common practice"
        )


@cache
def procedure() -> Procedure:
    return yamlfile.load(assets_dir() / "procedure.yaml", Procedure)
