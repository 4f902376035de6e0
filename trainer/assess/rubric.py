"""The rubric file: weights, cut, floors, rules of order, checks and the critical list.

An instructor changes marks here without code. ``extends`` takes everything not said from another
rubric. Knows form and which codes exist; must know no attempt.
"""

from __future__ import annotations

import hashlib
import json
import re
from fractions import Fraction
from typing import Annotated, Any, Literal, Self

from pydantic import (
    BeforeValidator,
    Field,
    ModelWrapValidatorHandler,
    PlainSerializer,
    model_validator,
)

from trainer.assess.marks import Domain
from trainer.assess.sequence import Kind, Rule
from trainer.base.errors import FieldError, quoted
from trainer.base.fields import Record
from trainer.base.fitting import form_and_fit

Line = Annotated[str, Field(min_length=1, max_length=300)]
#: A weight is a whole number or a decimal; it is kept exactly.
WEIGHT_MOST = 1000


_NUMBER = re.compile(r"-?\d{1,12}(?:[./]\d{1,30})?")


def _exact(given: Any) -> Fraction:
    if isinstance(given, Fraction):
        return given
    if isinstance(given, bool) or not isinstance(given, int | float | str):
        raise FieldError(f"{quoted(given)} is no weight", hint="a number such as 2 or 2.5")
    try:
        if not _NUMBER.fullmatch(str(given)):  # no exponent: 1e999999999 would fill the memory
            raise ValueError
        value = Fraction(str(given))
    except (ValueError, ZeroDivisionError):
        raise FieldError(
            f"{quoted(given)} is no weight", hint="a number such as 2 or 2.5"
        ) from None
    if not 0 <= value <= WEIGHT_MOST:
        raise FieldError(f"{quoted(given)} is out of range", hint=f"0 to {WEIGHT_MOST}")
    return value


Weight = Annotated[Fraction, BeforeValidator(_exact), PlainSerializer(str, return_type=str)]


def _percent(given: Any) -> Fraction:
    value = _exact(given)
    if value > 100:
        raise FieldError(f"{quoted(given)} is more than a hundred", hint="0 to 100")
    return value


Percent = Annotated[Fraction, BeforeValidator(_percent), PlainSerializer(str, return_type=str)]


class DomainWeight(Record):
    weight: Weight
    floor: Percent = Fraction(0)


class Order(Record):
    """A rule of safe order: ``first`` holds at every ``then``."""

    first: Line
    then: Line
    weight: Weight = Fraction(1)
    kind: Kind = "gate"

    @property
    def rule(self) -> Rule:
        return Rule(self.first, self.then, self.weight, self.kind)


Tier = Literal["look", "think", "do"]
#: Tiers of a hint in order: where to look, what to think of, what to do.
TIERS: tuple[Tier, ...] = ("look", "think", "do")


class HintPrice(Record):
    """Tiers that may be asked for in a graded attempt, and points of the total each costs."""

    allowed: Annotated[list[Tier], Field(max_length=3)] = []
    points: dict[Tier, Weight] = {}


class CutSetting(Record):
    """How the cut was set; without it the cut is provisional."""

    method: Line
    date: Line
    judges: Annotated[int, Field(ge=1, le=500)] | None = None
    n: Annotated[int, Field(ge=1, le=100_000)] | None = None
    se: Annotated[float, Field(ge=0.0, le=100.0)] | None = None


Weights = Annotated[dict[str, Weight], Field(max_length=80)]


class Rubric(Record):
    """One rubric, whole. Weights of domains sum to 100."""

    rubric: Literal[1]
    title: Line
    cut: Percent
    cut_set: CutSetting | None = None
    domains: Annotated[dict[Domain, DomainWeight], Field(min_length=1)]
    critical: Annotated[list[Line], Field(max_length=20)]
    sequence: Annotated[list[Order], Field(max_length=80)] = []
    checks: dict[Domain, Weights] = {}
    workmanship: Weights = {}
    #: Weight of each reading that the scenario asks for, and of judging it rightly.
    reading: Weight = Fraction(1)
    judging: Weight = Fraction(1)
    diagnosis: Weights = {}
    correctness: Weights = {}
    #: Credit of a circuit that works and is not to the diagram [%].
    works_otherwise: Percent = Fraction(70)
    hints: HintPrice = HintPrice()
    #: Points of the total that twice the allowed time costs, less in proportion; 0: told only.
    time: Percent = Fraction(0)

    @model_validator(mode="wrap")
    @classmethod
    def _fits(cls, data: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        from trainer.assess.lint import misfits

        return form_and_fit(cls, data, handler, misfits)

    @property
    def provisional(self) -> bool:
        return self.cut_set is None

    @property
    def digest(self) -> str:
        """Names this content whatever the order of its keys."""
        text = json.dumps(self.model_dump(mode="json"), sort_keys=True)
        return hashlib.sha256(text.encode()).hexdigest()

    @property
    def rules(self) -> list[Rule]:
        return [order.rule for order in self.sequence if order.weight]
