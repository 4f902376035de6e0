"""The scenario file: what a person is sent to do, on which unit, and what its variants draw.

Knows form; what fits the layout is in fit.py. Must know no act that was done and no mark.
"""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Annotated, Any, Literal, Self

from pydantic import (
    Field,
    ModelWrapValidatorHandler,
    PrivateAttr,
    ValidationInfo,
    model_validator,
)

from trainer.base.fields import Record, Seconds
from trainer.base.fitting import form_and_fit
from trainer.scenario.change import Change, Fitted, Name, formed
from trainer.scenario.dials import FaultId, HeldVolts, Variants
from trainer.scenario.readings import LONGEST_S, Reading, Symptom
from trainer.unit.layout import Layout
from trainer.unit.own_layout import is_own, layout_called

#: Version of the file's form that this program writes; older ones are brought up in upgrades.py.
VERSION = 1
Sentence = Annotated[str, Field(min_length=1, max_length=600)]
Story = Annotated[str, Field(min_length=1, max_length=3000)]
_BARE = ("bare name of a file", "small letters, digits and -, as in make-it-dead")
FileName = Annotated[str, formed(r"[a-z0-9][a-z0-9-]{0,60}", *_BARE)]
FileNameOrNone = Annotated[str, formed(r"|[a-z0-9][a-z0-9-]{0,60}", *_BARE)]
State = Literal["as found", "proved dead"]


Shows = Annotated[list[Symptom], Field(min_length=1, max_length=4)]


class Start(Record):
    """How the unit is found: verbs done to parts, covers off, and changes of the factory's work.

    ``set`` changes values of parts, ``wiring`` anything. ``state`` "proved dead": somebody with
    the right to say so has made it dead, and the job begins there.
    """

    state: State = "as found"
    hands: dict[Name, Name] = {}
    #: With it, the hands were just done and the unit has been on its own for so long.
    running_for: Annotated[Seconds, Field(le=60.0)] | None = None
    set: dict[Name, dict[str, Any]] = {}
    covers_off: Annotated[list[Name], Field(max_length=20)] = []
    wiring: Change = Change()


class Plant(Record):
    """Planted conditions, and direct volts left on capacitors."""

    faults: Annotated[list[FaultId], Field(max_length=6)] = []
    charges: dict[Name, HeldVolts] = {}


class Tier(Record):
    """Hints in three tiers: where to look, what to think of, what to do."""

    look: Sentence
    think: Sentence
    do: Sentence


class Point(Record):
    """Something to talk about afterwards, and where it is written."""

    say: Sentence
    source: Sentence


class Proof(Record):
    """How the wanted unit is energised to prove it: hands, then a call, then time to settle."""

    hands: dict[Name, Name] = {}
    call: Name = "call"
    after: Annotated[Seconds, Field(le=LONGEST_S)] = 2.0
    #: Longest from the shaft's first movement to speed. Invented: plain units here take 0.3 s.
    within: Annotated[Seconds, Field(le=60.0)] = 0.5
    #: False for a job whose unit is not meant to start at all.
    starts: bool = True


class Scenario(Record):
    """One job. ``target`` and ``alternates`` are changes of the factory's wiring."""

    scenario: Literal[1]
    title: Sentence
    level: Annotated[int, Field(ge=1, le=6)]
    setting: Sentence
    briefing: Story
    #: One that ships, or a file in the scenario's folder or below.
    layout: Annotated[str, Field(min_length=1, max_length=120)]
    start: Start = Start()
    plant: Plant = Plant()
    #: What shows each condition that may be planted.
    symptoms: Annotated[dict[FaultId, Shows], Field(max_length=24)] = {}
    #: Parts that lie ready, by the name they have once they are fitted.
    tray: Annotated[dict[Name, Fitted], Field(max_length=20)] = {}
    tools: Annotated[list[Name], Field(max_length=30)] = []
    target: Change = Change()
    alternates: Annotated[dict[Name, Change], Field(max_length=12)] = {}
    #: Pairs of terminals that may change places.
    symmetries: Annotated[list[tuple[Name, Name]], Field(max_length=30)] = []
    proof: Proof = Proof()
    readings: Annotated[list[Reading], Field(max_length=30)] = []
    rubric: FileName = "standard"
    #: Percent to pass; without it the rubric's cut stands.
    pass_line: Annotated[float, Field(ge=0.0, le=100.0)] | None = None
    time: Seconds = 1800.0
    hints: Tier
    debrief: Annotated[list[Point], Field(min_length=1, max_length=20)]
    #: File of acts in scenarios/moves that does the job as a careful hand would.
    model: FileNameOrNone = ""
    variants: Variants = Variants()
    #: Where the file lies; an own layout is sought from there.
    _folder: Path | None = PrivateAttr(None)

    @model_validator(mode="wrap")
    @classmethod
    def _fits(
        cls, data: Any, handler: ModelWrapValidatorHandler[Self], info: ValidationInfo[Any]
    ) -> Self:
        """Form first, then the fit of every name, even where the form has faults."""
        from trainer.scenario.fit import misfits

        folder = (info.context or {}).get("folder")
        record = form_and_fit(cls, data, handler, lambda plain: misfits(plain, folder))
        if folder is not None:
            record._folder = folder
        return record

    @property
    def site(self) -> Layout:
        """The layout, read anew. Raises TrainerError."""
        return layout_called(self.layout, self._folder)

    @property
    def digest(self) -> str:
        """Names this content whatever the order of its keys and whichever defaults are written."""
        plain = self.model_dump(mode="json", by_alias=True, exclude_defaults=True)
        if is_own(self.layout):
            plain["layout_digest"] = self.site.digest
        text = json.dumps(plain, sort_keys=True)
        return hashlib.sha256(text.encode()).hexdigest()

    @property
    def plantable(self) -> list[str]:
        """Every condition that some variant may have."""
        drawn = [
            fault
            for dial in self.variants.dials.values()
            if dial.draw == "fault"
            for fault in dial.choices
            if fault != "none"
        ]
        return list(dict.fromkeys([*self.plant.faults, *drawn]))
