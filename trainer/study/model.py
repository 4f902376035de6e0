"""What a study file holds: parts, wires, acts, and what to watch.

Form only; whether wires and acts fit the parts is ``checks``. Knows no solver and no file.
"""

from __future__ import annotations

from functools import reduce
from operator import or_
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import (
    ConfigDict,
    Field,
    ModelWrapValidatorHandler,
    model_validator,
)

from trainer.base.errors import FieldError
from trainer.base.fields import Metres, NonNegativeOhms, NonNegativeSeconds, Ohms, Quantity, Record
from trainer.base.fitting import form_and_fit
from trainer.parts import PARTS, Part
from trainer.parts.conductors import Gauge, Workmanship, joint_ohms, ohms_of
from trainer.parts.plausible import Plausible
from trainer.study.checks import VERBS, misfits

if TYPE_CHECKING:
    AnyPart = Part
else:
    AnyPart = Annotated[reduce(or_, PARTS.values()), Field(discriminator="kind")]


class Wire(Plausible):
    """One conductor between two terminals with a joint at each end.

    Gauge and length by default: 2 ft of 10 AWG inside a unit, invented. ``ohms`` replaces both.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)

    begin: str = Field(alias="from")
    end: str = Field(alias="to")
    gauge: Gauge = "10 AWG"
    length: Metres = 0.61
    ohms: Ohms | None = None
    workmanship: Workmanship = "good"
    #: Added at the worse of its two joints.
    joint: NonNegativeOhms = 0.0

    @property
    def total_ohms(self) -> float:
        """Conductor, one good joint, and the one made as ``workmanship`` says."""
        run = ohms_of(self.gauge, self.length) if self.ohms is None else self.ohms
        return run + joint_ohms("good") + joint_ohms(self.workmanship) + self.joint


class Act(Plausible):
    """At a time, one verb on one part: ``close: disconnect`` or ``call: thermostat``."""

    at: NonNegativeSeconds = 0.0
    open: str | None = None
    close: str | None = None
    call: str | None = None
    uncall: str | None = None
    cool: str | None = None
    heat: str | None = None
    utility: str | None = None
    alternate: str | None = None
    defrost: str | None = None
    end_defrost: str | None = None

    @model_validator(mode="after")
    def _one_verb(self) -> Act:
        if len(self._given()) != 1:
            found = " and ".join(self._given()) or "nothing"
            raise FieldError(
                f"an act does one thing to one part; this one does {found}",
                hint="{at: 0 s, close: disconnect}",
            )
        return self

    def _given(self) -> list[str]:
        return [verb for verb in VERBS if getattr(self, verb) is not None]

    @property
    def verb(self) -> str:
        return self._given()[0]

    @property
    def part(self) -> str:
        return str(getattr(self, self.verb))


class Watch(Record):
    """Which part a report looks at; each by default the only one of its role."""

    supply: str | None = None
    compressor: str | None = None
    fan: str | None = None
    relay: str | None = None
    start_capacitor: str | None = None
    run_capacitor: str | None = None
    contactor: str | None = None
    soft_starter: str | None = None


#: A start is over long before; what takes minutes is the running layer's. Invented.
LONGEST_S = 120.0


class Study(Record):
    """A circuit to energise. Raises every fault of form and of fit together."""

    study: Literal[1]
    title: str
    about: str = ""
    parts: dict[str, AnyPart]
    wires: list[Wire] = []
    acts: list[Act] = []
    watch: Watch = Watch()
    until: Annotated[float, Quantity("s", least=0.0, most=LONGEST_S, above=True)] = 3.0
    reference: str | None = None
    sensitive: bool = False

    @model_validator(mode="wrap")
    @classmethod
    def _fits(cls, data: Any, handler: ModelWrapValidatorHandler[Study]) -> Study:
        """Form first, then the fit of wires and acts even where the form has faults."""
        return form_and_fit(cls, data, handler, misfits)
