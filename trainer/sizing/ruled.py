"""A number that knows the rule that gave it.

Knows text and numbers; must know no rule itself, no motor and no table.
"""

from __future__ import annotations

from dataclasses import dataclass, field

Value = float | str | tuple[float, float] | None


@dataclass(frozen=True)
class Ruled:
    """``value`` in ``unit`` (SI), the rule in plain words and where the rule is written.

    A pair is a window, least first. None: the rule gives no value, and ``note`` says why.
    """

    value: Value
    unit: str
    rule: str
    source: str
    note: str = field(default="")

    @property
    def number(self) -> float:
        """The value, where it is a single number. Raises TypeError otherwise."""
        if isinstance(self.value, int | float):
            return float(self.value)
        raise TypeError(f"{self.rule!r} gave {self.value!r}, which is no single number")

    @property
    def window(self) -> tuple[float, float]:
        """Least and most, where the value is a window. Raises TypeError otherwise."""
        if isinstance(self.value, tuple):
            return self.value
        raise TypeError(f"{self.rule!r} gave {self.value!r}, which is no window")

    def noted(self, note: str) -> Ruled:
        """The same number with a remark added."""
        both = f"{self.note}; {note}" if self.note else note
        return Ruled(self.value, self.unit, self.rule, self.source, both)

    def as_data(self) -> dict[str, object]:
        """Plain data for a report."""
        value = list(self.value) if isinstance(self.value, tuple) else self.value
        data: dict[str, object] = {
            "value": value, "unit": self.unit, "rule": self.rule, "source": self.source,
        }  # fmt: skip
        return data | ({"note": self.note} if self.note else {})
